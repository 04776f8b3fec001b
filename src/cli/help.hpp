#pragma once
/// Help texts, made from the specs alone. No line exceeds 80 columns.

#include <span>
#include <string>
#include <string_view>

#include "cli/command.hpp"

namespace shearpin::cli {

/// All commands under the headings of their groups, in order of first use, and the common options.
std::string program_help(std::span<const CommandSpec> commands, std::span<const OptionSpec> common);

/// One command: usage, summary, words, options, children, details. `full_name` is "shearpin fail".
std::string command_help(const CommandSpec& command, std::string_view full_name,
                         std::span<const OptionSpec> common);

/// `shearpin fail POSITION [OPTIONS]`.
std::string usage_line(const CommandSpec& command, std::string_view full_name);

}  // namespace shearpin::cli
