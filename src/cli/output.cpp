#include "cli/output.hpp"

#include <fmt/format.h>

#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <ostream>
#include <sstream>
#include <stdexcept>

#include "shearpin/base/error.hpp"
#include "shearpin/base/text.hpp"
#include "shearpin/domain/cautions.hpp"
#include "shearpin/report/text_table.hpp"

namespace shearpin::cli {
namespace {

std::string rendered(const std::function<std::string()>& how, std::string_view format) {
  if (!how) {
    throw UsageError(fmt::format("this answer has no {} format; example: --format text", format));
  }
  return how();
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

std::string dumped(const nlohmann::ordered_json& json) {
  return json.dump(-1, ' ', false, nlohmann::json::error_handler_t::replace) + '\n';
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

void write_file(const std::string& path, const std::string& text) {
  const std::filesystem::path target(path);
  const std::filesystem::path aside(path + ".part");
  std::error_code problem;
  {
    std::ofstream file(aside, std::ios::binary | std::ios::trunc);
    file << text;
    file.flush();
    if (!file) {
      std::filesystem::remove(aside, problem);
      throw InputError(
          fmt::format("{} cannot be written: is the folder there and the disk not "
                      "full? example: -o report.txt",
                      path));
    }
  }
  std::filesystem::rename(aside, target, problem);
  if (problem) {
    std::error_code ignored;
    std::filesystem::remove(aside, ignored);
    throw InputError(fmt::format("{} cannot be written: {}; name a file, example: -o report.txt",
                                 path, problem.message()));
  }
}

}  // namespace shearpin::cli
