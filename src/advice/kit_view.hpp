#pragma once
/// From the parts' tables to the best kit under limits, to the frontier and to the simulator.

#include <vector>

#include "advice/carry_case.hpp"
#include "shearpin/advice/advise.hpp"
#include "shearpin/advice/kit.hpp"

namespace shearpin::advice {

/// One part as the kit sees it: what n = 0, 1, ... pieces leave uncovered.
struct KitTable {
  CarryLine line;  ///< without its demand
  stocking::DaysWithout days, cost, safety_cost;
  std::vector<double> chances;
  /// The same with the worn take-offs aboard, each lasting with its chance, as `carry` tells it.
  std::vector<double> chances_with_worn;
};

/// What `n` pieces leave uncovered, of a figure of KitTable: nothing past its end.
inline double left_by(const stocking::DaysWithout& figure, long n) {
  const auto i = static_cast<std::size_t>(n);
  return i < figure.size() ? figure[i] : 0;
}

/// Pieces past the advised level that a risk cap may call for.
inline constexpr std::int64_t kPastAdvised = 3;

KitTable table_of(const CarryCase& found);

/// The best kit, what stands in its way, what to leave first, what a little more would buy. Parts
/// that may stand in for one another are taken together.
KitView kit_view(const Analyst& analyst, const std::vector<KitTable>& tables, const Window& window,
                 const KitLimits& limits);

/// Undominated kits by money and by mass from what is aboard to all that is advised, every part for
/// itself.
Frontier frontier_of(const Analyst& analyst, const std::vector<KitTable>& tables);

/// The kit of a trip played through by the seeded simulator. Pieces: of the kit under limits where
/// the answer has one, else what is aboard or advised, whichever is more. Parts that also fit stand
/// in, as in the kit (stand_ins_among). InputError without a trip.
SimulationView simulate_kit(const Analyst& analyst, const std::vector<CarryCase>& trips,
                            const CarryAnswer& answer, const SimulateOptions& options);

}  // namespace shearpin::advice
