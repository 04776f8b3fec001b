#pragma once
/// Everything that takes one part over a stretch without a chance to receive it: the units fitted,
/// less what is repaired without a part, and what is used up or lost.

#include <span>
#include <vector>

#include "stocking/fitted_demand.hpp"
#include "stocking/levels.hpp"
#include "stocking/trip_clock.hpp"
#include "stocking/trip_plan.hpp"

namespace shearpin::stocking {

/// P(M = m) when each of N pieces is taken with an unknown chance of law Beta(took, none).
Pmf thinned(const Pmf& count, const TakenShare& share);

/// Distribution of the extra demand in (from, to]; a clock for each.
Pmf extra_demand(std::span<const ExtraDemand> extras, std::span<const TripClock> clocks,
                 double from, double to);

class StretchDemand {
 public:
  /// As FittedDemand, with the same accuracy. `input` is not needed later.
  StretchDemand(const TripDemandInput& input, double longest_days);

  /// Distribution of the total demand in [0, days], demand at the start included, for each of many
  /// stretches; much cheaper than one by one.
  std::vector<Pmf> distributions(std::span<const double> days) const;

  /// Days in the stretch at which the demand jumps (marked ends, renewals) or its rate does.
  std::span<const double> breaks() const { return breaks_; }

  /// Entry m: days of the stretch for which more than m pieces are wanted.
  DaysWithout days_short(double days) const;

  /// Whether the demand of units is best counted here: none is renewed while it is used unevenly,
  /// nor used before the start, which would be far dearer than by sums.
  static bool serves(std::span<const UnitState> units, double days);

 private:
  void add_break(double day, double longest_days);

  FittedDemand fitted_;
  std::optional<TakenShare> taken_;
  std::vector<ExtraDemand> extras_;
  std::vector<TripClock> extra_clocks_;
  std::vector<double> breaks_;  // rising
};

}  // namespace shearpin::stocking
