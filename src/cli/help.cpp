#include "cli/help.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.hpp"
#include "report/text_table.hpp"

namespace shearpin::cli {
namespace {

constexpr std::size_t kWidth = 80;
constexpr std::size_t kIndent = 2;

/// Names at the left, their help wrapped beside them.
report::TextTable two_columns() {
  return report::TextTable({{"", report::Align::left, false}, {"", report::Align::left, true}});
}

std::string section(std::string_view heading, const report::TextTable& table) {
  return table.empty() ? "" : fmt::format("\n{}:\n{}", heading, table.to_text(kWidth, kIndent));
}

std::string option_text(const OptionSpec& option) {
  const std::string letter = option.letter.empty() ? "" : fmt::format("-{}, ", option.letter);
  const std::string value = option.value.empty() ? "" : ' ' + option.value;
  return fmt::format("{}--{}{}{}", letter, option.name, value, option.repeat ? " ..." : "");
}

void add_options(report::TextTable& table, std::span<const OptionSpec> options,
                 std::span<const OptionSpec> hidden = {}) {
  for (const OptionSpec& option : options) {
    const bool own = std::any_of(hidden.begin(), hidden.end(), [&](const OptionSpec& other) {
      return other.name == option.name;
    });
    if (!own) {
      table.add_row({option_text(option), option.help});
    }
  }
}

std::string common_section(std::span<const OptionSpec> common, std::span<const OptionSpec> own) {
  report::TextTable table = two_columns();
  add_options(table, common, own);
  table.add_row({"-h, --help", "this help"});
  return section("Options of every command", table);
}

/// Paragraphs are wrapped; lines that begin with a space are examples to copy and stay whole where
/// they fit.
std::string details_text(std::string_view details) {
  std::string text;
  for (const std::string& line : split(trimmed(details), '\n')) {
    const bool example = line.starts_with(' ') && display_width(line) <= kWidth;
    text += example ? line + '\n'
                    : report::wrap_text(line, kWidth, line.starts_with(' ') ? kIndent : 0);
  }
  return text;
}

/// Options of an exclusive group with their dashes, positionals as they are.
std::string exclusive_text(const CommandSpec& command, const std::vector<std::string>& names) {
  std::vector<std::string> shown;
  for (const std::string& name : names) {
    const bool option =
        std::any_of(command.options.begin(), command.options.end(),
                    [&](const OptionSpec& candidate) { return candidate.name == name; });
    shown.push_back(option ? "--" + name : name);
  }
  return join_words(shown);
}

std::string capitalized(std::string text) {
  if (!text.empty() && text.front() >= 'a' && text.front() <= 'z') {
    text.front() = static_cast<char>(text.front() - 'a' + 'A');
  }
  return text;
}

}  // namespace

std::string program_help(std::span<const CommandSpec> commands,
                         std::span<const OptionSpec> common) {
  std::string text =
      "shearpin: spares inventory and failure-history ledger for life on the road\n\n"
      "Usage: shearpin COMMAND [WORDS] [OPTIONS]\n";
  std::vector<std::string> groups;
  for (const CommandSpec& command : commands) {
    if (std::find(groups.begin(), groups.end(), command.group) == groups.end()) {
      groups.push_back(command.group);
    }
  }
  std::size_t longest = 0;
  for (const CommandSpec& command : commands) {
    longest = std::max(longest, display_width(command.name));
  }
  for (const std::string& group : groups) {
    report::TextTable table = two_columns();
    for (const CommandSpec& command : commands) {
      if (command.group == group) {
        // One width for all groups, so that the summaries line up down the page.
        table.add_row({fmt::format("{:<{}}", command.name, longest), command.summary});
      }
    }
    text += section(group.empty() ? "Commands" : group, table);
  }
  report::TextTable options = two_columns();
  add_options(options, common);
  options.add_row({"-h, --help", "this help; after a command, the help of that command"});
  options.add_row({"--version", "the version of the program"});
  text += section("Options of every command", options);
  return text + "\nMore about one: shearpin help COMMAND\n";
}

std::string usage_line(const CommandSpec& command, std::string_view full_name) {
  std::string line(full_name);
  if (!command.children.empty()) {
    line += command.run == nullptr ? " COMMAND" : " [COMMAND]";
  }
  for (const PositionalSpec& word : command.positionals) {
    const std::string name = word.name + (word.repeat ? " ..." : "");
    line += word.required ? ' ' + name : fmt::format(" [{}]", name);
  }
  return line + " [OPTIONS]";
}

std::string command_help(const CommandSpec& command, std::string_view full_name,
                         std::span<const OptionSpec> common) {
  std::string text = report::wrap_text("Usage: " + usage_line(command, full_name), kWidth);
  text += '\n' + report::wrap_text(capitalized(command.summary) + '.', kWidth);
  report::TextTable children = two_columns();
  for (const CommandSpec& child : command.children) {
    children.add_row({child.name, child.summary});
  }
  text += section("Commands", children);
  report::TextTable words = two_columns();
  for (const PositionalSpec& word : command.positionals) {
    words.add_row({word.name, word.help});
  }
  text += section("Words", words);
  report::TextTable options = two_columns();
  add_options(options, command.options);
  text += section("Options", options);
  for (const auto& group : command.at_most_one) {
    text += report::wrap_text("At most one of " + exclusive_text(command, group) + '.', kWidth,
                              kIndent);
  }
  text += common_section(common, command.options);
  return command.details.empty() ? text : text + '\n' + details_text(command.details);
}

}  // namespace shearpin::cli
