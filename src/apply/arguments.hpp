#pragma once
/// A request as text: the words of one command line, or of a line of a file that means a command.

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace shearpin::apply {

/// Words by the names of the options (`from`) and positionals (`PART`) that they stand for.
class Arguments {
 public:
  /// `command` is named in messages: "shearpin fail".
  explicit Arguments(std::string command = "shearpin") : command_(std::move(command)) {}

  /// The option or positional was given.
  bool has(std::string_view name) const;
  /// The same, for options without a value.
  bool flag(std::string_view name) const { return has(name); }
  /// The value given, the first of several; nothing if not given.
  std::optional<std::string> text(std::string_view name) const;
  /// The value; UsageError naming the option or word and the command's help if not given.
  std::string required(std::string_view name) const;
  /// All values in the order given; empty if none.
  std::vector<std::string> list(std::string_view name) const;

  const std::string& command() const { return command_; }

  /// Adds a value (for a flag: without one).
  void add(const std::string& name, const std::string& value) { given_[name].push_back(value); }
  void add_flag(const std::string& name) { given_[name]; }

 private:
  std::string command_;
  std::map<std::string, std::vector<std::string>, std::less<>> given_;
};

}  // namespace shearpin::apply
