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

/// P(N >= failures) for the failures of all places together: within a node each place is a delayed
/// renewal process and places are independent, mixed over the nodes. Counts failures alone: not
/// planned renewals, not pieces, not a unit that was dead already. nodes: the posterior *without*
/// the watched failures and exposure, weights sum to 1, nodes of one shape together; made with
/// PosteriorOptions::lives about `failures` where the chance matters below 1e-6. failures >= 0 (0
/// gives 1); positions >= 1. Accuracy for given nodes of shape 0.7 to 8: 1e-7 of the chance up to
/// 10 failures, 1e-12 beyond; smaller shapes 1e-8; past 64 lives in one stretch 1e-4 (below shape
/// 0.2 the stretch is cut there). A posterior's own nodes leave out up to 1e-10. Shapes 0.05 to
/// 200; nodes outside them that weigh less than 1e-9 are left out. InputError outside the domain.
/// Checked in tests/reference/stocking/renewal.csv.
FailureChance chance_of_as_many(std::span<const stats::WeibullNode> nodes,
                                std::span<const WatchedPlace> places, long failures,
                                long positions);

}  // namespace shearpin::stocking
