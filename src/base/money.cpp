#include "shearpin/base/money.hpp"

#include <fmt/format.h>

#include <cstdlib>

#include "base/number_text.hpp"
#include "base/text.hpp"
#include "shearpin/base/error.hpp"

namespace shearpin {

Money parse_money(std::string_view text) {
  constexpr std::int64_t kMostMinor = 100'000'000'000;
  const auto number = read_decimal(text);
  if (number && !number->negative && number->fraction.size() <= 2 && number->whole.size() <= 10) {
    std::string cents = number->fraction;
    cents.resize(2, '0');
    const Money amount{std::stoll(number->whole + cents)};
    if (amount.minor <= kMostMinor) {
      return amount;
    }
  }
  throw InputError(
      fmt::format("amount {} is not money: digits from 0 to 1,000,000,000 with at most two "
                  "decimals after a point, no currency sign, for example 4.50",
                  quoted(text)));
}

std::string to_text(Money amount) {
  const std::int64_t minor = std::abs(amount.minor);
  return fmt::format("{}{}.{:02}", amount.minor < 0 ? "-" : "", minor / 100, minor % 100);
}

}  // namespace shearpin
