#include "cli/run.hpp"

#include <fmt/format.h>

#include <ostream>
#include <sstream>

#include "base/text.hpp"
#include "cli/commands.hpp"
#include "cli/output.hpp"
#include "shearpin/base/error.hpp"

namespace shearpin::cli {
namespace {

/// Standard output took no more.
struct OutputFailed : Error {
  using Error::Error;
};

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

Context context_of(const Arguments& arguments, const Outside& outside, std::ostream& out,
                   std::ostream& err) {
  Context context{outside.in, out, err, outside.err, outside.today, outside.written};
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

/// The pages of a report are parted by form feeds.
std::string printable_pages(const std::string& text) {
  auto pages = split(text, '\f');
  for (auto& page : pages) {
    page = printable(page);
  }
  return join(pages, "\f");
}

/// Keeps what is printed until it is flushed; then lets through what is safe to see.
class Gate : public std::stringbuf {
 public:
  explicit Gate(std::ostream& to) : to_(to) {}
  int sync() override {
    const bool bytes = context != nullptr && !context->for_a_person();
    to_ << (bytes ? str() : printable_pages(str())) << std::flush;
    str({});
    return to_ ? 0 : -1;
  }

  const Context* context = nullptr;  ///< of the run that prints; none for what a person reads

 private:
  std::ostream& to_;
};

void tell(const Outside& outside, const std::string& message) {
  outside.err << printable(fitted_to("shearpin: " + message, 80));
}

/// What was printed has left the program.
void require_written(std::ostream& out) {
  out.flush();
  if (!out) {
    throw OutputFailed("the output could not be written: is the disk full, or the pipe closed?");
  }
}

int dispatch(const std::vector<std::string>& words, const Outside& outside) {
  const auto commands = all_commands();
  const auto common = common_options();
  std::vector<std::string> line = words;
  if (line.empty()) {
    line.emplace_back("now");  // bare `shearpin` shows what needs doing, or how to start
  }
  const auto outcome = parse_command_line(line, commands, common);
  Gate out_gate(outside.out);
  Gate err_gate(outside.err);
  std::ostream out(&out_gate);
  std::ostream err(&err_gate);
  err << std::unitbuf;
  err.tie(&out);
  if (!outcome.parsed) {
    out << (outcome.version ? fmt::format("shearpin {}\n", SHEARPIN_VERSION) : outcome.help_text);
    require_written(out);
    return kDone;
  }
  Context context = context_of(outcome.parsed->arguments, outside, out, err);
  out_gate.context = &context;
  try {
    const int code = outcome.parsed->command->run(outcome.parsed->arguments, context);
    require_written(out);
    return code;
  } catch (const std::exception& error) {
    if (context.kept.empty()) {
      throw;
    }
    tell(outside,
         fmt::format("{}, but its receipt could not be printed: {}", context.kept, error.what()));
    return kDone;
  }
}

}  // namespace

int run(const std::vector<std::string>& words, const Outside& outside) {
  try {
    return dispatch(words, outside);
  } catch (const OutputFailed& error) {
    tell(outside, error.what());
    return kBug;
  } catch (const UsageError& error) {
    tell(outside, error.what());
    return kUsage;
  } catch (const InputError& error) {
    tell(outside, error.what());
    return kRefused;
  } catch (const LedgerError& error) {
    tell(outside, error.what());
    return kLedgerFile;
  } catch (const NumericError& error) {
    tell(outside, error.what());
    return kNumeric;
  } catch (const std::exception& error) {
    tell(outside, fmt::format("a bug in shearpin, nothing was written: {}", error.what()));
    return kBug;
  }
}

}  // namespace shearpin::cli
