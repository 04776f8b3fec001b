#pragma once
/// Costing the days without of positions that differ in what a day costs.

#include <vector>

#include "stocking/levels.hpp"

namespace shearpin::advice {

/// sum over groups of cost_i (W_i - W_(i-1)), entry by entry: days_without[i] is that of the groups
/// up to i together, the severest first, since what is at hand serves the severest first.
stocking::DaysWithout costed(const std::vector<stocking::DaysWithout>& days_without,
                             const std::vector<double>& costs);

}  // namespace shearpin::advice
