#include "advice/trip_case.hpp"

#include <algorithm>
#include <cmath>

#include "advice/cost_groups.hpp"

namespace shearpin::advice {
namespace {

/// Where the bounds of a chance are farther apart than this it is sampled.
constexpr double kNarrow = 5e-4;

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

/// Exposure a day by leg, from whatever reads a stretch's exposure.
template <class Read>
std::vector<stocking::ExposureSegment> segments(const Window& window, const Read& read) {
  std::vector<stocking::ExposureSegment> result;
  double until = 0;
  for (const auto& leg : window.trip->legs) {
    const auto stretch = stretch_of(leg, window);
    until += stretch.days;
    result.push_back({until, read(stretch).per_day});
  }
  return result;
}

/// Some leg rests on a class's usual rate.
template <class Read>
bool any_assumed(const Window& window, const Read& read) {
  const auto& legs = window.trip->legs;
  return std::any_of(legs.begin(), legs.end(),
                     [&](const auto& leg) { return read(stretch_of(leg, window)).assumed; });
}

double sum(const std::vector<stocking::ExposureSegment>& segments) {
  double total = 0;
  double from = 0;
  for (const auto& segment : segments) {
    total += (segment.until_day - from) * segment.per_day;
    from = segment.until_day;
  }
  return total;
}

/// From today to the departure at the usual rate.
double exposure_before(const Analyst& analyst, const domain::Position& position, Date departure) {
  domain::PlannedStretch stretch;
  stretch.start = analyst.snapshot().as_of;
  stretch.days = std::max(0, days_between(stretch.start, departure));
  return analyst.exposure().stretch(position, stretch).effective;
}

class Maker {
 public:
  Maker(const Analyst& analyst, PartId part, const Window& window)
      : analyst_(analyst),
        part_(part),
        window_(window),
        callers_(analyst.callers_of(part)),
        consumption_(consumption_of(analyst, part)) {}

  TripCase make() {
    describe();
    made_.belief = analyst_.life_belief(part_, lives_ahead());
    add_units();
    add_extras();
    add_plan();
    add_days();
    add_levels();
    return std::move(made_);
  }

 private:
  double lives_ahead() const {
    const auto* its_class = analyst_.catalogue().class_of(analyst_.catalogue().at(part_));
    const double life = its_class == nullptr ? analyst_.policy().value("vague-life-median")
                                             : its_class->life_median;
    double most = 0;
    for (const auto& caller : callers_) {
      most = std::max(most, sum(segments_of(analyst_, *caller.position, window_)));
    }
    return most / life;
  }

  void describe() {
    const auto& part = analyst_.catalogue().at(part_);
    CarryLine& line = made_.line;
    line.id = part_;
    line.part = part.key;
    line.name = part.name;
    line.severity = part_severity(analyst_, part_, callers_);
    for (const auto& caller : callers_) {
      line.positions.push_back(caller.position->key);
    }
    line.target = analyst_.policy().target(line.severity);
    line.stock = analyst_.stock_of(part_, window_.start + std::chrono::days(window_.days));
    line.price = analyst_.catalogue().price_of(part);
    line.mass_g = analyst_.catalogue().mass_of(part);
    line.volume_ml = analyst_.catalogue().volume_of(part);
    if (const auto* its_class = analyst_.catalogue().class_of(part)) {
      line.class_key = its_class->key;
      line.safety_note = its_class->safety_note;
    }
  }

  void add_units() {
    made_.input.nodes = made_.belief.posterior.nodes;
    for (std::size_t c = 0; c < callers_.size(); ++c) {
      const auto& caller = callers_[c];
      const auto legs = segments_of(analyst_, *caller.position, window_);
      made_.line.demand.assumed_exposure |=
          any_assumed(window_, [&](const domain::PlannedStretch& stretch) {
            return analyst_.exposure().stretch(*caller.position, stretch);
          });
      const double before = exposure_before(analyst_, *caller.position, window_.start);
      for (const auto& unit : caller.units) {
        add_exposure(legs);
        made_.input.units.push_back({state_of(caller, unit, before), legs});
      }
      pieces_ += static_cast<long>(caller.units.size()) * caller.position->pieces;
      const bool ends =
          c + 1 == callers_.size() || callers_[c + 1].cost_of_day != caller.cost_of_day;
      if (ends && !caller.units.empty()) {
        groups_.push_back({caller.cost_of_day, caller.severity == domain::Severity::safety,
                           made_.input.units.size(), pieces_});
      }
    }
  }

  void add_exposure(const std::vector<stocking::ExposureSegment>& legs) {
    made_.exposure += sum(legs);
    leg_exposure_.resize(legs.size(), 0.0);
    double from = 0;
    for (std::size_t i = 0; i < legs.size(); ++i) {
      leg_exposure_[i] += (legs[i].until_day - from) * legs[i].per_day;
      from = legs[i].until_day;
    }
  }

  stocking::UnitState state_of(const Caller& caller, const domain::FittedNow& unit, double before) {
    const auto* its_class = analyst_.catalogue().class_of(*caller.position);
    stocking::UnitState state;
    state.pieces = caller.position->pieces;
    ++made_.line.demand.units;
    if (its_class != nullptr && its_class->dated && its_class->shelf_life_days) {
      state.renewed_every_days = *its_class->shelf_life_days;
    }
    if (unit.state != domain::PlaceState::fitted) {
      ++made_.line.demand.down;
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
          std::make_unique<LifeBelief>(analyst_.life_belief(*unit.part, lives_ahead())));
      state.first_life = made_.others.back()->posterior.nodes;
    }
    return state;
  }

  void add_extras() {
    if (consumption_) {
      stocking::ExtraDemand use;
      use.rate = consumption_->rate;
      const auto read = [&](const domain::PlannedStretch& stretch) {
        return analyst_.exposure().stretch(*consumption_->its_class, stretch);
      };
      use.legs = segments(window_, read);
      made_.line.demand.assumed_exposure |= consumption_->assumed || any_assumed(window_, read);
      add_exposure(use.legs);
      made_.line.demand.mean_consumed = consumption_->rate.piece_rate() * sum(use.legs);
      made_.input.extras.push_back(std::move(use));
    }
    const auto losses = stocking::loss_as_extra(
        losses_of(analyst_, part_, made_.line.demand.units - made_.line.demand.down),
        loss_belief_of(analyst_.policy()));
    if (losses) {
      made_.line.demand.mean_losses =
          losses->rate.piece_rate() * losses->exposure_per_day * window_.days;
      made_.input.extras.push_back(*losses);
    }
    const auto mends = mend_share_of(analyst_, made_.belief);
    if (mends.any) {
      made_.input.taken = stocking::TakenShare{mends.took, mends.none};
    }
  }

  void add_plan() {
    const auto lead = analyst_.lead_belief(part_, made_.line.severity);
    const auto& trip = *window_.trip;
    OnTrip on_trip;
    on_trip.receipts = domain::receipts(
        trip, domain::part_supply(analyst_.catalogue(), part_, lead.planning_days));
    made_.plan.days = window_.days;
    for (const auto& receipt : on_trip.receipts) {
      if (receipt.how != domain::Receipt::How::home) {
        made_.plan.stops.push_back(
            {static_cast<double>(domain::elapsed_days(trip, receipt.day)),
             static_cast<double>(std::max(0, domain::elapsed_days(trip, receipt.cutoff)))});
      }
    }
    on_trip.exposure = leg_exposure_;
    made_.line.trip = std::move(on_trip);
  }

  void add_days() {
    demand_ = stocking::trip_demand(made_.input, made_.plan);
    for (const auto& unit : demand_.units) {
      made_.line.trip->expected_failures += unit.expected_failures;
    }
    made_.line.trip->intervals = demand_.intervals;
    auto days = days_of(made_.input, demand_);
    made_.days_without = std::move(days.days);
    made_.cost = std::move(days.cost);
    made_.safety_cost = std::move(days.safety_cost);
  }

  struct Days {
    stocking::DaysWithout days, cost, safety_cost;
  };

  /// Days without and their cost, the severest positions served first.
  Days days_of(const stocking::TripDemandInput& whole, const stocking::TripDemand& demand) const {
    const long standing = consumption_ ? stocking::kUnlimited : std::max<long>(1, pieces_);
    Days result;
    result.days = demand.days_without(standing);
    std::vector<stocking::DaysWithout> parts;
    std::vector<double> costs;
    std::vector<double> safety_costs;
    for (std::size_t g = 0; g + 1 < groups_.size(); ++g) {
      auto input = whole;
      input.extras.clear();
      input.units.resize(groups_[g].units);
      parts.push_back(stocking::trip_demand(input, made_.plan)
                          .days_without(std::max<long>(1, groups_[g].pieces)));
      costs.push_back(groups_[g].cost_of_day);
      safety_costs.push_back(groups_[g].safety ? groups_[g].cost_of_day : 0);
    }
    parts.push_back(result.days);
    costs.push_back(groups_.empty() ? (consumption_ ? consumption_->cost_of_day : 0)
                                    : groups_.back().cost_of_day);
    const bool safety =
        groups_.empty() ? made_.line.severity == domain::Severity::safety : groups_.back().safety;
    safety_costs.push_back(safety ? costs.back() : 0);
    result.cost = costed(parts, costs);
    result.safety_cost = costed(parts, safety_costs);
    return result;
  }

  /// The level if the middle of the belief were certain, as for a stretch of days.
  int level_at_middle() const {
    auto certain = made_.input;
    double log_shape = 0;
    for (const auto& node : made_.belief.posterior.nodes) {
      log_shape += node.weight * std::log(node.shape);
    }
    certain.nodes = {{std::exp(made_.belief.posterior.mean_log_scale), std::exp(log_shape), 1.0}};
    const auto demand = stocking::trip_demand(certain, made_.plan);
    const auto level = stocking::trip_level(demand, certain, made_.plan, made_.line.target);
    const auto by_worth =
        stocking::worth_level(days_of(certain, demand).cost, 1.0, made_.piece_cost);
    return static_cast<int>(std::max(level.n, by_worth));
  }

  void add_levels() {
    CarryLine& line = made_.line;
    const auto level = stocking::trip_level(demand_, made_.input, made_.plan, line.target);
    line.level_target = static_cast<int>(level.n);
    const auto& part = analyst_.catalogue().at(part_);
    const bool any = !made_.input.units.empty() || !made_.input.extras.empty();
    if (const auto cost = holding_cost(analyst_, part, window_.days); cost && any) {
      made_.piece_cost = *cost;
      line.level_worth = static_cast<int>(stocking::worth_level(made_.cost, 1.0, made_.piece_cost));
    }
    line.carry = std::max(line.level_target, line.level_worth);
    line.decided_by = line.level_worth > line.level_target ? DecidedBy::worth : DecidedBy::target;
    line.carry_at_median = line.carry >= 2 ? level_at_middle() : line.carry;
    add_chances();
    line.days_without_aboard = at(made_.days_without, line.stock.aboard);
    line.days_without_carry = at(made_.days_without, line.carry);
    const double prior_sd = made_.belief.class_prior.ln_scale_sd();
    line.share_learnt =
        std::max(0.0, 1 - made_.belief.posterior.variance_log_scale / (prior_sd * prior_sd));
    line.failures = made_.belief.posterior.failures;
    line.reason = reason_for(line);
  }

  /// Chance of no shortage for every stock that may be asked about.
  void add_chances() {
    CarryLine& line = made_.line;
    // Past a hundred more than advised no piece makes a difference.
    const long most = line.carry + 3 +
                      std::clamp<long>(static_cast<long>(line.stock.aboard) - line.carry, 0, 100);
    std::vector<double> errors;
    bool wide = false;
    for (long n = 0; n <= most; ++n) {
      const auto range = demand_.chance(n);
      made_.chances.push_back(range.middle());
      errors.push_back(range.half_width());
      wide = wide || range.half_width() > kNarrow;
    }
    if (wide) {
      const auto sampled = stocking::sampled_chance(made_.input, made_.plan);
      for (long n = 0; n <= most; ++n) {
        const auto range = demand_.chance(n);
        const auto i = static_cast<std::size_t>(n);
        made_.chances[i] = std::clamp(sampled.chance(n), range.low, range.high);
        errors[i] = std::min(errors[i], sampled.standard_error(n));
      }
    }
    line.trip->sampled = wide;
    line.chance_aboard = worn_mixed();
    const auto aboard = static_cast<std::size_t>(std::min<std::int64_t>(line.stock.aboard, most));
    line.trip->error_aboard = errors[aboard];
    line.chance_carry = made_.chances[static_cast<std::size_t>(line.carry)];
    line.trip->error_carry = errors[static_cast<std::size_t>(line.carry)];
    line.demand.total = total_demand();
    line.demand.mean = stocking::mean(line.demand.total);
    line.demand.mean_fitted =
        std::max(0.0, line.demand.mean - line.demand.mean_consumed - line.demand.mean_losses);
  }

  /// Worn take-offs each last with some chance; never counted on for safety.
  double worn_mixed() {
    CarryLine& line = made_.line;
    const auto good =
        std::min(static_cast<std::size_t>(line.stock.aboard), made_.chances.size() - 1);
    if (line.stock.worn == 0 || callers_.empty() ||
        callers_.front().severity == domain::Severity::safety) {
      return made_.chances[good];
    }
    double age = 0;
    for (const auto& stock : analyst_.snapshot().stock) {
      if (stock.part == part_ && stock.state == domain::LotState::worn) {
        age = std::max(age, stock.age.value_or(made_.belief.prior.scale_median / 2));
      }
    }
    const double ahead = sum(segments_of(analyst_, *callers_.front().position, window_));
    const double lasts = stats::predictive_survival(made_.belief.posterior, age, ahead);
    line.stock.worn_chance = lasts;
    return chance_of_stock(made_.chances, line.stock.aboard, line.stock.worn, lasts);
  }

  /// Over the whole trip, whatever can be received on the way.
  stocking::Pmf total_demand() const {
    if (made_.plan.stops.empty()) {
      return demand_.intervals.front();
    }
    return stocking::trip_demand(made_.input, {made_.plan.days, {}}).intervals.front();
  }

  static double at(const stocking::DaysWithout& days, std::int64_t stock) {
    const auto n = static_cast<std::size_t>(stock);
    return n < days.size() ? days[n] : 0;
  }

  struct Group {
    double cost_of_day;
    bool safety;
    std::size_t units;  ///< of this group and all severer ones
    long pieces;
  };

  const Analyst& analyst_;
  PartId part_;
  const Window& window_;
  std::vector<Caller> callers_;
  std::optional<Consumption> consumption_;
  std::vector<Group> groups_;
  std::vector<double> leg_exposure_;  ///< effective, all units
  long pieces_ = 0;
  stocking::TripDemand demand_;
  TripCase made_;
};

}  // namespace

std::vector<stocking::ExposureSegment> segments_of(const Analyst& analyst,
                                                   const domain::Position& position,
                                                   const Window& window) {
  return segments(window, [&](const domain::PlannedStretch& stretch) {
    return analyst.exposure().stretch(position, stretch);
  });
}

TripCase trip_case(const Analyst& analyst, PartId part, const Window& window) {
  return Maker(analyst, part, window).make();
}

}  // namespace shearpin::advice
