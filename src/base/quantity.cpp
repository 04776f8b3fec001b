#include "base/quantity.hpp"

#include <fmt/format.h>

#include <array>
#include <optional>
#include <span>
#include <stdexcept>

#include "base/number_text.hpp"
#include "base/text.hpp"
#include "shearpin/base/error.hpp"

namespace shearpin {
namespace {

// International avoirdupois ounce and pound, international mile: exact by definition
// (NIST Special Publication 811, 2008, appendix B.8).
constexpr double kGramsPerOunce = 28.349523125;
constexpr double kGramsPerPound = 453.59237;
constexpr double kDaysPerMonth = kDaysPerYear / 12;

struct Unit {
  std::string_view name;
  double factor;
};

constexpr Unit kMassUnits[] = {{"mg", 0.001},
                               {"g", 1},
                               {"gram", 1},
                               {"grams", 1},
                               {"kg", 1000},
                               {"kilo", 1000},
                               {"kilos", 1000},
                               {"oz", kGramsPerOunce},
                               {"lb", kGramsPerPound},
                               {"lbs", kGramsPerPound}};

constexpr Unit kVolumeUnits[] = {
    {"ml", 1},        {"cm3", 1},    {"cm\u00b3", 1},   {"cc", 1},        {"cl", 10},
    {"dl", 100},      {"l", 1000},   {"litre", 1000},   {"litres", 1000}, {"liter", 1000},
    {"liters", 1000}, {"dm3", 1000}, {"dm\u00b3", 1000}};

constexpr Unit kSpanUnits[] = {{"", 1},
                               {"d", 1},
                               {"day", 1},
                               {"days", 1},
                               {"h", 1.0 / 24},
                               {"hour", 1.0 / 24},
                               {"hours", 1.0 / 24},
                               {"w", 7},
                               {"wk", 7},
                               {"week", 7},
                               {"weeks", 7},
                               {"mo", kDaysPerMonth},
                               {"month", kDaysPerMonth},
                               {"months", kDaysPerMonth},
                               {"y", kDaysPerYear},
                               {"yr", kDaysPerYear},
                               {"year", kDaysPerYear},
                               {"years", kDaysPerYear}};

constexpr Unit kCurrentUnits[] = {{"", 1}, {"a", 1}, {"amp", 1}, {"amps", 1}, {"ma", 0.001}};

constexpr Unit kBare[] = {{"", 1}};

constexpr std::string_view kNumberRule =
    "plain digits, a point for decimals, no leading zero, exponent, hex, nan or inf";

/// "7 500 mi" -> {"7 500", "mi"}; the unit in lower case.
struct NumberAndUnit {
  std::string_view number;
  std::string unit;
};

NumberAndUnit split_unit(std::string_view text) {
  text = trimmed(text);
  const auto end = text.find_first_not_of("-0123456789., ");
  const std::string_view number = text.substr(0, end);
  return {trimmed(number),
          end == std::string_view::npos ? "" : lower_case(trimmed(text.substr(end)))};
}

const Unit* find_unit(std::span<const Unit> units, std::string_view name) {
  for (const Unit& unit : units) {
    if (unit.name == name) {
      return &unit;
    }
  }
  return nullptr;
}

/// What a kind of quantity takes, for its messages.
struct Kind {
  std::string_view what;
  std::string_view accepted;  ///< "g, kg, oz or lb"
  std::string_view example;
};

[[noreturn]] void refuse(std::string_view text, std::string_view what, std::string_view rule,
                         std::string_view example) {
  throw InputError(
      fmt::format("{} {} is refused: {}, for example {}", what, quoted(text), rule, example));
}

/// The number in `text` times the factor of its unit; zero or more.
double parse_with_unit(std::string_view text, std::span<const Unit> units, const Kind& kind) {
  const NumberAndUnit parts = split_unit(text);
  const auto number = read_number(parts.number);
  if (!number) {
    refuse(text, kind.what, fmt::format("a number is {}", kNumberRule), kind.example);
  }
  const Unit* unit = find_unit(units, parts.unit);
  if (unit == nullptr) {
    refuse(text, kind.what, fmt::format("it needs a number and {}", kind.accepted), kind.example);
  }
  if (*number < 0) {
    refuse(text, kind.what, "it cannot be less than zero", kind.example);
  }
  return *number * unit->factor;
}

enum class ExposureKind { distance, hours, cycles, nights, days };

struct ExposureUnit {
  std::string_view name;
  ExposureKind kind;
  double factor;  ///< to km, h, cycles, nights, days
};

constexpr ExposureUnit kExposureUnits[] = {{"km", ExposureKind::distance, 1},
                                           {"kilometre", ExposureKind::distance, 1},
                                           {"kilometres", ExposureKind::distance, 1},
                                           {"kilometer", ExposureKind::distance, 1},
                                           {"kilometers", ExposureKind::distance, 1},
                                           {"mi", ExposureKind::distance, kKilometresPerMile},
                                           {"mile", ExposureKind::distance, kKilometresPerMile},
                                           {"miles", ExposureKind::distance, kKilometresPerMile},
                                           {"h", ExposureKind::hours, 1},
                                           {"hour", ExposureKind::hours, 1},
                                           {"hours", ExposureKind::hours, 1},
                                           {"min", ExposureKind::hours, 1.0 / 60},
                                           {"cycle", ExposureKind::cycles, 1},
                                           {"cycles", ExposureKind::cycles, 1},
                                           {"night", ExposureKind::nights, 1},
                                           {"nights", ExposureKind::nights, 1},
                                           {"d", ExposureKind::days, 1},
                                           {"day", ExposureKind::days, 1},
                                           {"days", ExposureKind::days, 1},
                                           {"week", ExposureKind::days, 7},
                                           {"weeks", ExposureKind::days, 7}};

const ExposureUnit* find_exposure_unit(std::string_view name) {
  for (const ExposureUnit& unit : kExposureUnits) {
    if (unit.name == name) {
      return &unit;
    }
  }
  return nullptr;
}

}  // namespace

double parse_number(std::string_view text, std::string_view what) {
  const auto number = read_number(text);
  if (!number) {
    refuse(text, what, fmt::format("a number is {}, below 10^15", kNumberRule), "1250 or 0.5");
  }
  return *number;
}

std::int64_t parse_count(std::string_view text, std::string_view what, std::int64_t least) {
  constexpr std::int64_t kMost = 1'000'000;
  const auto number = read_decimal(text);
  if (number && number->fraction.empty() && number->whole.size() <= 7) {
    const std::int64_t size = std::stoll(number->whole);
    const std::int64_t value = number->negative ? -size : size;
    if (value >= least && value <= kMost) {
      return value;
    }
  }
  refuse(text, what, fmt::format("it must be a whole number from {} to 1,000,000", least),
         std::to_string(least > 3 ? least : 3));
}

double parse_mass_g(std::string_view text) {
  return parse_with_unit(text, kMassUnits, {"mass", "a unit of g, kg, oz or lb", "300 g"});
}

double parse_volume_ml(std::string_view text) {
  return parse_with_unit(text, kVolumeUnits, {"volume", "a unit of ml, cl, l or cm3", "2.5 l"});
}

double parse_days(std::string_view text, std::string_view what) {
  return parse_with_unit(text, kSpanUnits,
                         {what, "h, days, weeks, months or years (alone it is days)", "3 weeks"});
}

double parse_per_day(std::string_view text, std::string_view what) {
  constexpr Kind kind{"", "/day, /week, /month or /year (alone it is a day)", "60/day"};
  const NumberAndUnit parts = split_unit(text);
  std::string_view span = parts.unit;
  for (const std::string_view per : {std::string_view("/"), std::string_view("per ")}) {
    if (span.starts_with(per)) {
      span = trimmed(span.substr(per.size()));
      break;
    }
  }
  // Only "60" is without a span: "60/" lost its word, and "60 days" is no rate.
  const bool bare = parts.unit.empty();
  const Unit* unit = find_unit(kSpanUnits, span);
  if (unit == nullptr || bare != span.empty() || (!bare && span == parts.unit)) {
    refuse(text, what, fmt::format("it needs a number and {}", kind.accepted), kind.example);
  }
  return parse_with_unit(parts.number, kBare, {what, kind.accepted, kind.example}) / unit->factor;
}

double parse_share(std::string_view text, std::string_view what) {
  const NumberAndUnit parts = split_unit(text);
  const auto number = read_number(parts.number);
  if (number && (parts.unit.empty() || parts.unit == "%")) {
    const double share = parts.unit.empty() ? *number : *number / 100;
    if (share >= 0 && share <= 1) {
      return share;
    }
  }
  refuse(text, what, "it must be a share from 0% to 100%, or from 0 to 1", "2% or 0.02");
}

double parse_ampere(std::string_view text) {
  const Kind kind{"rating", "A, mA or nothing", "15A"};
  const double ampere = parse_with_unit(text, kCurrentUnits, kind);
  if (!(ampere > 0)) {
    refuse(text, kind.what, "it must be more than zero amperes", kind.example);
  }
  return ampere;
}

double parse_exposure(std::string_view text, std::string_view unit, std::string_view what) {
  const ExposureUnit* own = find_exposure_unit(unit);
  if (own == nullptr) {
    throw std::logic_error("no such unit of exposure: " + std::string(unit));
  }
  const std::string example = fmt::format("\"1,250 {}\"", unit);
  const NumberAndUnit parts = split_unit(text);
  const auto number = read_number(parts.number);
  if (!number || *number < 0) {
    refuse(text, what, fmt::format("a number of zero or more is {}", kNumberRule), example);
  }
  if (parts.unit.empty()) {
    return *number;
  }
  const ExposureUnit* given = find_exposure_unit(parts.unit);
  if (given == nullptr || given->kind != own->kind) {
    refuse(text, what, fmt::format("it is counted in {}", unit), example);
  }
  // The same unit is kept exact: multiplying and dividing by the mile would cost the last digit.
  return given->factor == own->factor ? *number : *number * given->factor / own->factor;
}

}  // namespace shearpin
