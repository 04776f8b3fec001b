#pragma once
/// What lies ahead of one part, over a stretch of days, a trip or life at base: its units and how
/// hard they run on each leg, what else takes it, where it can be had, what a day without it costs.

#include <functional>
#include <map>
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
  stocking::DayCost cost;
  std::size_t units = 0;        ///< of this group and all severer ones
  stocking::Standing standing;  ///< in these
};

/// Expected cost of days without for stock 0, 1, ..., and its share at safety positions.
struct CostOfDays {
  stocking::DaysWithout cost, safety;
};

struct Outlook {
  std::vector<Caller> callers;
  domain::Severity severity = domain::Severity::degraded;  ///< the strictest, after workarounds
  std::optional<Consumption> consumption;
  LifeBelief belief;
  /// Beliefs of other parts now fitted in this one's places: `input` looks into them.
  std::map<PartId, std::unique_ptr<const LifeBelief>> others;
  stocking::TripDemandInput input;
  stocking::TripPlan plan;
  std::vector<domain::Receipt> receipts;  ///< of a trip, home last
  std::int64_t arriving = 0;  ///< on order, planned to be at base on the eve of the departure
  std::int64_t waiting = 0;   ///< on order, sent to stops: those of `receipts`
  std::vector<UnitGroup> groups;
  std::vector<double> leg_exposure;  ///< effective, all units and what is used up
  double exposure = 0;               ///< its sum
  int units = 0;
  int down = 0;                   ///< of them without a sound one now
  bool assumed_exposure = false;  ///< some exposure rests on a class's usual rate
  double mean_consumed = 0, mean_losses = 0;

  bool any() const { return !input.units.empty() || !input.extras.empty(); }
  /// What can stand dead for want of the part in all its places.
  stocking::Standing standing() const;
  /// Of a piece missing from each unit's place, and of what is used up or lost.
  std::vector<stocking::DayCost> unit_costs() const;
  stocking::DayCost extra_cost() const;
  /// Costs `days_without`, those of all places alike. What is at hand serves the severest first, so
  /// a day in a milder group is one of it and all severer ones less one of these; `days_of` gives
  /// days without of the units of such groups alone.
  CostOfDays cost_of(const stocking::DaysWithout& days_without,
                     const std::function<stocking::DaysWithout(const stocking::TripDemandInput&,
                                                               stocking::Standing)>& days_of) const;
};

/// Of the window; one without a trip is one leg of even use without a stop.
Outlook outlook_of(const Analyst& analyst, PartId part, const Window& window);

/// Life at base at the usual rates. Missing units are no demand: the stock position owes them
/// already. `usual_days`: what exposure is counted for. `records`: those of the part's lives that
/// shall count, where not all of them shall.
Outlook outlook_at_base(const Analyst& analyst, PartId part, double usual_days,
                        const std::vector<domain::AgeRecord>* records = nullptr);

/// The strictest severity among the positions that call for the part; its class's without any.
domain::Severity part_severity(const Analyst& analyst, PartId part,
                               const std::vector<Caller>& callers);

/// The stretch as the exposure reader takes it; at least one day long, since rates are per day.
domain::PlannedStretch planned(const Window& window);

/// Effective exposure of a position over the window.
double exposure_over(const Analyst& analyst, const domain::Position& position,
                     const Window& window);

/// Exposure of a position between the as-of day and the start of the window: at the usual rate, of
/// a trip under way as the plan of the as-of day has it.
double exposure_before(const Analyst& analyst, const domain::Position& position,
                       const Window& window);

}  // namespace shearpin::advice
