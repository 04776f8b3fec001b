#pragma once
/// How figures are shown to people. Answers carry full precision; only these functions round.

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>

#include "shearpin/base/money.hpp"
#include "shearpin/domain/vocabulary.hpp"

namespace shearpin::report {

/// Columns that every line of text output keeps within.
inline constexpr std::size_t kWidth = 80;

/// `1,250.00`, `-4.50`: with thousands grouped, for people only.
std::string money_text(Money amount);
/// The same; `not known` for none.
std::string money_text(const std::optional<Money>& amount);

/// `14 days`, `1 day`, `3.5 days`, `0.03 days`, `under 0.01 days`, `0 days`: two figures below ten,
/// whole days above. std::logic_error for a number that is not finite.
std::string days_text(double days);

/// An amount of exposure: three figures below a thousand, whole numbers with thousands grouped
/// above: `93 h`, `0.5 h`, `12,400 km`, `1,095 days`.
std::string amount_text(double amount, std::string_view unit);

/// The amount, with the years beside it where the unit is days and there are two or more:
/// `1,095 days (3.0 years)`.
std::string life_text(double amount, std::string_view unit);

/// `12,400`: a whole number with thousands grouped.
std::string grouped(long long number);

/// What a failure without cover means, in a few words for a heading: `could hurt someone`, `would
/// strand you`, `could not live in it`, `works less well`, `a nuisance`.
std::string_view severity_words(domain::Severity severity);

/// A chance for a narrow column: as chance_text, with `>99 %` for `over 99 %`, `<0.1 %` for
/// `under 0.1 %`.
std::string short_chance(double probability);

/// A cost that was computed: two decimals, `under 0.01` rather than 0.00 for more than nothing.
std::string cost_text(double cost);

/// The caution under every list and report: estimates plan a parts box, they do not make a rig
/// safe.
std::string_view estimate_caution();

/// Where nothing sits in a cell.
inline constexpr std::string_view kNothing = "-";

}  // namespace shearpin::report
