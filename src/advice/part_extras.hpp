#pragma once
/// What takes a part besides failures at positions: use, losses; and failures repaired without one.

#include <cstdint>
#include <optional>

#include "advice/analyst.hpp"
#include "stocking/consumption.hpp"
#include "stocking/losses.hpp"

namespace shearpin::advice {

/// Of a part of a class that is used up.
struct Consumption {
  const domain::ComponentClass* its_class = nullptr;
  stocking::ConsumptionRate rate{1, 1, 1};
  double cost_of_day = 0;
  bool assumed = false;  ///< exposure since the first record rests on the class's usual rate
};

/// Nothing for a part of a class that is fitted, not used up.
std::optional<Consumption> consumption_of(const Analyst& analyst, PartId part);

/// `units_in_place`: units of the part fitted and sound.
stocking::LossRecord losses_of(const Analyst& analyst, PartId part, std::int64_t units_in_place);
stocking::LossBelief loss_belief_of(const domain::Policy& policy);

/// Beta weights of "a failure takes a part", after the record; nothing was ever repaired in place
/// unless `any`.
struct RepairShare {
  bool any = false;
  double took = 1, none = 1;
};
RepairShare repair_share_of(const Analyst& analyst, const LifeBelief& belief);

}  // namespace shearpin::advice
