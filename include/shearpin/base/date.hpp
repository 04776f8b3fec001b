#pragma once
/// Civil dates as people write them. No clock is read here: `today` is always an argument.

#include <chrono>
#include <string>
#include <string_view>

namespace shearpin {

/// A civil day, no time zone. Differences are std::chrono::days.
using Date = std::chrono::sys_days;

/// Reads `2026-08-03`, `today`, `yesterday`, `3d ago` (also `3 days ago`, `2 weeks ago`),
/// `last friday` (the latest Friday before today), `2025-10` (its first day), `2022-W16`
/// (Monday of an ISO 8601 week), and a tyre's code of it `1622` (weeks 01-53, years 2000-2099; one
/// that reads like a year, such as 2027 for week 20, is refused). Letter case and surrounding
/// spaces do not matter. Years 1950 to 2199.
/// Throws InputError naming the text, the rule and an accepted example; 2025-02-30 is refused.
Date parse_date(std::string_view text, Date today);

/// `2026-08-03`.
std::string to_text(Date date);

/// Days from `from` to `to`; negative when `to` is earlier.
int days_between(Date from, Date to);

}  // namespace shearpin
