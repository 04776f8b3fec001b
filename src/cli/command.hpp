#pragma once
/// What a command declares about its words, and what it gets back: all as text. The command-line
/// library stays behind parser.cpp.

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "apply/arguments.hpp"

namespace shearpin::cli {

using apply::Arguments;

struct Context;

struct OptionSpec {
  std::string name;        ///< without dashes: "on"
  std::string value = {};  ///< what it takes, in help: "DATE"; empty for a flag
  std::string help;
  bool repeat = false;      ///< may be given several times
  std::string letter = {};  ///< a short form without its dash: "o" for -o
};

struct PositionalSpec {
  std::string name;  ///< as help shows it: "POSITION"
  std::string help = {};
  bool required = true;
  bool repeat = false;  ///< takes all the words that are left; only the last may
};

struct CommandSpec {
  std::string name;
  std::string group = {};  ///< heading in the list of commands
  std::string summary;     ///< one line, no full stop
  /// Longer help; lines that begin with a space (examples) are kept as they are.
  std::string details = {};
  std::vector<PositionalSpec> positionals = {};
  std::vector<OptionSpec> options = {};
  std::vector<std::vector<std::string>> at_most_one = {};  ///< names of which only one may be given
  std::vector<CommandSpec> children = {};                  ///< `rig` has add, set, show ...
  int (*run)(const Arguments&, Context&) = nullptr;        ///< the exit code; null needs a child
};

struct Parsed {
  const CommandSpec* command;  ///< into the commands given to the parser
  Arguments arguments;
};

/// Exactly one of: a command to run, help to print, the version wanted.
struct ParseOutcome {
  std::optional<Parsed> parsed;
  std::string help_text;
  bool version = false;
};

/// Reads `words` (without the program's name). Prints nothing and reads nothing but its arguments.
/// Common options may stand before or after the command; a command's own option of the same name
/// goes before the common one. Without any command word, `now` is meant if there is such a command.
/// `help [COMMAND]`, `--help` and `-h` give help; `--version` the version. After `--` nothing is an
/// option. Values stay text; `-5` is a word, not an option.
/// Throws UsageError: an unknown command or option, with the nearest names; a word too many or
/// missing; an option without its value, given twice, or beside one that it excludes.
ParseOutcome parse_command_line(const std::vector<std::string>& words,
                                std::span<const CommandSpec> commands,
                                std::span<const OptionSpec> common_options);

}  // namespace shearpin::cli
