#pragma once
/// Demand from things left behind or stolen.

#include "stocking/distribution.hpp"

namespace shearpin::stocking {

/// Belief of the yearly loss rate of one item once a loss has been recorded:
/// Gamma(shape, shape x years): one loss in `years` item-years, worth `shape` losses.
struct LossBelief {
  double shape = 0.5;
  double years = 10;
};

/// What the ledger holds of one part.
struct LossRecord {
  long losses = 0;        ///< recorded losses, >= 0
  double item_years = 0;  ///< items fitted or aboard times years on record, >= 0
  double items = 0;       ///< items fitted or aboard today, >= 0
};

/// Losses over `years` >= 0: none as long as no loss has been recorded (class lives include them
/// where they happen), else negative binomial: Gamma(shape + losses, shape x belief.years +
/// item_years) mixed with Poisson over items x years. InputError for negative or not finite values.
Pmf loss_demand(const LossRecord& record, double years, const LossBelief& belief = {});

}  // namespace shearpin::stocking
