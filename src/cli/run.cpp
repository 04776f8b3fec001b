#include "cli/run.hpp"

#include <fmt/format.h>

#include <ostream>

#include "cli/commands.hpp"
#include "cli/output.hpp"
#include "shearpin/base/error.hpp"
#include "shearpin/base/text.hpp"

namespace shearpin::cli {
namespace {

/// --ledger FILE, else SHEARPIN_LEDGER, else the XDG data folder, else ~/.local/share.
std::filesystem::path ledger_path(const Arguments& arguments, const Outside& outside) {
  if (const auto given = arguments.text("ledger")) {
    if (given->empty()) {
      throw UsageError("--ledger needs a file name; example: --ledger ./rig.db");
    }
    return *given;
  }
  const auto variable = [&outside](const char* name) -> std::optional<std::string> {
    const auto value = outside.environment(name);
    return value && !value->empty() ? value : std::nullopt;
  };
  if (const auto named = variable("SHEARPIN_LEDGER")) {
    return *named;
  }
  if (const auto data = variable("XDG_DATA_HOME")) {
    return std::filesystem::path(*data) / "shearpin" / "ledger.db";
  }
  if (const auto home = variable("HOME")) {
    return std::filesystem::path(*home) / ".local" / "share" / "shearpin" / "ledger.db";
  }
  throw UsageError("no place for the ledger: give --ledger FILE or set SHEARPIN_LEDGER");
}

Format parse_format(const std::string& word) {
  const std::string lower = lower_case(word);
  if (lower == "text") {
    return Format::text;
  }
  if (lower == "json") {
    return Format::json;
  }
  if (lower == "csv") {
    return Format::csv;
  }
  if (lower == "html") {
    return Format::html;
  }
  throw UsageError(
      fmt::format("--format {}: one of text, json, csv, html; example: --format json", word));
}

Context context_of(const Arguments& arguments, const Outside& outside) {
  Context context{outside.in, outside.out, outside.err, outside.today, outside.written,
                  {},         {},          {},          Format::text,  false,
                  {},         false,       false,       false,         80};
  context.ledger = ledger_path(arguments, outside);
  if (const auto word = arguments.text("as-of")) {
    context.as_of = parse_date(*word, outside.today);
  }
  if (const auto word = arguments.text("known")) {
    context.known = parse_date(*word, outside.today);
  }
  if (const auto word = arguments.text("format")) {
    context.format = parse_format(*word);
  }
  context.dry_run = arguments.flag("dry-run");
  context.who = arguments.text("who");
  context.in_is_terminal = outside.in_is_terminal;
  context.out_is_terminal = outside.out_is_terminal;
  context.colour = outside.out_is_terminal && !outside.environment("NO_COLOR");
  return context;
}

int dispatch(const std::vector<std::string>& words, const Outside& outside) {
  const auto commands = all_commands();
  const auto common = common_options();
  std::vector<std::string> line = words;
  if (line.empty()) {
    line.emplace_back("now");  // bare `shearpin` shows what needs doing, or how to start
  }
  const auto outcome = parse_command_line(line, commands, common);
  if (outcome.version) {
    outside.out << fmt::format("shearpin {}\n", SHEARPIN_VERSION);
    return kDone;
  }
  if (!outcome.parsed) {
    outside.out << outcome.help_text;
    return kDone;
  }
  Context context = context_of(outcome.parsed->arguments, outside);
  const int code = outcome.parsed->command->run(outcome.parsed->arguments, context);
  outside.out.flush();
  if (!outside.out) {
    throw InputError("the output could not be written: is the disk full, or the pipe closed?");
  }
  return code;
}

}  // namespace

int run(const std::vector<std::string>& words, const Outside& outside) {
  const auto tell = [&outside](const std::string& message) {
    outside.err << fitted_to("shearpin: " + message, 80);
  };
  try {
    return dispatch(words, outside);
  } catch (const UsageError& error) {
    tell(error.what());
    return kUsage;
  } catch (const InputError& error) {
    tell(error.what());
    return kRefused;
  } catch (const LedgerError& error) {
    tell(error.what());
    return kLedgerFile;
  } catch (const NumericError& error) {
    tell(error.what());
    return kNumeric;
  } catch (const std::exception& error) {
    tell(fmt::format("a bug in shearpin, nothing was written: {}", error.what()));
    return kBug;
  }
}

}  // namespace shearpin::cli
