#pragma once
/// The one place where digits become numbers; money and quantities are built on it.

#include <optional>
#include <string>
#include <string_view>

namespace shearpin {

/// The digits of a typed decimal number without grouping: "12,000.5" -> {"12000", "5"}.
struct DecimalText {
  bool negative = false;
  std::string whole;     ///< at least one digit, no leading zero unless "0"
  std::string fraction;  ///< may be empty
};

/// Reads an optional minus, digits plain or grouped in threes by commas or by spaces, and an
/// optional point with digits (`.5` is 0.5). Empty for anything else: a leading zero as in 010
/// (octal to some programs, ten to others), hex, exponents, nan, inf, a plus sign, `1,5`, `5.`.
std::optional<DecimalText> read_decimal(std::string_view text);

/// The value as the nearest double; at most 15 whole digits, so that it cannot overflow.
/// Empty as above, or beyond 10^15.
std::optional<double> read_number(std::string_view text);

}  // namespace shearpin
