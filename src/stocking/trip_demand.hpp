#pragma once
/// Demand for one part, and days without it, over a trip with several chances to receive it.

#include <vector>

#include "stocking/levels.hpp"
#include "stocking/trip_plan.hpp"

namespace shearpin::stocking {

/// Bounds of a chance.
struct ChanceRange {
  double low;
  double high;

  double middle() const { return (low + high) / 2; }
  double half_width() const { return (high - low) / 2; }
};

/// The whole answer for one part. With n pieces at the departure, brought back to n at each
/// receipt, there is no shortage on the trip exactly when D(c_k, d_(k+1)] <= n in every interval;
/// where stops bring B_k pieces by d_k that were ordered before, when it is <= n + B_k.
struct TripDemand {
  /// P(D(c_k, d_(k+1)] = m), mixed over the nodes; the first takes in what is dead at the start.
  std::vector<Pmf> intervals;
  /// Expected sum over the intervals of the days for which demand since the cut-off, less what was
  /// brought, is m + 1 or more: entry m of the integral over (d_k, d_(k+1)].
  std::vector<double> days_short;
  /// P(shortage) lies between these for n = 0, 1, ...; past the end it is at most `cut_off`, the
  /// largest tail that an interval lacks.
  std::vector<double> shortage_low;
  std::vector<double> shortage_high;
  double cut_off = 0;

  /// Chance of no shortage on the trip with n pieces: between max(0, 1 - sum_k P(D_k > n)) and
  /// min_k P(D_k <= n), both within each node (Bonferroni; Frechet), then mixed. Equal with one
  /// interval. 0 for n < 0.
  ChanceRange chance(long n) const;

  /// Smallest n with a lower bound, and with an upper bound, of at least `target` (as
  /// smallest_covering). InputError unless 0 <= target <= kLargestChance.
  long surely_enough(double target) const;
  long possibly_enough(double target) const;

  /// Expected days without for n = 0, 1, ..., sum over k of the integral over t in
  /// (d_k, d_(k+1)] of sum_{j=0..most-1} P(D(c_k, t] > n + j set). An upper bound where more than
  /// one unit can stand dead or there are several intervals, since what stands dead does not fail
  /// again. Ends where the value falls below 1e-9 x days. InputError for a negative count.
  DaysWithout days_without(Standing standing) const;

  double days = 0;  ///< length of the trip

  /// Sets cut_off from the intervals.
  void note_cut_off();
};

/// Works it out: by StretchDemand where nothing can be received on the way, else by sums over the
/// trip. InputError as trip_plan.hpp and FittedDemand state; NumericError as they or the sums do.
/// The same input gives the same bytes.
TripDemand trip_demand(const TripDemandInput& input, const TripPlan& plan);

/// By sums, whatever the plan. Within a node every position is a delayed renewal process on its own
/// exposure clock; an interval that starts later sees the unit that is there then (forward
/// recurrence).
/// Method: renewal sums with exact increments of the life's distribution on points common to all
/// positions, twice as many points for extrapolation (Richardson), closer ones where a node's life
/// is short; Boole's rule over time.
/// Accuracy (tests/unit/stocking/trip_demand_test.cpp): probabilities 1e-6 and days without 1e-5 x
/// days for each unit (3e-5 where legs are uneven) for posteriors about shapes 0.8 to 5 and trips
/// of up to 25 lives; a single node of shape below 0.8 to 1e-5. Renewals that recur within the trip
/// included, up to 20 of them. Nodes under which the trip is more than 64 lives (12 where they
/// weigh less than 1e-5) are counted interval by interval as settled processes: 1e-3 of what they
/// weigh. NumericError for a node with more than 100 000 lives and for more than 60 renewals of one
/// unit. Cost: some milliseconds for a posterior of 240 nodes, three positions and five stops; tens
/// where the trip is some lives long.
TripDemand trip_demand_by_sums(const TripDemandInput& input, const TripPlan& plan);

}  // namespace shearpin::stocking
