#include "advice/carry_case.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "advice/shared.hpp"
#include "base/text.hpp"
#include "stocking/trip_chance.hpp"

namespace shearpin::advice {
namespace {

/// Where the bounds of a chance are farther apart than this it is sampled.
constexpr double kNarrow = 5e-4;

/// The reason for a level in about six words.
std::string reason_for(const CarryLine& line) {
  if (line.demand.down > 0) {
    return fmt::format("{} out of action now", line.demand.down);
  }
  if (line.carry == 0) {
    return line.positions.empty() && line.demand.mean <= 0 ? "no position calls for it"
                                                           : "seldom needed, not worth its place";
  }
  if (line.decided_by == DecidedBy::worth) {
    return "cheap beside a day without";
  }
  return fmt::format("{:g} % sure, {}", line.target * 100, domain::to_text(line.severity));
}

double days_at(const stocking::DaysWithout& days, std::int64_t stock) {
  const auto n = static_cast<std::size_t>(std::max<std::int64_t>(0, stock));
  return n < days.size() ? days[n] : 0;
}

class CarryCaseMaker {
 public:
  CarryCaseMaker(const Analyst& analyst, PartId part, const Window& window)
      : analyst_(analyst), part_(part), window_(window) {}

  CarryCase make() {
    made_.outlook = outlook_of(analyst_, part_, window_);
    describe();
    demand_ = stocking::trip_demand(of().input, of().plan);
    made_.days_without = demand_.days_without(of().standing());
    made_.cost = cost_of(of().input, made_.days_without);
    add_levels();
    add_chances();
    add_demand();
    line().days_without_aboard = days_at(made_.days_without, at_departure());
    line().days_without_carry = days_at(made_.days_without, line().carry);
    line().reason = reason_for(line());
    return std::move(made_);
  }

 private:
  const Outlook& of() const { return made_.outlook; }
  CarryLine& line() { return made_.line; }
  /// Pieces to leave with: aboard now, or there by then.
  std::int64_t at_departure() { return line().stock.aboard + line().stock.arriving; }

  void describe() {
    const auto& part = analyst_.catalogue().at(part_);
    line().id = part_;
    line().part = part.key;
    line().name = part.name;
    line().severity = of().severity;
    for (const auto& caller : of().callers) {
      line().positions.push_back(caller.position->key);
    }
    line().target = analyst_.policy().target(line().severity);
    line().stock = analyst_.stock_of(part_, window_.start + std::chrono::days(window_.days));
    line().stock.arriving = of().arriving;
    line().stock.waiting = of().waiting;
    line().price = analyst_.catalogue().price_of(part);
    line().mass_g = analyst_.catalogue().mass_of(part);
    line().volume_ml = analyst_.catalogue().volume_of(part);
    if (const auto* its_class = analyst_.catalogue().class_of(part)) {
      line().class_key = its_class->key;
      line().safety_note = its_class->safety_note;
    }
    line().share_learnt = share_learnt(of().belief);
    line().failures = of().belief.posterior.failures;
    if (window_.trip) {
      line().trip.emplace();
      line().trip->receipts = of().receipts;
      line().trip->exposure = of().leg_exposure;
    }
  }

  CostOfDays cost_of(const stocking::TripDemandInput& input,
                     const stocking::DaysWithout& days_without) const {
    return of().cost_of(
        days_without, [&](stocking::TripDemandInput severest, const stocking::Standing& standing) {
          severest.nodes = input.nodes;
          return stocking::trip_demand(severest, of().plan).days_without(standing);
        });
  }

  /// The level if the middle of the belief were certain: shows how much of the answer is doubt.
  int level_at_middle() {
    auto certain = of().input;
    double log_shape = 0;
    for (const auto& node : of().belief.posterior.nodes) {
      log_shape += node.weight * std::log(node.shape);
    }
    certain.nodes = {{std::exp(of().belief.posterior.mean_log_scale), std::exp(log_shape), 1.0}};
    const auto demand = stocking::trip_demand(certain, of().plan);
    const auto level = stocking::trip_level(demand, certain, of().plan, line().target);
    const auto cost = cost_of(certain, demand.days_without(of().standing())).cost;
    return static_cast<int>(std::max(level.n, stocking::worth_level(cost, 1.0, made_.piece_cost)));
  }

  void add_levels() {
    const auto level = stocking::trip_level(demand_, of().input, of().plan, line().target);
    line().level_target = static_cast<int>(level.n);
    const auto& part = analyst_.catalogue().at(part_);
    if (const auto cost = holding_cost(analyst_, part, window_.days); cost && of().any()) {
      made_.piece_cost = *cost;
      line().level_worth =
          static_cast<int>(stocking::worth_level(made_.cost.cost, 1.0, made_.piece_cost));
    }
    line().carry = std::max(line().level_target, line().level_worth);
    line().decided_by = decided_by(line().level_target, line().level_worth);
    line().carry_at_median = line().carry >= 2 ? level_at_middle() : line().carry;
  }

  /// Chance of no shortage for every stock that may be asked about.
  void add_chances() {
    // Past a hundred more than advised no piece makes a difference.
    const long most = line().carry + 3 +
                      std::clamp<long>(static_cast<long>(at_departure()) - line().carry, 0, 100);
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
    line().stock.worn_chance = worn_lasts();
    line().chance_aboard =
        chance_of_stock(made_.chances, at_departure(), line().stock.worn, line().stock.worn_chance);
    line().chance_carry = made_.chance(line().carry);
    if (auto& trip = line().trip) {
      trip->sampled = wide;
      const auto aboard = std::min<std::int64_t>(at_departure(), most);
      trip->error_aboard = errors[static_cast<std::size_t>(aboard)];
      trip->error_carry = errors[static_cast<std::size_t>(line().carry)];
    }
  }

  /// Chance that a worn take-off outlives the window where the part is most wanted; never counted
  /// on where it would keep someone safe.
  double worn_lasts() {
    const auto& callers = of().callers;
    if (line().stock.worn == 0 || callers.empty() ||
        callers.front().severity == domain::Severity::safety) {
      return 0;
    }
    double age = 0;
    for (const auto& stock : analyst_.snapshot().stock) {
      if (stock.part == part_ && stock.state == domain::LotState::worn) {
        age = std::max(age, stock.age.value_or(of().belief.prior.scale_median / 2));
      }
    }
    return stats::predictive_survival(of().belief.posterior, age,
                                      exposure_over(analyst_, *callers.front().position, window_));
  }

  /// Over the whole window, whatever can be received on the way.
  void add_demand() {
    auto& demand = line().demand;
    demand.total = of().plan.stops.empty()
                       ? demand_.intervals.front()
                       : stocking::trip_demand(of().input, {of().plan.days, {}}).intervals.front();
    demand.mean = stocking::mean(demand.total);
    demand.mean_consumed = of().mean_consumed;
    demand.mean_losses = of().mean_losses;
    demand.mean_fitted = std::max(0.0, demand.mean - demand.mean_consumed - demand.mean_losses);
    demand.units = of().units;
    demand.down = of().down;
    demand.assumed_exposure = of().assumed_exposure;
    if (auto& trip = line().trip) {
      trip->intervals = std::move(demand_.intervals);
    }
  }

  const Analyst& analyst_;
  PartId part_;
  const Window& window_;
  stocking::TripDemand demand_;
  CarryCase made_;
};

}  // namespace

double CarryCase::chance(std::int64_t stock) const {
  return chances[std::min(static_cast<std::size_t>(stock), chances.size() - 1)];
}

CarryCase carry_case(const Analyst& analyst, PartId part, const Window& window) {
  return CarryCaseMaker(analyst, part, window).make();
}

double chance_of_stock(const std::vector<double>& chances, std::int64_t good, std::int64_t worn,
                       double lasts) {
  double chance = 0;
  for (std::int64_t j = 0; j <= worn; ++j) {
    const auto n = static_cast<double>(worn), x = static_cast<double>(j);
    const double log_ways = std::lgamma(n + 1) - std::lgamma(x + 1) - std::lgamma(n - x + 1);
    chance += std::exp(log_ways) * std::pow(lasts, x) * std::pow(1 - lasts, n - x) *
              chances[std::min(static_cast<std::size_t>(good + j), chances.size() - 1)];
  }
  return chance;
}

double share_learnt(const LifeBelief& belief) {
  const double prior_sd = belief.prior.ln_scale_sd();
  return std::max(0.0, 1 - belief.posterior.variance_log_scale / (prior_sd * prior_sd));
}

std::optional<double> holding_cost(const Analyst& analyst, const domain::Part& part, double days) {
  const auto price = analyst.catalogue().price_of(part);
  if (!price) {
    return std::nullopt;
  }
  stocking::HoldingCost holding;
  holding.price = price->major();
  holding.mass_kg = analyst.catalogue().mass_of(part).value_or(0) / 1000;
  holding.yearly_share = analyst.policy().holding_share;
  holding.kg_month = analyst.policy().carry_cost;
  return holding.of_one_piece(days);
}

std::vector<PartId> parts_of_interest(const Analyst& analyst) {
  std::vector<PartId> parts;
  for (const auto& part : analyst.catalogue().parts) {
    const auto stock = analyst.stock_of(part.id, analyst.snapshot().as_of);
    const bool held = stock.aboard + stock.ashore + stock.on_order + stock.expired +
                          stock.quarantined + stock.worn >
                      0;
    const auto* its_class = analyst.catalogue().class_of(part);
    const bool wanted =
        !analyst.callers_of(part.id).empty() || (its_class != nullptr && its_class->consumed);
    if (held || (wanted && !part.retired)) {
      parts.push_back(part.id);
    }
  }
  return parts;
}

}  // namespace shearpin::advice
