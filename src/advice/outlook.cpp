#include "advice/outlook.hpp"

#include <algorithm>

#include "base/text.hpp"

namespace shearpin::advice {
namespace {

/// Days whose usual rates stand for life at base.
constexpr int kBaseDays = 365;

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
    until += window.trip ? stretch.days : window.days;
    result.push_back({until, read(stretch).effective / stretch.days});
  }
  return result;
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

/// Of a unit or of what is used up: one leg holds for any number of days.
template <class Used>
void run(Used& used, const std::vector<stocking::ExposureSegment>& legs) {
  if (legs.size() == 1) {
    used.exposure_per_day = legs.front().per_day;
  } else {
    used.legs = legs;
  }
}

/// Some leg rests on a class's usual rate.
template <class Read>
bool any_assumed(const Window& window, const Read& read) {
  const auto stretches = stretches_of(window);
  return std::any_of(stretches.begin(), stretches.end(),
                     [&](const auto& stretch) { return read(stretch).assumed; });
}

class OutlookMaker {
 public:
  OutlookMaker(const Analyst& analyst, PartId part, const Window& window)
      : analyst_(analyst), part_(part), window_(window) {
    made_.callers = analyst.callers_of(part);
    made_.severity = part_severity(analyst, part, made_.callers);
    made_.consumption = consumption_of(analyst, part);
    made_.plan.days = window.days;
  }

  Outlook make() {
    ahead_ = exposure_ahead(1);
    fill(analyst_.life_belief(part_, {.ahead = ahead_}));
    if (window_.trip) {
      add_stops(*window_.trip);
    }
    return std::move(made_);
  }

  Outlook make_at_base(double usual_days, const std::vector<domain::AgeRecord>* records) {
    ahead_ = exposure_ahead(usual_days / window_.days);
    fill(records == nullptr ? analyst_.life_belief(part_, {.ahead = ahead_})
                            : analyst_.life_belief_from(part_, *records, {.ahead = ahead_}));
    for (auto& unit : made_.input.units) {
      unit.down = false;
    }
    made_.exposure *= usual_days / window_.days;
    return std::move(made_);
  }

 private:
  void fill(LifeBelief belief) {
    made_.belief = std::move(belief);
    made_.input.nodes = made_.belief.posterior.nodes;
    add_units();
    add_extras();
  }

  /// What each unit has before it in a share of the window: how fine the nodes must be.
  std::vector<stats::ExposureAhead> exposure_ahead(double share) const {
    std::vector<stats::ExposureAhead> ahead;
    for (const auto& caller : made_.callers) {
      const double exposure = exposure_over(analyst_, *caller.position, window_) * share;
      for (const auto& unit : caller.units) {
        if (unit.state == domain::PlaceState::fitted) {
          ahead.push_back({unit.age, exposure, 1, unit.untested});
        } else {
          ahead.push_back({0, exposure});
        }
      }
    }
    return ahead;
  }

  void add_units() {
    stocking::Standing standing{0, stocking::kUnlimited};
    const auto& callers = made_.callers;
    for (std::size_t c = 0; c < callers.size(); ++c) {
      const auto& caller = callers[c];
      const auto read = [&](const domain::PlannedStretch& stretch) {
        return analyst_.exposure().stretch(*caller.position, stretch);
      };
      const auto legs = segments(window_, read);
      made_.assumed_exposure |= any_assumed(window_, read);
      const double before = exposure_before(analyst_, *caller.position, window_);
      for (const auto& unit : caller.units) {
        add_exposure(legs);
        made_.input.units.push_back(state_of(caller, unit, before));
        run(made_.input.units.back(), legs);
      }
      if (caller.units.empty()) {
        continue;
      }
      standing.most += static_cast<long>(caller.units.size());
      standing.set = std::min<long>(standing.set, caller.position->pieces);
      const double cost = caller.cost_of_day;
      if (made_.groups.empty() || made_.groups.back().cost.cost != cost) {
        made_.groups.push_back(
            {{cost, caller.severity == domain::Severity::safety ? cost : 0}, 0, {}});
      }
      made_.groups.back().units = made_.input.units.size();
      made_.groups.back().standing = standing;
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
      auto& other = made_.others[*unit.part];
      if (!other) {
        other = std::make_unique<LifeBelief>(analyst_.life_belief(*unit.part, {.ahead = ahead_}));
      }
      state.first_life = other->posterior.nodes;
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
      const auto legs = segments(window_, read);
      run(use, legs);
      made_.assumed_exposure |= made_.consumption->assumed || any_assumed(window_, read);
      add_exposure(legs);
      made_.mean_consumed = made_.consumption->rate.piece_rate() * total_exposure(legs);
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

  void add_stops(const domain::Trip& trip) {
    const auto lead = analyst_.lead_belief(part_, made_.severity).planning_days;
    made_.receipts = domain::receipts(trip, domain::part_supply(analyst_.catalogue(), part_, lead));
    for (const auto& coming : analyst_.coming(part_, made_.severity)) {
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
  Outlook made_;
};

}  // namespace

stocking::Standing Outlook::standing() const {
  return consumption      ? stocking::Standing{stocking::kUnlimited, 1}
         : groups.empty() ? stocking::Standing{}
                          : groups.back().standing;
}

std::vector<stocking::DayCost> Outlook::unit_costs() const {
  std::vector<stocking::DayCost> costs;
  for (const auto& group : groups) {
    costs.resize(group.units, group.cost);
  }
  return costs;
}

stocking::DayCost Outlook::extra_cost() const {
  if (!groups.empty()) {
    return groups.back().cost;
  }
  const double cost = consumption ? consumption->cost_of_day : 0;
  return {cost, severity == domain::Severity::safety ? cost : 0};
}

CostOfDays Outlook::cost_of(
    const stocking::DaysWithout& days_without,
    const std::function<stocking::DaysWithout(const stocking::TripDemandInput&,
                                              stocking::Standing)>& days_of) const {
  CostOfDays result;
  stocking::DaysWithout severer;
  const auto add = [&](const stocking::DaysWithout& days, const stocking::DayCost& cost) {
    const auto size = std::max({days.size(), severer.size(), result.cost.size()});
    severer.resize(size, 0.0);
    result.cost.resize(size, 0.0);
    result.safety.resize(size, 0.0);
    for (std::size_t n = 0; n < size; ++n) {
      const double here = n < days.size() ? days[n] : 0.0;
      result.cost[n] += cost.cost * std::max(0.0, here - severer[n]);
      result.safety[n] += cost.safety * std::max(0.0, here - severer[n]);
      severer[n] = here;
    }
  };
  for (std::size_t g = 0; g + 1 < groups.size(); ++g) {
    auto severest = input;
    severest.extras.clear();
    severest.units.resize(groups[g].units);
    add(days_of(severest, groups[g].standing), groups[g].cost);
  }
  add(days_without, extra_cost());
  return result;
}

domain::Severity part_severity(const Analyst& analyst, PartId part,
                               const std::vector<Caller>& callers) {
  if (callers.empty()) {
    const auto* its_class = analyst.catalogue().class_of(analyst.catalogue().at(part));
    return its_class == nullptr ? domain::Severity::degraded : its_class->severity;
  }
  auto strictest = callers.front().severity;
  for (const auto& caller : callers) {
    strictest = std::min(strictest, caller.severity);
  }
  return strictest;
}

domain::PlannedStretch planned(const Window& window) {
  domain::PlannedStretch stretch;
  stretch.start = window.start;
  stretch.days = std::max(1, window.days);
  stretch.use = window.use;
  for (const auto& [name, held] : window.conditions) {
    stretch.conditions.emplace_back(name,
                                    held ? static_cast<double>(*held) : domain::kWholeStretch);
  }
  return stretch;
}

double exposure_over(const Analyst& analyst, const domain::Position& position,
                     const Window& window) {
  return total_exposure(segments(window, [&](const domain::PlannedStretch& stretch) {
    return analyst.exposure().stretch(position, stretch);
  }));
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

Outlook outlook_of(const Analyst& analyst, PartId part, const Window& window) {
  return OutlookMaker(analyst, part, window).make();
}

Outlook outlook_at_base(const Analyst& analyst, PartId part, double usual_days,
                        const std::vector<domain::AgeRecord>* records) {
  Window window;
  window.start = analyst.snapshot().as_of;
  window.days = kBaseDays;
  return OutlookMaker(analyst, part, window).make_at_base(usual_days, records);
}

}  // namespace shearpin::advice
