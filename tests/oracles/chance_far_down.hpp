#pragma once
/// The chance of many failures, good to a share of itself however small it is.

#include "stocking/failure_chance.hpp"

namespace shearpin::stocking {

/// FailureChance::here by tails that are summed without a difference. Accuracy for given nodes of
/// shape 0.7 to 8: 1e-7 of the chance up to 10 failures, 1e-12 beyond; smaller shapes 1e-8; past 64
/// lives in one stretch 1e-4 (below shape 0.2 the stretch is cut there). Shapes 0.05 to 200. Input
/// is taken to be valid. Checked in tests/reference/stocking/renewal.csv.
double chance_far_down(std::span<const stats::WeibullNode> nodes,
                       std::span<const WatchedPlace> places, long failures);

}  // namespace shearpin::stocking
