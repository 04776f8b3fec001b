#pragma once
/// Bad luck or a fault? The chance of as many failures as were seen, or more, had nothing but the
/// life of the part been at work.

#include <span>

#include "shearpin/stats/weibull.hpp"

namespace shearpin::stocking {

/// One unit's place while it was watched: effective age of the unit in it when the watching began,
/// and effective exposure of the place while it lasted; a unit that failed was replaced at once by
/// a new one. Both >= 0.
struct WatchedPlace {
  double age;
  double exposure;
};

/// Chances of the number seen or more.
struct FailureChance {
  double here;      ///< P(N >= failures) over the places given
  double anywhere;  ///< min(1, here x positions watched): so many chances were taken (Bonferroni)
};

/// P(N >= failures) for the failures of all places together: the demand of units that are replaced
/// at once, as FittedDemand counts it: to 1e-6, and nothing where it is below 1e-9. Counts failures
/// alone: not planned renewals, not pieces, not a unit that was dead already. nodes: the posterior
/// *without* the watched failures and exposure. failures >= 0 (0 gives 1); positions >= 1.
/// InputError outside the domain, NumericError as FittedDemand.
FailureChance chance_of_as_many(std::span<const stats::WeibullNode> nodes,
                                std::span<const WatchedPlace> places, long failures,
                                long positions);

}  // namespace shearpin::stocking
