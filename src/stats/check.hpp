#pragma once
/// Argument checks of the statistics: InputError that names the value and the rule.

#include <string_view>

namespace shearpin::stats {

/// Refuses a value that is not finite or not above 0 (or, not_negative, below 0).
void require_positive(std::string_view name, double value);
void require_not_negative(std::string_view name, double value);
/// Refuses a value outside the open interval (0, 1).
void require_fraction(std::string_view name, double value);

}  // namespace shearpin::stats
