#pragma once
/// One run of the program, callable from main and from tests.

#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "cli/context.hpp"

namespace shearpin::cli {

/// What main reads from the outside once.
struct Outside {
  std::istream& in;
  std::ostream& out;
  std::ostream& err;
  Date today;
  std::string written;
  bool in_is_terminal = false, out_is_terminal = false;
  std::function<std::optional<std::string>(const std::string&)> environment;
};

/// Parses `words` (without the program's name), runs the command and returns the exit code. Throws
/// nothing: the one ladder of catches is here.
int run(const std::vector<std::string>& words, const Outside& outside);

}  // namespace shearpin::cli
