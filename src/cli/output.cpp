#include "cli/output.hpp"

#include <fmt/format.h>

#include <filesystem>
#include <fstream>
#include <ostream>
#include <sstream>
#include <stdexcept>

#include "base/new_file.hpp"
#include "base/text.hpp"
#include "domain/cautions.hpp"
#include "report/text_table.hpp"
#include "shearpin/base/error.hpp"

namespace shearpin::cli {
namespace {

std::string rendered(const std::function<std::string()>& how, std::string_view format) {
  if (!how) {
    throw UsageError(fmt::format("this answer has no {} format; example: --format text", format));
  }
  return how();
}

namespace fs = std::filesystem;

/// Where a chain of symlinks ends; the last need not lead to a file.
fs::path followed(fs::path path) {
  constexpr int kMostLinks = 40;
  for (int links = 0; fs::is_symlink(fs::symlink_status(path)); ++links) {
    if (links == kMostLinks) {
      throw fs::filesystem_error("cannot follow", path,
                                 std::make_error_code(std::errc::too_many_symbolic_link_levels));
    }
    if (path.string().starts_with("/dev/") || path.string().starts_with("/proc/")) {
      return path;  // /dev/stdout: what it leads to is open already and has no name to give away
    }
    path = path.parent_path() / fs::read_symlink(path);
  }
  return path;
}

/// The ledger, or what SQLite may keep beside it, under whichever name.
void refuse_ledger(const Context& context, const fs::path& path, const fs::path& target) {
  for (const char* ending : {"", "-journal", "-wal", "-shm"}) {
    const fs::path kept = context.ledger.string() + ending;
    std::error_code ignored;
    if (fs::equivalent(kept, target, ignored) ||
        fs::weakly_canonical(kept, ignored) == fs::weakly_canonical(target, ignored)) {
      throw InputError(
          fmt::format("{} belongs to the ledger and is not written over; example: -o report.txt",
                      path.string()));
    }
  }
}

void write_straight(const fs::path& target, const std::string& text) {
  std::ofstream file(target, std::ios::binary | std::ios::in | std::ios::out);
  file << text;
  file.flush();
  if (!file) {
    throw fs::filesystem_error("cannot write", target, std::make_error_code(std::errc::io_error));
  }
}

}  // namespace

std::string in_format(Format format, const Renderings& answer) {
  switch (format) {
    case Format::text:
      return rendered(answer.text, "text");
    case Format::json:
      return rendered(answer.json, "json");
    case Format::csv:
      return rendered(answer.csv, "csv");
    case Format::html:
      return rendered(answer.html, "html");
  }
  throw std::logic_error("a format outside its list");
}

void put(const Context& context, const Renderings& answer) {
  context.out << in_format(context.format, answer);
}

std::string key_and_name(const domain::Named& thing) {
  return thing.name == thing.key ? thing.key : thing.key + ' ' + thing.name;
}

report::Cautions cautions_for(const domain::Catalogue& catalogue,
                              const std::vector<std::string>& keys) {
  report::Cautions cautions;
  for (const auto& key : keys) {
    if (const auto* note = domain::note_with_key(catalogue, key)) {
      cautions.emplace_back(note->key, note->text);
    }
  }
  return cautions;
}

std::string fitted_to(const std::string& message, std::size_t width) {
  std::string text;
  for (const auto& line : split(message, '\n')) {
    const auto begins = line.find_first_not_of(' ');
    if (display_width(line) <= width || begins == std::string::npos) {
      text += line + '\n';
    } else {
      text += report::wrap_text(line, width, begins);
    }
  }
  return text;
}

std::string undo_line(const Context& context, const std::vector<EntryId>& entries) {
  if (context.dry_run || entries.empty()) {
    return {};
  }
  return fmt::format("  Entry {0}; to take it back: shearpin undo {0}\n", entries.back().value);
}

void put_echoes(const Session& session, const Context& context) {
  auto& stream = context.format == Format::text ? context.out : context.err;
  for (const auto& echo : session.echoes()) {
    stream << fitted_to(echo, context.width);
  }
}

std::optional<std::string> read_file(const std::string& path) {
  std::error_code ignored;
  if (!std::filesystem::is_regular_file(path, ignored) &&
      !std::filesystem::is_fifo(path, ignored)) {
    return std::nullopt;
  }
  std::ifstream file(path, std::ios::binary);
  std::ostringstream bytes;
  bytes << file.rdbuf();
  if (!file) {
    return std::nullopt;
  }
  return bytes.str();
}

void write_file(const Context& context, const fs::path& path, const std::string& text) {
  try {
    if (path.empty()) {
      throw InputError("a file name is needed; example: -o report.txt");
    }
    const fs::path target = followed(path);
    refuse_ledger(context, path, target);
    const auto status = fs::status(target);
    if (fs::is_directory(status)) {
      throw InputError(fmt::format("{} is a folder; name a file in it, example: -o {}",
                                   path.string(), (path / "report.txt").string()));
    }
    if (fs::exists(status) && !fs::is_regular_file(status)) {
      write_straight(target, text);
    } else {
      NewFile file(target, NewFile::For::everybody);
      file.write(text);
      file.replace_target();
    }
  } catch (const fs::filesystem_error& failure) {
    throw InputError(
        fmt::format("{} cannot be written: {}. Is the folder there, and the disk not "
                    "full? Example: -o report.txt",
                    shearpin::quoted(path.string()), failure.code().message()));
  }
}

}  // namespace shearpin::cli
