#include "report/display.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "base/quantity.hpp"

namespace shearpin::report {
namespace {

/// Beyond this a count of single units says nothing and would not fit a 64-bit whole number.
constexpr double kVast = 1e15;

void require_finite(double value) {
  if (!std::isfinite(value)) {
    throw std::logic_error("a figure that is not finite cannot be shown");
  }
}

std::string with_commas(const std::string& digits) {
  std::string text;
  for (std::size_t i = 0; i < digits.size(); ++i) {
    if (i > 0 && (digits.size() - i) % 3 == 0) {
      text += ',';
    }
    text += digits[i];
  }
  return text;
}

/// `figures` significant figures below `whole_from`, whole numbers above, no needless zeros.
std::string figures_text(double value, int figures, double whole_from) {
  require_finite(value);
  if (std::abs(value) >= kVast) {
    return fmt::format("{:.2e}", value);
  }
  if (std::abs(value) >= whole_from) {
    return grouped(std::llround(value));
  }
  std::string text = significant(value, figures);
  if (text.find('.') != std::string::npos) {
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') {
      text.pop_back();
    }
  }
  return text;
}

std::string with_unit(const std::string& number, std::string_view unit) {
  if (number == "1" && unit.size() > 1 && unit.back() == 's') {
    unit.remove_suffix(1);
  }
  return unit.empty() ? number : fmt::format("{} {}", number, unit);
}

}  // namespace

std::string grouped(long long number) {
  const std::string text = fmt::format("{}", number);
  return number < 0 ? "-" + with_commas(text.substr(1)) : with_commas(text);
}

std::string money_text(Money amount) {
  const std::string plain = fmt::format("{:03}", std::abs(amount.minor));
  const std::size_t point = plain.size() - 2;
  return fmt::format("{}{}.{}", amount.minor < 0 ? "-" : "", with_commas(plain.substr(0, point)),
                     plain.substr(point));
}

std::string money_text(const std::optional<Money>& amount) {
  return amount ? money_text(*amount) : "not known";
}

std::string days_text(double days) {
  require_finite(days);
  if (days > 0 && days < 0.01) {
    return "under 0.01 days";
  }
  return with_unit(figures_text(days, 2, 9.95), "days");
}

std::string amount_text(double amount, std::string_view unit) {
  return with_unit(figures_text(amount, 3, 999.5), unit);
}

std::string life_text(double amount, std::string_view unit) {
  const std::string text = amount_text(amount, unit);
  if (unit != "days" || amount < 2 * kDaysPerYear) {
    return text;
  }
  const double years = amount / kDaysPerYear;
  return fmt::format("{} ({} years)", text,
                     years < 9.95 ? fmt::format("{:.1f}", years) : figures_text(years, 2, 9.95));
}

std::string_view severity_words(domain::Severity severity) {
  using domain::Severity;
  switch (severity) {
    case Severity::safety:
      return "could hurt someone";
    case Severity::stranded:
      return "would strand you";
    case Severity::uninhabitable:
      return "could not live in it";
    case Severity::degraded:
      return "works less well";
    case Severity::nuisance:
      return "a nuisance";
  }
  throw std::logic_error("a severity outside its list");
}

std::string short_chance(double probability) {
  const std::string text = chance_text(probability);
  if (text.rfind("over ", 0) == 0) {
    return ">" + text.substr(5);
  }
  if (text.rfind("under ", 0) == 0) {
    return "<" + text.substr(6);
  }
  return text;
}

std::string cost_text(double cost) {
  require_finite(cost);
  if (cost > 0 && cost < 0.01) {
    return "under 0.01";
  }
  if (std::abs(cost) >= kVast) {
    return fmt::format("{:.2e}", cost);
  }
  return money_text(Money{std::llround(cost * 100)});
}

std::string_view estimate_caution() {
  return "These are estimates for filling a parts box; no chance printed here makes a rig safe. "
         "A missing alarm, a failed brake test, a smell of gas or a hot hub means stop, whatever "
         "the figures say.";
}

}  // namespace shearpin::report
