#include "domain/field_kit.hpp"

#include <algorithm>

namespace shearpin::domain::kit {

std::string read_line(std::string_view text, std::string_view what) {
  const std::string_view line = trimmed(text);
  check_text(line, what, kLongestNote);
  return std::string(line);
}

bool read_flag(std::string_view text, std::string_view what) {
  const std::string word = lower_case(trimmed(text));
  if (word == "yes" || word == "y" || word == "true" || word == "1") {
    return true;
  }
  if (word.empty() || word == "no" || word == "n" || word == "false" || word == "0") {
    return false;
  }
  throw InputError(
      fmt::format("{} {} is refused: it must be yes or no, for example yes", what, quoted(text)));
}

std::vector<std::string> read_list(std::string_view text, std::string_view what) {
  std::vector<std::string> list;
  for (const std::string& piece : split(text, ';')) {
    if (!trimmed(piece).empty()) {
      list.push_back(read_line(piece, what));
    }
  }
  return list;
}

std::string list_text(const std::vector<std::string>& list) { return join(list, ";"); }

double above_zero(double value, std::string_view text, std::string_view what,
                  std::string_view example) {
  if (!(value > 0)) {
    throw InputError(fmt::format("{} {} is refused: it must be above zero, for example {}", what,
                                 quoted(text), example));
  }
  return value;
}

}  // namespace shearpin::domain::kit
