#pragma once
/// Demand for one part from the units fitted in its positions, over a stretch of days, when the
/// life of the part is known only as a posterior. Within a node of the posterior each position is a
/// delayed renewal process and positions are independent; the mixture over nodes comes last, since
/// all units share the unknown life.

#include <limits>
#include <memory>
#include <span>
#include <vector>

#include "shearpin/stats/weibull.hpp"
#include "stocking/distribution.hpp"

namespace shearpin::stocking {

/// One position and the unit in it. Ages and exposures are effective ones, in the unit of the
/// posterior's scale. The stretch of days starts at day 0, "the start".
struct UnitState {
  /// Age at the start; with `untested`, age at the last passed test; with `before`, age today. >=
  /// 0.
  double age = 0;
  /// Hidden classes: exposure since the last passed test. A failure in it is found, and is demand,
  /// at the start; the unit put in then is new.
  double untested = 0;
  /// Exposure a day during the stretch; >= 0, 0 for a position that stands still.
  double exposure_per_day = 0;
  /// Exposure between today and the start, for stretches that start later: what fails before the
  /// start is replaced by a new unit then and is no demand of the stretch.
  double before = 0;
  /// Days between today and the start; only read together with renewed_every_days or a negative
  /// due_days.
  double before_days = 0;
  /// Dead, on a workaround or on a stand-in: one certain demand at the start, new unit from age 0.
  bool down = false;
  /// Day on which a planned renewal or the marked end of this unit falls, counted from the start;
  /// it is demand if the unit has not failed before. 0 or less, with before_days 0: due already,
  /// demand at the start. Negative with before_days > 0: renewed that many days before the start.
  double due_days = std::numeric_limits<double>::infinity();
  /// Units put in later are likewise renewed this many days after they go in; > 0.
  double renewed_every_days = std::numeric_limits<double>::infinity();
  /// Pieces of the part that one unit takes (cells that drain together): demand is in pieces. 1 to
  /// 1000.
  int pieces = 1;
  /// Set when the unit in the position is of another part: that part's own posterior, independent
  /// of this one; the units put in later are of this part. Must outlive the constructor call only.
  std::span<const stats::WeibullNode> first_life = {};
};

/// Accuracy: every probability within 1e-6 of the exact mixture for shapes 0.5 to 8, ages and
/// stretches to 50 lives, 1 to 500 positions (measured: docs/validation.md); within 1e-4 where
/// eight or more renewals of a fixed period lie ahead of positions that are not alike. Nodes that
/// carry less than 1e-10 of the weight are left out. The same input gives the same bytes.
class FittedDemand {
 public:
  /// nodes: weights >= 0 with sum 1 (within 1e-6); nodes that share one exact shape should stand
  /// next to each other (a row), since a row shares its tables. units: any number, 0 for no demand.
  /// longest_days >= 0: no later question may ask for more.
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
