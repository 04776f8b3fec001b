#pragma once
/// One part as a trip, or a stretch of days, asks for it: units and legs, what else takes it, where
/// it can be had, what a day without it costs.

#include <memory>
#include <vector>

#include "advice/analyst.hpp"
#include "advice/part_extras.hpp"
#include "shearpin/advice/window.hpp"
#include "stocking/levels.hpp"
#include "stocking/stand_ins.hpp"
#include "stocking/trip_plan.hpp"

namespace shearpin::advice {

/// Positions whose day without costs the same, severest first.
struct UnitGroup {
  double cost_of_day = 0;
  bool safety = false;
  std::size_t units = 0;        ///< of this group and all severer ones
  stocking::Standing standing;  ///< in these
};

struct TripPart {
  std::vector<Caller> callers;
  std::optional<Consumption> consumption;
  LifeBelief belief;
  /// Beliefs of other parts now fitted in this one's places: `input` looks into them.
  std::vector<std::unique_ptr<LifeBelief>> others;
  stocking::TripDemandInput input;
  stocking::TripPlan plan;
  std::vector<domain::Receipt> receipts;  ///< home last; empty for a stretch of days
  std::int64_t arriving = 0;  ///< on order, planned to be at base on the eve of the departure
  std::int64_t waiting = 0;   ///< on order, sent to stops: those of `receipts`
  std::vector<UnitGroup> groups;
  stocking::Standing standing{0, stocking::kUnlimited};  ///< in all places
  std::vector<double> leg_exposure;  ///< effective, all units and what is used up
  double exposure = 0;               ///< its sum
  int units = 0;
  int down = 0;                   ///< of them without a sound one now
  bool assumed_exposure = false;  ///< some exposure rests on a class's usual rate
  double mean_consumed = 0, mean_losses = 0;

  /// Of a piece missing from each unit's place, and of what is used up or lost.
  std::vector<stocking::DayCost> unit_costs() const;
  stocking::DayCost extra_cost(domain::Severity severity) const;
};

/// Works it out; a window without a trip is one leg without a stop.
TripPart trip_part(const Analyst& analyst, PartId part, const Window& window);

/// Exposure a day of a position, leg by leg; of a stretch of days one leg of even use.
std::vector<stocking::ExposureSegment> segments_of(const Analyst& analyst,
                                                   const domain::Position& position,
                                                   const Window& window);

/// Effective exposure of legs in all.
double total_exposure(const std::vector<stocking::ExposureSegment>& legs);

/// Exposure of a position between the as-of day and the start of the window: at the usual rate, of
/// a trip under way as the plan of the as-of day has it.
double exposure_before(const Analyst& analyst, const domain::Position& position,
                       const Window& window);

}  // namespace shearpin::advice
