#include "advice/trip_case.hpp"

#include <algorithm>
#include <cmath>

#include "advice/cost_groups.hpp"
#include "advice/shared.hpp"

namespace shearpin::advice {
namespace {

/// Where the bounds of a chance are farther apart than this it is sampled.
constexpr double kNarrow = 5e-4;

class TripCaseMaker {
 public:
  TripCaseMaker(const Analyst& analyst, PartId part, const Window& window)
      : analyst_(analyst), part_(part), window_(window) {}

  TripCase make() {
    made_.part = trip_part(analyst_, part_, window_);
    describe();
    add_days();
    add_levels();
    return std::move(made_);
  }

 private:
  void describe() {
    const auto& part = analyst_.catalogue().at(part_);
    CarryLine& line = made_.line;
    line.id = part_;
    line.part = part.key;
    line.name = part.name;
    line.severity = part_severity(analyst_, part_, of().callers);
    for (const auto& caller : of().callers) {
      line.positions.push_back(caller.position->key);
    }
    line.target = analyst_.policy().target(line.severity);
    line.stock = analyst_.stock_of(part_, window_.start + std::chrono::days(window_.days));
    line.stock.arriving = of().arriving;
    line.stock.waiting = of().waiting;
    line.price = analyst_.catalogue().price_of(part);
    line.mass_g = analyst_.catalogue().mass_of(part);
    line.volume_ml = analyst_.catalogue().volume_of(part);
    if (const auto* its_class = analyst_.catalogue().class_of(part)) {
      line.class_key = its_class->key;
      line.safety_note = its_class->safety_note;
    }
    line.demand.units = of().units;
    line.demand.down = of().down;
    line.demand.assumed_exposure = of().assumed_exposure;
    line.demand.mean_consumed = of().mean_consumed;
    line.demand.mean_losses = of().mean_losses;
    line.trip.emplace();
    line.trip->receipts = of().receipts;
    line.trip->exposure = of().leg_exposure;
  }

  /// Pieces to leave with: aboard now, or there by then.
  std::int64_t at_departure() const { return made_.line.stock.aboard + made_.line.stock.arriving; }

  void add_days() {
    demand_ = stocking::trip_demand(of().input, of().plan);
    made_.line.trip->intervals = demand_.intervals;
    auto days = days_of(of().input, demand_);
    made_.days_without = std::move(days.days);
    made_.cost = std::move(days.cost);
    made_.safety_cost = std::move(days.safety_cost);
  }

  struct Days {
    stocking::DaysWithout days, cost, safety_cost;
  };

  /// Days without and their cost, the severest positions served first.
  Days days_of(const stocking::TripDemandInput& whole, const stocking::TripDemand& demand) const {
    const auto standing = of().consumption      ? stocking::Standing{stocking::kUnlimited, 1}
                          : of().groups.empty() ? stocking::Standing{}
                                                : of().standing;
    Days result;
    result.days = demand.days_without(standing);
    std::vector<stocking::DaysWithout> parts;
    std::vector<double> costs;
    std::vector<double> safety_costs;
    for (std::size_t g = 0; g + 1 < of().groups.size(); ++g) {
      auto input = whole;
      input.extras.clear();
      input.units.resize(of().groups[g].units);
      parts.push_back(
          stocking::trip_demand(input, of().plan).days_without(of().groups[g].standing));
      costs.push_back(of().groups[g].cost_of_day);
      safety_costs.push_back(of().groups[g].safety ? of().groups[g].cost_of_day : 0);
    }
    parts.push_back(result.days);
    costs.push_back(of().groups.empty() ? (of().consumption ? of().consumption->cost_of_day : 0)
                                        : of().groups.back().cost_of_day);
    const bool safety = of().groups.empty() ? made_.line.severity == domain::Severity::safety
                                            : of().groups.back().safety;
    safety_costs.push_back(safety ? costs.back() : 0);
    result.cost = costed(parts, costs);
    result.safety_cost = costed(parts, safety_costs);
    return result;
  }

  /// The level if the middle of the belief were certain, as for a stretch of days.
  int level_at_middle() const {
    auto certain = of().input;
    double log_shape = 0;
    for (const auto& node : of().belief.posterior.nodes) {
      log_shape += node.weight * std::log(node.shape);
    }
    certain.nodes = {{std::exp(of().belief.posterior.mean_log_scale), std::exp(log_shape), 1.0}};
    const auto demand = stocking::trip_demand(certain, of().plan);
    const auto level = stocking::trip_level(demand, certain, of().plan, made_.line.target);
    const auto by_worth =
        stocking::worth_level(days_of(certain, demand).cost, 1.0, made_.piece_cost);
    return static_cast<int>(std::max(level.n, by_worth));
  }

  void add_levels() {
    CarryLine& line = made_.line;
    const auto level = stocking::trip_level(demand_, of().input, of().plan, line.target);
    line.level_target = static_cast<int>(level.n);
    const auto& part = analyst_.catalogue().at(part_);
    const bool any = !of().input.units.empty() || !of().input.extras.empty();
    if (const auto cost = holding_cost(analyst_, part, window_.days); cost && any) {
      made_.piece_cost = *cost;
      line.level_worth = static_cast<int>(stocking::worth_level(made_.cost, 1.0, made_.piece_cost));
    }
    line.carry = std::max(line.level_target, line.level_worth);
    line.decided_by = decided_by(line.level_target, line.level_worth);
    line.carry_at_median = line.carry >= 2 ? level_at_middle() : line.carry;
    add_chances();
    line.days_without_aboard = at(made_.days_without, at_departure());
    line.days_without_carry = at(made_.days_without, line.carry);
    line.share_learnt = share_learnt(of().belief);
    line.failures = of().belief.posterior.failures;
    line.reason = reason_for(line);
  }

  /// Chance of no shortage for every stock that may be asked about.
  void add_chances() {
    CarryLine& line = made_.line;
    // Past a hundred more than advised no piece makes a difference.
    const long most =
        line.carry + 3 + std::clamp<long>(static_cast<long>(at_departure()) - line.carry, 0, 100);
    std::vector<double> errors;
    bool wide = false;
    for (long n = 0; n <= most; ++n) {
      const auto range = demand_.chance(n);
      made_.chances.push_back(range.middle());
      errors.push_back(range.half_width());
      wide = wide || range.half_width() > kNarrow;
    }
    if (wide) {
      const auto sampled = stocking::sampled_chance(of().input, of().plan);
      for (long n = 0; n <= most; ++n) {
        const auto range = demand_.chance(n);
        const auto i = static_cast<std::size_t>(n);
        made_.chances[i] = std::clamp(sampled.chance(n), range.low, range.high);
        errors[i] = std::min(errors[i], sampled.standard_error(n));
      }
    }
    line.trip->sampled = wide;
    line.chance_aboard = worn_mixed();
    const auto aboard = static_cast<std::size_t>(std::min<std::int64_t>(at_departure(), most));
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
    const auto good = std::min(static_cast<std::size_t>(at_departure()), made_.chances.size() - 1);
    if (line.stock.worn == 0 || of().callers.empty() ||
        of().callers.front().severity == domain::Severity::safety) {
      return made_.chances[good];
    }
    double age = 0;
    for (const auto& stock : analyst_.snapshot().stock) {
      if (stock.part == part_ && stock.state == domain::LotState::worn) {
        age = std::max(age, stock.age.value_or(of().belief.prior.scale_median / 2));
      }
    }
    const double ahead =
        total_exposure(segments_of(analyst_, *of().callers.front().position, window_));
    const double lasts = stats::predictive_survival(of().belief.posterior, age, ahead);
    line.stock.worn_chance = lasts;
    return chance_of_stock(made_.chances, at_departure(), line.stock.worn, lasts);
  }

  /// Over the whole trip, whatever can be received on the way.
  stocking::Pmf total_demand() const {
    if (of().plan.stops.empty()) {
      return demand_.intervals.front();
    }
    return stocking::trip_demand(of().input, {of().plan.days, {}}).intervals.front();
  }

  static double at(const stocking::DaysWithout& days, std::int64_t stock) {
    const auto n = static_cast<std::size_t>(stock);
    return n < days.size() ? days[n] : 0;
  }

  const TripPart& of() const { return made_.part; }

  const Analyst& analyst_;
  PartId part_;
  const Window& window_;
  stocking::TripDemand demand_;
  TripCase made_;
};

}  // namespace

TripCase trip_case(const Analyst& analyst, PartId part, const Window& window) {
  return TripCaseMaker(analyst, part, window).make();
}

}  // namespace shearpin::advice
