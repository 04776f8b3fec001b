/// Tables in and out: import, export.

#include <fmt/format.h>

#include <filesystem>
#include <ostream>

#include "apply/import.hpp"
#include "base/refuse.hpp"
#include "base/text.hpp"
#include "cli/commands.hpp"
#include "cli/import_refusals.hpp"
#include "cli/output.hpp"
#include "interchange/export.hpp"
#include "report/text_table.hpp"
#include "shearpin/base/error.hpp"

namespace shearpin::cli {
namespace {

using interchange::ImportFile;
using interchange::Kind;
using ledger::Ledger;

ImportFile read_one(const std::string& path, const std::optional<std::string>& kind_word,
                    Date today) {
  const auto kind = kind_word ? std::optional<Kind>(interchange::parse_kind(*kind_word))
                              : interchange::kind_of_file(path);
  if (!kind) {
    refuse(
        "{}: the name does not say what it holds; call it parts.csv, history.csv ..., or say "
        "--kind parts",
        path);
  }
  const auto bytes = read_file(path);
  if (!bytes) {
    refuse("{} cannot be read; example: shearpin import parts.csv", path);
  }
  return interchange::read_import(*bytes, path, *kind, today);
}

/// A sentence for each file of which the ledger holds most lines already, with how to take back
/// what came then. Only lines that tell of a day count: master data said twice changes nothing.
std::string taken_before_text(const std::vector<ImportFile>& files, const Ledger& ledger) {
  std::string sentences;
  for (const auto& file : files) {
    std::vector<std::int64_t> said;
    for (const auto& row : file.rows) {
      if (row.date) {
        said.push_back(row.said);
      }
    }
    const auto before = ledger.taken_before(said);
    if (before.lines * 2 > said.size()) {
      sentences += fmt::format(
          "\n{} looks like a file taken in before, on {}: {} of its {} dated lines are in the "
          "ledger. "
          "To take back what came then: shearpin undo {}",
          file.name, before.written.substr(0, 10), before.lines, said.size(), before.batch);
    }
  }
  return sentences.empty() ? sentences : sentences.substr(1);
}

int run_import(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  std::vector<ImportFile> files;
  for (const auto& path : arguments.list("FILE")) {
    files.push_back(read_one(path, arguments.text("kind"), context.today));
  }
  for (const auto& file : files) {
    for (const auto& warning : file.warnings) {
      context.err << report::wrap_text("warning: " + file.name + ": " + warning);
    }
  }
  constexpr const char* kAgain = "shearpin import --again ...";
  std::string before = arguments.flag("again") ? "" : taken_before_text(files, session.ledger());
  if (!before.empty() && context.in_is_terminal && !context.dry_run) {
    session.require_yes(before, kAgain);
    before.clear();
  }
  const std::string batch = "import-" + context.written;
  apply::Import import(session.ledger(), session.transaction(), context.today, batch);
  const auto refusals = import.apply(files);
  if (!refusals.empty()) {
    throw InputError(refusal_text(refusals) + (before.empty() ? "" : '\n' + before));
  }
  if (!before.empty()) {
    refuse("{}\nNothing was written. If that is right: {}", before, kAgain);
  }
  session.commit({});
  if (!context.dry_run) {
    context.kept = "recorded as " + batch;
  }
  std::size_t rows = 0;
  for (const auto& file : files) {
    rows += file.rows.size();
  }
  context.out << report::wrap_text(
      fmt::format("{} {} of {} as {}.", context.dry_run ? "Would take" : "Took in",
                  counted(static_cast<long long>(rows), "row"),
                  counted(static_cast<long long>(files.size()), "file"),
                  import.entries() == 1 ? "1 entry" : fmt::format("{} entries", import.entries())));
  if (!context.dry_run) {
    context.out << "To take all of it back: shearpin undo " << batch << '\n';
  }
  return kDone;
}

std::filesystem::path table_path(const std::filesystem::path& folder, std::size_t number,
                                 Kind kind) {
  return folder / fmt::format("{:02}-{}.csv", number, interchange::to_text(kind));
}

/// Every table as a file of an empty or new folder.
void write_tables(Context& context, const std::filesystem::path& folder,
                  const domain::Snapshot& snapshot) {
  std::vector<Kind> kinds;
  for (int k = 0; k <= static_cast<int>(Kind::trips); ++k) {
    if (interchange::is_exportable(static_cast<Kind>(k))) {
      kinds.push_back(static_cast<Kind>(k));
    }
  }
  std::error_code failure;
  std::filesystem::create_directories(folder, failure);
  if (failure || !std::filesystem::is_directory(folder, failure)) {
    refuse("--into {}: no folder can be made there{}; example: --into tables",
           shearpin::quoted(folder.string()), failure ? ": " + failure.message() : "");
  }
  for (std::size_t i = 0; i < kinds.size(); ++i) {
    const auto path = table_path(folder, i + 1, kinds[i]);
    if (std::filesystem::exists(std::filesystem::symlink_status(path, failure))) {
      refuse("{} exists already; name an empty folder", path.string());
    }
  }
  for (std::size_t i = 0; i < kinds.size(); ++i) {
    write_file(context, table_path(folder, i + 1, kinds[i]),
               interchange::write_csv(interchange::export_lines(kinds[i], snapshot)));
  }
  context.kept = fmt::format("the tables in {} were written", folder.string());
  context.out << fmt::format(
      "{} tables written to {}. Into a fresh ledger: shearpin import {}/*.csv\n", kinds.size(),
      folder.string(), folder.string());
}

int run_export(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::read);
  const auto snapshot = session.snapshot(session.day());
  const auto folder = arguments.text("into");
  if (!folder) {
    const Kind kind = interchange::parse_kind(arguments.required("KIND"));
    if (!interchange::is_exportable(kind)) {
      refuse(
          "{} are kept in the ledger alone (see backup and journal); example: shearpin export "
          "parts",
          interchange::to_text(kind));
    }
    context.format = Format::csv;
    context.out << interchange::write_csv(interchange::export_lines(kind, snapshot));
    return kDone;
  }
  write_tables(context, *folder, snapshot);
  return kDone;
}

}  // namespace

CommandSpec import_command() {
  return {
      .name = "import",
      .group = kSetUp,
      .summary = "Tables in: CSV files, all of them or nothing",
      .details =
          "The file's name says what it holds (parts.csv, 07-positions.csv); --dry-run lists every "
          "line "
          "that would be refused. Formats: docs/import-files.md.\n\nExample:\n"
          "  shearpin import data/demo/*.csv --dry-run",
      .positionals = {{"FILE", "CSV files", true, true}},
      .options = {{"kind", "KIND", "what the files hold, where their names do not say", false},
                  {"again", "", "take in once more what was taken in before", false}},
      .run = run_import};
}

CommandSpec export_command() {
  return {
      .name = "export",
      .group = kSetUp,
      .summary = "Tables out, in the form that import takes",
      .details = "Examples:\n  shearpin export parts > parts.csv\n  shearpin export --into tables/",
      .positionals = {{"KIND", "parts, positions, stock, fitted, ...", false}},
      .options = {{"into", "FOLDER", "every table as a file there", false}},
      .run = run_export};
}

}  // namespace shearpin::cli
