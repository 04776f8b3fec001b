#pragma once
/// The trip simulation by other code: one queue of events, one stream of random numbers.

#include "stocking/trip_simulation.hpp"

namespace shearpin::stocking::oracles {

/// As simulate_trip; input is taken to be valid.
TripSimulation simulate_by_events(std::span<const SimulatedPart> parts,
                                  const SimulationOptions& options);

}  // namespace shearpin::stocking::oracles
