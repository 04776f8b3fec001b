#include "base/number_text.hpp"

#include <charconv>
#include <vector>

#include "base/text.hpp"

namespace shearpin {
namespace {

bool all_digits(std::string_view text) {
  return text.find_first_not_of("0123456789") == std::string_view::npos;
}

/// The digits of the part before the point; empty when it is not a number.
std::string ungrouped(std::string_view whole) {
  const bool commas = whole.find(',') != std::string_view::npos;
  const auto groups = split(whole, commas ? ',' : ' ');
  std::string digits;
  for (std::size_t i = 0; i < groups.size(); ++i) {
    const std::string& group = groups[i];
    const bool sized = groups.size() == 1 || (i == 0 ? group.size() <= 3 : group.size() == 3);
    if (group.empty() || !sized || !all_digits(group)) {
      return "";
    }
    digits += group;
  }
  return digits;
}

}  // namespace

std::optional<DecimalText> read_decimal(std::string_view text) {
  text = trimmed(text);
  DecimalText number;
  if (text.starts_with('-')) {
    number.negative = true;
    text.remove_prefix(1);
  }
  const auto point = text.find('.');
  if (point != std::string_view::npos) {
    number.fraction = text.substr(point + 1);
    if (number.fraction.empty() || !all_digits(number.fraction)) {
      return std::nullopt;
    }
  }
  const std::string_view whole = text.substr(0, point);
  number.whole = point == 0 ? "0" : ungrouped(whole);
  if (number.whole.empty() || (number.whole.size() > 1 && number.whole.front() == '0')) {
    return std::nullopt;
  }
  return number;
}

std::optional<double> read_number(std::string_view text) {
  const auto digits = read_decimal(text);
  if (!digits || digits->whole.size() > 15) {
    return std::nullopt;
  }
  const std::string plain = digits->whole + '.' + digits->fraction + '0';
  double value = 0;
  const auto read =
      std::from_chars(plain.data(), plain.data() + plain.size(), value, std::chars_format::fixed);
  // Only a fraction too small for a double is left to fail, and to 300 places that is zero.
  if (read.ec != std::errc()) {
    value = 0;
  }
  return digits->negative && value > 0 ? -value : value;
}

}  // namespace shearpin
