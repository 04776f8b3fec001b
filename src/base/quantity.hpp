#pragma once
/// Numbers with units as people type them, read without octal, hex, nan, inf or silent overflow.
/// Every reader throws InputError naming the text, the rule and an accepted example.
/// Digits may be grouped: `12,000` and `7 500` are numbers; the decimal sign is a point.

#include <cstdint>
#include <string>
#include <string_view>

namespace shearpin {

/// The international mile, exact by definition (1959).
inline constexpr double kKilometresPerMile = 1.609344;

/// The Julian year, by which rates per year are kept.
inline constexpr double kDaysPerYear = 365.25;

/// A plain decimal number; `what` names the thing in messages ("price", "shape").
double parse_number(std::string_view text, std::string_view what);

/// A whole number from `least` to 1,000,000.
std::int64_t parse_count(std::string_view text, std::string_view what, std::int64_t least = 1);

/// Mass in grams: `12g`, `300 g`, `12 kg`, `1.5kg`, `4 oz`, `2 lb`. A bare number needs a unit.
double parse_mass_g(std::string_view text);

/// Volume in millilitres: `5ml`, `2.5 l`, `1 cl`, `900 cm3`. A bare number needs a unit.
double parse_volume_ml(std::string_view text);

/// A span in days: `10y` (365.25 days), `6 months` (30.4375), `3 weeks`, `36 h`, `5 days`, `5d`.
/// A bare number is days.
double parse_days(std::string_view text, std::string_view what);

/// A rate per day: `60/day`, `0.5/day`, `0.5`, `420/week`, `1000/month`, `12000/year`.
double parse_per_day(std::string_view text, std::string_view what);

/// A chance or share: `2%`, `0.02`; from 0 to 1.
double parse_share(std::string_view text, std::string_view what);

/// An electrical rating in amperes: `15A`, `7.5 A`, `250`.
double parse_ampere(std::string_view text);

/// An amount of exposure in the meter's own unit (`km`, `h`, `cycles`, `nights`, `days`),
/// converting `mi` to and from `km`: `12,000 km`, `7 500 mi`, `93 h`, `250 cycles`, or a bare
/// number in `unit`. Refuses a unit of another kind (km for an hour meter).
double parse_exposure(std::string_view text, std::string_view unit, std::string_view what);

/// The shortest decimal text that reads back as the same number; no exponent below 10^15.
std::string plain_number(double value);

/// `digits` significant figures without an exponent: 0.01234 -> 0.012, 12345 -> 12000.
std::string significant(double value, int digits);

/// `1.2 kg`, `300 g`, `6 g`: for people.
std::string mass_text(double grams);

/// `2.5 L`, `250 mL`: for people.
std::string volume_text(double millilitres);

/// A chance for people, never more than two figures, never 0 % or 100 % unless exact: `87 %`,
/// `0.4 %`, `over 99.9 %`, `under 0.1 %`.
std::string chance_text(double probability);

}  // namespace shearpin
