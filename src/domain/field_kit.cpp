#include "domain/field_kit.hpp"

#include "base/refuse.hpp"

#include <cmath>

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
  refuse("{} {} is refused: it must be yes or no, for example yes", what, quoted(text));
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
    refuse("{} {} is refused: it must be above zero, for example {}", what, quoted(text), example);
  }
  return value;
}

int read_count(std::string_view text) {
  const std::int64_t value = parse_count(text, "count", 1);
  if (value > 1000) {
    refuse("count {} is refused: it must be from 1 to 1,000, for example 4", quoted(text));
  }
  return static_cast<int>(value);
}

std::string grams(double mass) { return plain_number(mass) + "g"; }
std::string millilitres(double volume) { return plain_number(volume) + "ml"; }
std::string amperes(double rating) { return plain_number(rating) + "A"; }
std::string money(Money amount) { return shearpin::to_text(amount); }

std::string span(double days) {
  const double years = std::round(days / kDaysPerYear);
  const bool whole = years >= 1 && std::fabs(years * kDaysPerYear - days) < 1e-9;
  return whole ? plain_number(years) + "y" : plain_number(days) + "d";
}

double read_span(std::string_view text) {
  return above_zero(parse_days(text, "span"), text, "span", "10y or 540d");
}

}  // namespace shearpin::domain::kit
