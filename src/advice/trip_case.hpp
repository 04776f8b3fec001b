#pragma once
/// One part over a trip with stops: what it lives from between the chances to receive it.

#include "advice/stretch.hpp"
#include "advice/trip_part.hpp"
#include "stocking/trip_chance.hpp"

namespace shearpin::advice {

/// A carry line for a trip with what it came from, kept for kits and simulation.
struct TripCase {
  CarryLine line;
  TripPart part;
  stocking::DaysWithout days_without;  ///< for stock 0, 1, ...
  stocking::DaysWithout cost;          ///< of those days
  stocking::DaysWithout safety_cost;   ///< the share of `cost` at safety positions
  std::vector<double> chances;         ///< of no shortage, for stock 0, 1, ...
  double piece_cost = 0;
};

/// `window.trip` must be set.
TripCase trip_case(const Analyst& analyst, PartId part, const Window& window);

}  // namespace shearpin::advice
