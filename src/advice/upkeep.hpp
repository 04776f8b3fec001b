#pragma once
/// What to do before a part fails: replacing in time, testing what fails unseen; and whether a
/// condition really shortens its life.

#include <optional>
#include <vector>

#include "advice/analyst.hpp"
#include "shearpin/advice/inquiry.hpp"

namespace shearpin::advice {

/// When to replace units before they fail. Costs: one unit's pieces, and the policy's swap-days or
/// breakdown-days at the cost of a day without of the severest position. Nothing for a part that no
/// position calls for, that fails unseen, or whose price is not known.
std::optional<ReplacementLine> replacement_line(const Analyst& analyst, PartId part,
                                                const LifeBelief& belief);

/// How often to test a part of a hidden class for the policy's test-availability, by the ages at
/// which its fitted units were last known good: the shortest of their intervals, or that of a new
/// unit where none is fitted. Nothing for other classes.
std::optional<TestIntervalLine> test_interval_line(const Analyst& analyst, PartId part,
                                                   const LifeBelief& belief);

/// Every condition the class is sensitive to with which and without which its units were watched.
std::vector<FactorLine> factor_lines(const Analyst& analyst, PartId part, const LifeBelief& belief);

}  // namespace shearpin::advice
