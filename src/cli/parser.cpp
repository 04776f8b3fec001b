/// The one file that includes the command-line library: it takes seconds to compile.

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <utility>

#include "base/text.hpp"
#include "cli/command.hpp"
#include "cli/help.hpp"
#include "cli/line_scan.hpp"
#include "shearpin/base/error.hpp"

namespace shearpin::cli {
namespace {

using Built = std::vector<std::pair<const OptionSpec*, CLI::Option*>>;

/// Raw texts are taken from the option itself; the library's conversions would read `{}` as an
/// empty list.
Built build_options(CLI::App& app, const std::vector<const OptionSpec*>& options) {
  Built built;
  for (const OptionSpec* spec : options) {
    const std::string names = spec->letter.empty()
                                  ? "--" + spec->name
                                  : fmt::format("-{},--{}", spec->letter, spec->name);
    CLI::Option* option = nullptr;
    if (spec->value.empty()) {
      option = app.add_flag(names);
    } else {
      option = app.add_option(names, [](const CLI::results_t&) { return true; });
      option->allow_extra_args(false);
    }
    option->multi_option_policy(CLI::MultiOptionPolicy::TakeAll);
    built.emplace_back(spec, option);
  }
  return built;
}

void keep_options(const Built& built, Arguments& arguments) {
  for (const auto& [spec, option] : built) {
    if (option->count() > 1 && !spec->repeat) {
      throw UsageError(fmt::format("--{} is given {} times; give it once; see: {} --help",
                                   spec->name, option->count(), arguments.command()));
    }
    if (option->count() == 0) {
      continue;
    }
    if (spec->value.empty()) {
      arguments.add_flag(spec->name);
      continue;
    }
    for (const std::string& value : option->results()) {
      arguments.add(spec->name, value);
    }
  }
}

/// The words that are no options, without the `--` that ended the options.
std::vector<std::string> plain_words(const CLI::App& app, const std::vector<std::string>& typed) {
  std::vector<std::string> words = app.remaining();
  if (std::find(typed.begin(), typed.end(), "--") != typed.end()) {
    const auto mark = std::find(words.begin(), words.end(), "--");
    if (mark != words.end()) {
      words.erase(mark);
    }
  }
  return words;
}

[[noreturn]] void refuse_extra(const std::string& word, const CommandSpec& command,
                               const Arguments& arguments) {
  throw UsageError(fmt::format(
      "{} is a word too many; usage: {}. Words that belong together are quoted, as in --on "
      "\"3d ago\"",
      shearpin::quoted(word), usage_line(command, arguments.command())));
}

void keep_words(const std::vector<std::string>& words, const CommandSpec& command,
                Arguments& arguments) {
  std::size_t next = 0;
  for (const PositionalSpec& spec : command.positionals) {
    const std::size_t first = next;
    while (next < words.size() && (spec.repeat || next == first)) {
      arguments.add(spec.name, words[next++]);
    }
    if (next == first && spec.required) {
      throw UsageError(fmt::format("{} is missing ({}); usage: {}", spec.name, spec.help,
                                   usage_line(command, arguments.command())));
    }
  }
  if (next < words.size()) {
    refuse_extra(words[next], command, arguments);
  }
}

void check_exclusions(const CommandSpec& command, const Arguments& arguments) {
  for (const auto& group : command.at_most_one) {
    std::vector<std::string> given;
    for (const std::string& name : group) {
      if (arguments.has(name)) {
        const bool option =
            std::any_of(command.options.begin(), command.options.end(),
                        [&](const OptionSpec& candidate) { return candidate.name == name; });
        given.push_back(option ? "--" + name : name);
      }
    }
    if (given.size() > 1) {
      throw UsageError(
          fmt::format("{} exclude each other: give at most one of them; see: {} "
                      "--help",
                      join_words(given), arguments.command()));
    }
  }
}

Parsed parse_words(const LineScan& scan, std::span<const OptionSpec> common_options) {
  CLI::App app;
  app.set_help_flag();
  app.allow_extras();
  const Built built = build_options(app, options_of(scan.command, common_options));
  std::vector<std::string> reversed(scan.rest.rbegin(), scan.rest.rend());
  try {
    app.parse(reversed);
  } catch (const CLI::ParseError& error) {
    throw UsageError(fmt::format("{}; see: {} --help", error.what(), scan.full_name));
  }
  Parsed parsed{scan.command, Arguments(scan.full_name)};
  keep_options(built, parsed.arguments);
  keep_words(plain_words(app, scan.rest), *scan.command, parsed.arguments);
  check_exclusions(*scan.command, parsed.arguments);
  return parsed;
}

std::string help_for(const LineScan& scan, std::span<const CommandSpec> commands,
                     std::span<const OptionSpec> common_options) {
  return scan.command == nullptr ? program_help(commands, common_options)
                                 : command_help(*scan.command, scan.full_name, common_options);
}

}  // namespace

ParseOutcome parse_command_line(const std::vector<std::string>& words,
                                std::span<const CommandSpec> commands,
                                std::span<const OptionSpec> common_options) {
  LineScan scan = scan_line(words, commands, common_options);
  ParseOutcome outcome;
  if (scan.help) {
    outcome.help_text = help_for(scan, commands, common_options);
    return outcome;
  }
  if (scan.error) {
    throw UsageError(*scan.error);
  }
  if (scan.version) {
    outcome.version = true;
    return outcome;
  }
  if (scan.command == nullptr) {
    const auto now = std::find_if(commands.begin(), commands.end(),
                                  [](const CommandSpec& one) { return one.name == "now"; });
    if (now == commands.end()) {
      throw UsageError("a command is missing; see: shearpin --help");
    }
    scan.command = &*now;
    scan.full_name += " now";
  }
  if (scan.command->run == nullptr) {
    std::vector<std::string> names;
    for (const CommandSpec& child : scan.command->children) {
      names.push_back(child.name);
    }
    throw UsageError(
        fmt::format("\"{0}\" needs one of {1} after it, as in {0} {2}; see: {0} --help",
                    scan.full_name, join(names, ", "), names.empty() ? "" : names.front()));
  }
  outcome.parsed = parse_words(scan, common_options);
  return outcome;
}

}  // namespace shearpin::cli
