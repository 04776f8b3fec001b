#include "advice/trip_part.hpp"

#include <algorithm>

#include "advice/part_demand.hpp"
#include "advice/stretch.hpp"
#include "base/text.hpp"

namespace shearpin::advice {
namespace {

/// A leg with the conditions named for the whole trip besides its own.
domain::PlannedStretch stretch_of(const domain::TripLegDraft& leg, const Window& window) {
  domain::PlannedStretch stretch;
  stretch.start = leg.from;
  stretch.days = days_between(leg.from, leg.to) + 1;
  for (const auto& [meter, amount] : leg.use) {
    stretch.use.emplace(meter, amount);
  }
  std::vector<std::string> names = leg.conditions;
  for (const auto& [name, days] : window.conditions) {
    names.push_back(name);
  }
  std::sort(names.begin(), names.end());
  names.erase(std::unique(names.begin(), names.end()), names.end());
  for (const auto& name : names) {
    stretch.conditions.emplace_back(name, domain::kWholeStretch);
  }
  return stretch;
}

std::vector<domain::PlannedStretch> stretches_of(const Window& window) {
  if (!window.trip) {
    return {planned(window)};
  }
  std::vector<domain::PlannedStretch> stretches;
  for (const auto& leg : window.trip->legs) {
    stretches.push_back(stretch_of(leg, window));
  }
  return stretches;
}

/// Exposure a day by leg, from whatever reads a stretch's exposure.
template <class Read>
std::vector<stocking::ExposureSegment> segments(const Window& window, const Read& read) {
  std::vector<stocking::ExposureSegment> result;
  double until = 0;
  for (const auto& stretch : stretches_of(window)) {
    until += stretch.days;
    result.push_back({until, read(stretch).effective / stretch.days});
  }
  return result;
}

/// Some leg rests on a class's usual rate.
template <class Read>
bool any_assumed(const Window& window, const Read& read) {
  const auto stretches = stretches_of(window);
  return std::any_of(stretches.begin(), stretches.end(),
                     [&](const auto& stretch) { return read(stretch).assumed; });
}

class TripPartMaker {
 public:
  TripPartMaker(const Analyst& analyst, PartId part, const Window& window)
      : analyst_(analyst), part_(part), window_(window) {
    made_.callers = analyst.callers_of(part);
    made_.consumption = consumption_of(analyst, part);
  }

  TripPart make() {
    ahead_ = exposure_ahead();
    made_.belief = analyst_.life_belief(part_, {.ahead = ahead_});
    made_.input.nodes = made_.belief.posterior.nodes;
    add_units();
    add_extras();
    add_plan();
    return std::move(made_);
  }

 private:
  std::vector<stats::ExposureAhead> exposure_ahead() const {
    std::vector<stats::ExposureAhead> ahead;
    for (const auto& caller : made_.callers) {
      const double exposure = total_exposure(segments_of(analyst_, *caller.position, window_));
      for (const auto& unit : caller.units) {
        ahead.push_back({unit.age, exposure, 1, unit.untested});
      }
    }
    return ahead;
  }

  void add_units() {
    const auto& callers = made_.callers;
    for (std::size_t c = 0; c < callers.size(); ++c) {
      const auto& caller = callers[c];
      const auto legs = segments_of(analyst_, *caller.position, window_);
      made_.assumed_exposure |= any_assumed(window_, [&](const domain::PlannedStretch& stretch) {
        return analyst_.exposure().stretch(*caller.position, stretch);
      });
      const double before = exposure_before(analyst_, *caller.position, window_);
      for (const auto& unit : caller.units) {
        add_exposure(legs);
        made_.input.units.push_back({state_of(caller, unit, before), legs});
      }
      made_.standing.most += static_cast<long>(caller.units.size());
      if (!caller.units.empty()) {
        made_.standing.set = std::min<long>(made_.standing.set, caller.position->pieces);
      }
      const bool ends = c + 1 == callers.size() || callers[c + 1].cost_of_day != caller.cost_of_day;
      if (ends && !caller.units.empty()) {
        made_.groups.push_back({caller.cost_of_day, caller.severity == domain::Severity::safety,
                                made_.input.units.size(), made_.standing});
      }
    }
  }

  void add_exposure(const std::vector<stocking::ExposureSegment>& legs) {
    made_.exposure += total_exposure(legs);
    made_.leg_exposure.resize(legs.size(), 0.0);
    double from = 0;
    for (std::size_t i = 0; i < legs.size(); ++i) {
      made_.leg_exposure[i] += (legs[i].until_day - from) * legs[i].per_day;
      from = legs[i].until_day;
    }
  }

  stocking::UnitState state_of(const Caller& caller, const domain::FittedNow& unit, double before) {
    const auto* its_class = analyst_.catalogue().class_of(*caller.position);
    stocking::UnitState state;
    state.pieces = caller.position->pieces;
    ++made_.units;
    if (its_class != nullptr && its_class->dated && its_class->shelf_life_days) {
      state.renewed_every_days = *its_class->shelf_life_days;
    }
    if (unit.state != domain::PlaceState::fitted) {
      ++made_.down;
      state.down = true;
      return state;
    }
    state.age = unit.age;
    state.untested = unit.untested;
    state.before = before;
    state.before_days = std::max(0, days_between(analyst_.snapshot().as_of, window_.start));
    if (unit.marked_end) {
      const int left = days_between(window_.start, *unit.marked_end);
      state.due_days = state.before_days > 0 ? left : std::max(0, left);
    }
    if (unit.part && *unit.part != part_) {
      made_.others.push_back(
          std::make_unique<LifeBelief>(analyst_.life_belief(*unit.part, {.ahead = ahead_})));
      state.first_life = made_.others.back()->posterior.nodes;
    }
    return state;
  }

  void add_extras() {
    if (made_.consumption) {
      stocking::ExtraDemand use;
      use.rate = made_.consumption->rate;
      const auto read = [&](const domain::PlannedStretch& stretch) {
        return analyst_.exposure().stretch(*made_.consumption->its_class, stretch);
      };
      use.legs = segments(window_, read);
      made_.assumed_exposure |= made_.consumption->assumed || any_assumed(window_, read);
      add_exposure(use.legs);
      made_.mean_consumed = made_.consumption->rate.piece_rate() * total_exposure(use.legs);
      made_.input.extras.push_back(std::move(use));
    }
    const auto losses = stocking::loss_as_extra(
        losses_of(analyst_, part_, made_.units - made_.down), loss_belief_of(analyst_.policy()));
    if (losses) {
      made_.mean_losses = losses->rate.piece_rate() * losses->exposure_per_day * window_.days;
      made_.input.extras.push_back(*losses);
    }
    const auto repairs = repair_share_of(analyst_, made_.belief);
    if (repairs.any) {
      made_.input.taken = stocking::TakenShare{repairs.took, repairs.none};
    }
  }

  void add_plan() {
    made_.plan.days = window_.days;
    if (!window_.trip) {
      return;
    }
    const auto& trip = *window_.trip;
    const auto severity = part_severity(analyst_, part_, made_.callers);
    const auto lead = analyst_.lead_belief(part_, severity).planning_days;
    made_.receipts = domain::receipts(trip, domain::part_supply(analyst_.catalogue(), part_, lead));
    for (const auto& coming : analyst_.coming(part_, severity)) {
      add_coming(trip, coming);
    }
    for (const auto& receipt : made_.receipts) {
      if (receipt.how != domain::Receipt::How::home) {
        made_.plan.stops.push_back(
            {static_cast<double>(domain::elapsed_days(trip, receipt.day)),
             static_cast<double>(std::max(0, domain::elapsed_days(trip, receipt.cutoff))),
             receipt.waiting, receipt.how != domain::Receipt::How::waits});
      }
    }
  }

  /// What is on order is at the stop that it is sent to, the first one after its planned day, or
  /// else at base.
  void add_coming(const domain::Trip& trip, const Coming& coming) {
    const auto sent_to = [&](const domain::TripStop& stop) {
      return search_form(stop.place) == search_form(coming.to);
    };
    if (!std::any_of(trip.stops.begin(), trip.stops.end(), sent_to)) {
      const bool in_time = coming.planned < window_.start && !window_.today;
      made_.arriving += in_time ? coming.pieces : 0;
      return;
    }
    const auto stop = std::find_if(trip.stops.begin(), trip.stops.end(), [&](const auto& one) {
      return sent_to(one) && one.date >= coming.planned && one.date < trip.end();
    });
    if (stop != trip.stops.end()) {
      add_waiting(*stop, static_cast<long>(coming.pieces));
    }
  }

  void add_waiting(const domain::TripStop& stop, long pieces) {
    auto& receipts = made_.receipts;
    auto at = std::find_if(receipts.begin(), receipts.end(),
                           [&](const auto& receipt) { return receipt.day >= stop.date; });
    if (at->day != stop.date) {
      at = receipts.insert(at, {stop.date, stop.date, stop.place, domain::Receipt::How::waits});
    }
    at->waiting += pieces;
    made_.waiting += pieces;
  }

  const Analyst& analyst_;
  PartId part_;
  const Window& window_;
  std::vector<stats::ExposureAhead> ahead_;
  TripPart made_;
};

}  // namespace

std::vector<stocking::DayCost> TripPart::unit_costs() const {
  std::vector<stocking::DayCost> costs;
  for (const auto& group : groups) {
    costs.resize(group.units, {group.cost_of_day, group.safety ? group.cost_of_day : 0});
  }
  return costs;
}

stocking::DayCost TripPart::extra_cost(domain::Severity severity) const {
  if (!groups.empty()) {
    return {groups.back().cost_of_day, groups.back().safety ? groups.back().cost_of_day : 0};
  }
  const double cost = consumption ? consumption->cost_of_day : 0;
  return {cost, severity == domain::Severity::safety ? cost : 0};
}

double total_exposure(const std::vector<stocking::ExposureSegment>& legs) {
  double total = 0;
  double from = 0;
  for (const auto& leg : legs) {
    total += (leg.until_day - from) * leg.per_day;
    from = leg.until_day;
  }
  return total;
}

double exposure_before(const Analyst& analyst, const domain::Position& position,
                       const Window& window) {
  if (window.today) {
    return analyst.exposure().stretch(position, stretch_of(*window.today, window)).effective;
  }
  domain::PlannedStretch stretch;
  stretch.start = analyst.snapshot().as_of;
  stretch.days = std::max(0, days_between(stretch.start, window.start));
  return analyst.exposure().stretch(position, stretch).effective;
}

std::vector<stocking::ExposureSegment> segments_of(const Analyst& analyst,
                                                   const domain::Position& position,
                                                   const Window& window) {
  return segments(window, [&](const domain::PlannedStretch& stretch) {
    return analyst.exposure().stretch(position, stretch);
  });
}

TripPart trip_part(const Analyst& analyst, PartId part, const Window& window) {
  return TripPartMaker(analyst, part, window).make();
}

}  // namespace shearpin::advice
