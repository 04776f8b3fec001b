#pragma once
/// Money as a whole number of minor units (cents), so that sums are exact.

#include <compare>
#include <cstdint>
#include <string>
#include <string_view>

namespace shearpin {

/// An amount in the ledger's currency; 1.00 is 100 minor units.
struct Money {
  std::int64_t minor = 0;
  friend auto operator<=>(const Money&, const Money&) = default;
  friend Money operator+(Money a, Money b) { return {a.minor + b.minor}; }
  friend Money operator-(Money a, Money b) { return {a.minor - b.minor}; }
  friend Money operator*(Money a, std::int64_t n) { return {a.minor * n}; }
  /// In major units, for computing only.
  double major() const { return static_cast<double>(minor) / 100.0; }
};

/// Reads `4.50`, `4.5`, `4`, `1,250.00`; zero or more, at most two decimals, up to 10^9.
/// Throws InputError naming the text, the rule and an example.
Money parse_money(std::string_view text);

/// `4.50`; thousands are not separated, so that the text can be read back.
std::string to_text(Money amount);

}  // namespace shearpin
