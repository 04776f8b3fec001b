#include "cli/line_scan.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "base/text.hpp"
#include "cli/nearest.hpp"

namespace shearpin::cli {
namespace {

const CommandSpec* find_command(std::span<const CommandSpec> commands, std::string_view name) {
  const auto found = std::find_if(commands.begin(), commands.end(),
                                  [&](const CommandSpec& one) { return one.name == name; });
  return found == commands.end() ? nullptr : &*found;
}

/// A word that is read as an option: `-5` and `-` are not.
bool looks_like_option(std::string_view word) {
  return word.size() > 1 && word[0] == '-' && !(word[1] >= '0' && word[1] <= '9');
}

/// `"frige" is no command of shearpin`, with what it may have been.
std::string unknown_command(std::string_view typed, std::span<const CommandSpec> commands,
                            const std::string& full_name) {
  std::vector<std::string> names;
  std::vector<std::string> parents;
  for (const CommandSpec& command : commands) {
    names.push_back(command.name);
    if (find_command(command.children, typed) != nullptr) {
      parents.push_back(fmt::format("\"{} {} {}\"", full_name, command.name, typed));
    }
  }
  std::string text = fmt::format("{} is no command of \"{}\"", quoted(typed), full_name);
  const auto near = nearest_names(typed, names);
  if (!near.empty()) {
    text += "; nearest: " + join(near, ", ");
  } else if (!parents.empty()) {
    parents.resize(std::min<std::size_t>(parents.size(), 3));
    text += "; it follows what it is about, as in " + join(parents, ", ");
  }
  return fmt::format("{}; see: {} --help", text, full_name);
}

class Scanner {
 public:
  Scanner(std::span<const CommandSpec> commands, std::span<const OptionSpec> common)
      : candidates_(commands), common_(common) {}

  LineScan scan(const std::vector<std::string>& words) {
    for (std::size_t i = 0; i < words.size(); ++i) {
      const std::string& word = words[i];
      if (only_words_ || !looks_like_option(word)) {
        take_word(word);
      } else if (word == "--") {
        only_words_ = true;
        scan_.rest.push_back(word);
      } else if (take_option(word, i + 1 < words.size() ? &words[i + 1] : nullptr)) {
        scan_.rest.push_back(words[++i]);
      }
    }
    return std::move(scan_);
  }

 private:
  void fail(std::string message) {
    if (!scan_.error) {
      scan_.error = std::move(message);
    }
  }

  /// A word is part of the command's name as long as it can be.
  void take_word(const std::string& word) {
    if (scan_.command == nullptr && !asked_help_ && word == "help" &&
        find_command(candidates_, word) == nullptr) {
      asked_help_ = true;
      scan_.help = true;
      return;
    }
    if (name_complete_) {
      scan_.rest.push_back(word);
      return;
    }
    const CommandSpec* found = find_command(candidates_, word);
    if (found != nullptr) {
      scan_.command = found;
      scan_.full_name += ' ' + word;
      candidates_ = found->children;
      name_complete_ = found->children.empty();
      return;
    }
    name_complete_ = true;
    if (scan_.command == nullptr || scan_.command->run == nullptr) {
      fail(unknown_command(word, candidates_, scan_.full_name));
      // Help on a command that does not exist would be help on something else.
      scan_.help = scan_.help && !asked_help_;
    }
    scan_.rest.push_back(word);
  }

  /// Keeps the option; true if `next` is its value.
  bool take_option(const std::string& word, const std::string* next) {
    if (word == "--help" || word == "-h") {
      scan_.help = true;
      return false;
    }
    const OptionSpec* option = find_option(word);
    if (option == nullptr) {
      if (word == "--version") {
        scan_.version = true;
      } else {
        fail(unknown_option(word));
      }
      return false;
    }
    scan_.rest.push_back(word);
    const bool is_long = word.starts_with("--");
    const auto equals = is_long ? word.find('=') : std::string::npos;
    const std::string shown = word.substr(0, is_long ? equals : 2);
    if (option->value.empty()) {
      if (equals != std::string::npos) {
        fail(fmt::format("{} is a switch and takes no value; give it as {}", shearpin::quoted(word),
                         shown));
      }
      return false;
    }
    if (equals != std::string::npos || (!is_long && word.size() > 2)) {
      if (equals + 1 == word.size()) {
        fail(missing_value(shown, *option));
      }
      return false;
    }
    if (next == nullptr || *next == "--" ||
        (looks_like_option(*next) && find_option(*next) != nullptr)) {
      fail(missing_value(shown, *option));
      return false;
    }
    return true;
  }

  const OptionSpec* find_option(std::string_view word) const {
    const bool is_long = word.starts_with("--");
    const std::string_view name = is_long ? word.substr(2, word.find('=') - 2) : word.substr(1, 1);
    for (const OptionSpec* option : options_of(scan_.command, common_)) {
      if (is_long ? option->name == name : option->letter == name) {
        return option;
      }
    }
    return nullptr;
  }

  std::string missing_value(const std::string& shown, const OptionSpec& option) const {
    return fmt::format("{0} needs a value: {0} {1} ({2}); see: {3} --help", shown, option.value,
                       option.help, scan_.full_name);
  }

  std::string unknown_option(const std::string& word) const {
    const std::string typed = word.substr(0, word.find('='));
    std::vector<std::string> names = {"--help"};
    for (const OptionSpec* option : options_of(scan_.command, common_)) {
      names.push_back("--" + option->name);
    }
    std::string text =
        fmt::format("{} is no option of \"{}\"", shearpin::quoted(typed), scan_.full_name);
    const auto near = nearest_names(typed, names);
    if (!near.empty()) {
      text += "; nearest: " + join(near, ", ");
    }
    if (scan_.command == nullptr) {
      text += "; a command's own options stand after it";
    }
    return fmt::format("{}; see: {} --help", text, scan_.full_name);
  }

  std::span<const CommandSpec> candidates_;
  std::span<const OptionSpec> common_;
  LineScan scan_;
  bool name_complete_ = false;
  bool only_words_ = false;
  bool asked_help_ = false;
};

}  // namespace

LineScan scan_line(const std::vector<std::string>& words, std::span<const CommandSpec> commands,
                   std::span<const OptionSpec> common_options) {
  return Scanner(commands, common_options).scan(words);
}

std::vector<const OptionSpec*> options_of(const CommandSpec* command,
                                          std::span<const OptionSpec> common_options) {
  std::vector<const OptionSpec*> options;
  if (command != nullptr) {
    for (const OptionSpec& option : command->options) {
      options.push_back(&option);
    }
  }
  const std::size_t own = options.size();
  for (const OptionSpec& option : common_options) {
    const auto end = options.begin() + static_cast<std::ptrdiff_t>(own);
    if (std::none_of(options.begin(), end,
                     [&](const OptionSpec* mine) { return mine->name == option.name; })) {
      options.push_back(&option);
    }
  }
  return options;
}

}  // namespace shearpin::cli
