#pragma once
/// Parts that may stand in for one another on a trip: what that gains over every part for itself,
/// for each combination of pieces.

#include <span>
#include <vector>

#include "stocking/trip_plan.hpp"

namespace shearpin::stocking {

/// What one piece that is missing for one day costs; safety <= cost is the share of it that is a
/// danger to people.
struct DayCost {
  double cost = 1;
  double safety = 0;
};

/// One part of a group.
struct StandInPart {
  TripDemandInput demand;
  TripPlan plan;
  std::vector<DayCost> unit_costs;  ///< by unit of `demand`
  DayCost extra_cost;               ///< of what the extra demand asks for
  /// Parts of the group whose pieces serve this one's demand when its own have run out, in order of
  /// preference, by place in the group.
  std::vector<std::size_t> stand_ins;
};

/// What a combination of pieces gains by standing in: chances above 0 are better, days and costs
/// below 0. A piece lent may be missed by its own part, so only the chance of the whole group never
/// falls.
struct StandInGain {
  std::vector<double> chance;        ///< by set: that none of its parts is ever short
  std::vector<double> chance_error;  ///< standard errors
  double days = 0;                   ///< pieces x days missing
  double cost = 0, safety = 0;       ///< of those days
  double cost_error = 0;
};

/// For each of `stocks` (pieces by part at the departure, brought back to at each receipt) the mean
/// difference between a trip on which pieces stand in and one on which none does, over the same
/// 2^16 histories, fixed once and for all: the same input gives the same bytes. Added to what
/// trip_demand says of each part alone it gives the group's figures, so that they are exactly the
/// parts' own where nothing stands in. `sets`: places of parts that shall not be short together.
///
/// A history: nodes by their weights, independent between parts; a unit that fails, or falls due,
/// takes its pieces when it does, first come first served: its part's own, else those of the
/// stand-ins in their order, and lives on as a unit of the part that the last piece came from. What
/// is missing waits, the unit stands still. Receipts serve those that wait, longest first. Parcels
/// come for the stop they are ordered for and bring a part back to its own stock, less what waits
/// for it; a piece lent is made good at the lender's own next receipt: as simulate_trip has it.
/// InputError and NumericError as trip_demand; InputError also for plans of different lengths, unit
/// costs that are not one a unit, negative stocks or costs, and stand-ins or sets outside the
/// group.
std::vector<StandInGain> stand_in_gains(std::span<const StandInPart> parts,
                                        std::span<const std::vector<long>> stocks,
                                        std::span<const std::vector<std::size_t>> sets);

}  // namespace shearpin::stocking
