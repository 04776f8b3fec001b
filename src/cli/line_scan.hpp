#pragma once
/// The first pass over a command line: which command is meant, and is every option known to it.
/// Done on the specs alone, so that only the options of that one command need to be built.

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "cli/command.hpp"

namespace shearpin::cli {

struct LineScan {
  const CommandSpec* command = nullptr;  ///< null: none was named
  std::string full_name = "shearpin";
  std::vector<std::string> rest;  ///< the words without those that name the command
  bool help = false;
  bool version = false;
  std::optional<std::string> error;  ///< the first thing wrong; does not stand in the way of help
};

LineScan scan_line(const std::vector<std::string>& words, std::span<const CommandSpec> commands,
                   std::span<const OptionSpec> common_options);

/// The options a command takes: its own, and the common ones that it does not redefine.
std::vector<const OptionSpec*> options_of(const CommandSpec* command,
                                          std::span<const OptionSpec> common_options);

}  // namespace shearpin::cli
