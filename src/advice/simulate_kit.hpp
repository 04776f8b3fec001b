#pragma once
/// The kit of a trip played through by the seeded simulator.

#include "advice/carry_case.hpp"
#include "shearpin/advice/advise.hpp"

namespace shearpin::advice {

/// Pieces: of the kit under limits where the answer has one, else what is aboard or advised,
/// whichever is more. Parts that also fit stand in, as in the kit (stand_ins_among). InputError
/// without a trip.
SimulationView simulate_kit(const Analyst& analyst, const std::vector<CarryCase>& trips,
                            const CarryAnswer& answer, const SimulateOptions& options);

}  // namespace shearpin::advice
