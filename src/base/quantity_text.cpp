#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <stdexcept>

#include "base/quantity.hpp"

namespace shearpin {
namespace {

void require_finite(double value) {
  if (!std::isfinite(value)) {
    throw std::logic_error("a number that is not finite cannot be shown");
  }
}

/// With `decimals` places, then without needless zeros and without a minus before zero.
std::string rounded(double value, int decimals) {
  std::string text = fmt::format("{:.{}f}", value, decimals);
  if (text.find('.') != std::string::npos) {
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') {
      text.pop_back();
    }
  }
  return text == "-0" ? "0" : text;
}

/// Thousands of a small unit turn into the large one; three figures or so of either.
std::string scaled(double amount, const char* small, const char* large) {
  require_finite(amount);
  const double size = std::abs(amount);
  // 999.6 would be shown as 1000 of the small unit.
  if (size >= 999.5) {
    return fmt::format("{} {}", rounded(amount / 1000, size < 99'950 ? 1 : 0), large);
  }
  const int decimals = size >= 9.95 ? 0 : size >= 0.1 || size <= 0 ? 1 : 3;
  return fmt::format("{} {}", rounded(amount, decimals), small);
}

}  // namespace

std::string plain_number(double value) {
  require_finite(value);
  // The smallest double written out has 1,077 places.
  std::array<char, 1200> buffer{};
  const auto format =
      std::abs(value) < 1e15 ? std::chars_format::fixed : std::chars_format::general;
  const auto end = std::to_chars(buffer.data(), buffer.data() + buffer.size(), value, format);
  const std::string text(buffer.data(), end.ptr);
  return text == "-0" ? "0" : text;
}

std::string significant(double value, int digits) {
  require_finite(value);
  if (!(std::abs(value) > 0)) {
    return "0";
  }
  // Rounded once in scientific form, since 9.96 to two figures gains a digit before the point.
  const int figures = std::max(digits, 1);
  const std::string rounded_once = fmt::format("{:.{}e}", value, figures - 1);
  const int exponent = std::stoi(rounded_once.substr(rounded_once.find('e') + 1));
  return fmt::format("{:.{}f}", std::stod(rounded_once), std::max(0, figures - 1 - exponent));
}

std::string mass_text(double grams) { return scaled(grams, "g", "kg"); }

std::string volume_text(double millilitres) { return scaled(millilitres, "mL", "L"); }

std::string chance_text(double probability) {
  // Sums of probabilities may pass the ends by a rounding; more than that is a bug.
  if (!(probability >= -1e-9 && probability <= 1 + 1e-9)) {
    throw std::logic_error("a probability must lie from 0 to 1");
  }
  const double percent = 100 * std::clamp(probability, 0.0, 1.0);
  if (percent <= 0) {
    return "0 %";
  }
  if (percent >= 100) {
    return "100 %";
  }
  if (percent < 0.1) {
    return "under 0.1 %";
  }
  if (percent >= 99.5) {
    return percent > 99.9 ? "over 99.9 %" : "over 99 %";
  }
  return fmt::format("{} %", rounded(percent, percent < 9.95 ? 1 : 0));
}

}  // namespace shearpin
