#pragma once
/// Demand for one part from the units fitted in its positions, over a stretch of days, when the
/// life of the part is known only as a posterior. Within a node of the posterior each position is a
/// delayed renewal process and positions are independent; the mixture over nodes comes last, since
/// all units share the unknown life.

#include <memory>
#include <span>
#include <vector>

#include "shearpin/stats/weibull.hpp"
#include "stocking/distribution.hpp"
#include "stocking/unit_state.hpp"

namespace shearpin::stocking {

/// Accuracy: every probability within 1e-6 of the exact mixture for shapes 0.5 to 8, ages and
/// stretches to 50 lives, 1 to 500 positions (measured: docs/validation.md); within 1e-4 where
/// eight or more renewals of a fixed period lie ahead of positions that are not alike. Nodes that
/// carry less than 1e-10 of the weight are left out. The same input gives the same bytes.
class FittedDemand {
 public:
  /// nodes: weights >= 0 with sum 1 (within 1e-6); nodes that share one exact shape should stand
  /// next to each other (a row), since a row shares its tables. units: any number, 0 for no demand.
  /// longest_days >= 0: no later question may ask for more. Units of uneven use must not be renewed
  /// within it.
  /// Nodes under which more than 200 000 pieces are expected, or more than 100 000 lives in one
  /// position, count as a demand of 100 000 where they weigh no more than 1e-3 together: no chance
  /// of smaller demands moves.
  /// InputError for negative, not finite or empty input as stated; NumericError where they weigh
  /// more and a position would see more than 100 000 lives, and where the number of positions that
  /// are not alike times the renewals ahead of them is above 2000.
  FittedDemand(std::span<const stats::WeibullNode> nodes, std::span<const UnitState> units,
               double longest_days);
  ~FittedDemand();
  FittedDemand(FittedDemand&&) noexcept;
  FittedDemand& operator=(FittedDemand&&) noexcept;
  FittedDemand(const FittedDemand&) = delete;
  FittedDemand& operator=(const FittedDemand&) = delete;

  /// Distribution of the total demand in [0, days], demand at the start included; days 0 gives the
  /// demand at the start alone. InputError unless 0 <= days <= longest_days.
  Pmf distribution(double days) const;

  /// The same for many stretches at once, in the order given; much cheaper than one by one.
  std::vector<Pmf> distributions(std::span<const double> days) const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace shearpin::stocking
