#pragma once
/// One part over a trip with stops: what it lives from between the chances to receive it.

#include <memory>

#include "advice/stretch.hpp"
#include "shearpin/stocking/trip_chance.hpp"

namespace shearpin::advice {

/// A carry line for a trip with what it came from, kept for kits and simulation.
struct TripCase {
  CarryLine line;
  LifeBelief belief;
  /// Beliefs of other parts now fitted in this one's places: `input` looks into them.
  std::vector<std::unique_ptr<LifeBelief>> others;
  stocking::TripDemandInput input;
  stocking::TripPlan plan;
  stocking::DaysWithout days_without;  ///< for stock 0, 1, ...
  stocking::DaysWithout cost;          ///< of those days
  stocking::DaysWithout safety_cost;   ///< the share of `cost` at safety positions
  std::vector<double> chances;         ///< of no shortage, for stock 0, 1, ...
  double piece_cost = 0;
  double exposure = 0;  ///< effective, all units
};

/// `window.trip` must be set.
TripCase trip_case(const Analyst& analyst, PartId part, const Window& window);

/// Exposure a day of a position, or of what is used up, leg by leg of the window's trip.
std::vector<stocking::ExposureSegment> segments_of(const Analyst& analyst,
                                                   const domain::Position& position,
                                                   const Window& window);

}  // namespace shearpin::advice
