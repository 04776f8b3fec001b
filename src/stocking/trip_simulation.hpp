#pragma once
/// A trip played through, run by run: parcels that take their time, dead units that do not fail
/// again, substitutes. Seeded, so the same input gives the same bytes.

#include <cstdint>
#include <functional>
#include <span>
#include <vector>

#include "shearpin/stats/lead_time.hpp"
#include "stocking/trip_plan.hpp"

namespace shearpin::stocking {

/// Days from order to receipt, from a number in (0, 1); must rise with it.
using LeadSampler = std::function<double(double)>;

/// Draws from a supplier's predictive distribution: lead_time_quantile of the number.
LeadSampler lead_sampler(const stats::LeadTimePosterior& lead);

/// One part, or one pool of parts that are the same to their positions.
struct SimulatedPart {
  TripDemandInput demand;
  /// Stops whose cut-off is the receipt sell the part; at others a parcel ordered on the cut-off
  /// is planned for.
  TripPlan plan;
  /// Pieces at the departure, and to be back to at each receipt besides what was brought; >= 0.
  long stock = 0;
  /// Empty: every parcel comes for the stop it is ordered for. Else one that comes later is
  /// received at the first of the part's stops at or after its day, or not at all.
  LeadSampler lead = {};
  /// Parts whose pieces also serve this part's demand, in order of preference after its own, by
  /// place in the list. A position served so is fitted with a unit of that part.
  std::vector<std::size_t> substitutes = {};
};

struct SimulationOptions {
  long runs = 10'000;  ///< > 0
  std::uint64_t seed = 1;
  /// Told the number of runs done about a hundred times, and at the end.
  std::function<void(long done, long runs)> progress = {};
};

/// A mean over the runs and its standard error.
struct SimulatedMean {
  double mean = 0;
  double standard_error = 0;
};

struct SimulatedPartResult {
  SimulatedMean no_shortage;   ///< chance that none of the part's demand ever waited
  SimulatedMean days_without;  ///< sum over units of the days each stood dead
  SimulatedMean demand;        ///< pieces asked for
};

struct TripSimulation {
  std::vector<SimulatedPartResult> parts;
  SimulatedMean no_shortage;  ///< for all parts together
  long runs = 0;
  std::uint64_t seed = 0;
};

/// Plays the trip. Each run draws a node for every part by its weight, then the parts' histories
/// together, event by event. A unit that fails, or falls due for renewal, takes its pieces: its
/// part's own, else substitutes'; a unit that cannot have all of its pieces takes none and
/// stands still till all can be had (it does not age, fail or fall due). Receipts serve those that
/// wait, longest first, before they go to the shelf. On a cut-off a parcel is ordered that brings
/// the shelf, parcels under way included and less what waits, back to `stock`; where a part is
/// sold, the shelf itself is. What waits to be served by a part's own pieces alone counts as owed;
/// a substitute is taken off the shelf, never ordered for another part. A `taken` share of the
/// demand is drawn once a run. All plans must be equally long. InputError and NumericError as
/// trip_demand; InputError also for a substitute that is not in the list or is the part itself,
/// runs < 1, a stock below 0.
TripSimulation simulate_trip(std::span<const SimulatedPart> parts,
                             const SimulationOptions& options = {});

}  // namespace shearpin::stocking
