#include "advice/stretch.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "advice/shared.hpp"
#include "base/text.hpp"

namespace shearpin::advice {
namespace {

/// The level if the middle of the belief were certain: shows how much of the answer is doubt.
int level_at_middle(const Analyst& analyst, PartId part, const Window& window,
                    const StretchCase& found, double target) {
  LifeBelief certain = found.belief;
  double log_shape = 0;
  for (const auto& node : found.belief.posterior.nodes) {
    log_shape += node.weight * std::log(node.shape);
  }
  certain.posterior.nodes = {
      {std::exp(found.belief.posterior.mean_log_scale), std::exp(log_shape), 1.0}};
  const PartDemand demand(analyst, part, certain, window, Setting::stretch, window.days);
  const auto by_target = stocking::target_level(demand.total(window.days), target);
  const auto cost = demand.stretch_cost(window.days, demand.stretch_days_without(window.days));
  const auto by_worth = stocking::worth_level(cost.cost, 1.0, found.piece_cost);
  return static_cast<int>(std::max(by_target, by_worth));
}

void fill_levels(const Analyst& analyst, PartId part, const Window& window,
                 const PartDemand& demand, StretchCase& found) {
  CarryLine& line = found.line;
  line.level_target = static_cast<int>(stocking::target_level(found.demand, line.target));
  const auto piece_cost =
      holding_cost(analyst, analyst.catalogue().at(part), static_cast<double>(window.days));
  if (piece_cost && demand.any() && window.days > 0) {
    found.piece_cost = *piece_cost;
    line.level_worth = static_cast<int>(stocking::worth_level(found.cost, 1.0, found.piece_cost));
  }
  line.carry = std::max(line.level_target, line.level_worth);
  line.decided_by = decided_by(line.level_target, line.level_worth);
  line.carry_at_median =
      line.carry >= 2 ? level_at_middle(analyst, part, window, found, line.target) : line.carry;
}

double days_at(const stocking::DaysWithout& days, std::int64_t stock) {
  const auto n = static_cast<std::size_t>(std::max<std::int64_t>(0, stock));
  return n < days.size() ? days[n] : 0;
}

/// Chance that a worn take-off outlives the stretch where the part is most wanted.
double worn_lasts(const Analyst& analyst, PartId part, const Window& window,
                  const LifeBelief& belief, const std::vector<Caller>& callers) {
  if (callers.empty() || callers.front().severity == domain::Severity::safety) {
    return 0;  // a worn piece is never counted on where it would keep someone safe
  }
  double age = 0;
  for (const auto& stock : analyst.snapshot().stock) {
    if (stock.part == part && stock.state == domain::LotState::worn) {
      age = std::max(age, stock.age.value_or(belief.prior.scale_median / 2));
    }
  }
  const auto ahead = analyst.exposure().stretch(*callers.front().position, planned(window));
  return stats::predictive_survival(belief.posterior, age, ahead.effective);
}

}  // namespace

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

double share_learnt(const LifeBelief& belief) {
  const double prior_sd = belief.prior.ln_scale_sd();
  return std::max(0.0, 1 - belief.posterior.variance_log_scale / (prior_sd * prior_sd));
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

std::vector<stats::ExposureAhead> exposure_ahead(const Analyst& analyst, PartId part,
                                                 const Window& window, double days) {
  std::vector<stats::ExposureAhead> ahead;
  const auto stretch = planned(window);
  for (const auto& caller : analyst.callers_of(part)) {
    const auto planned_use = analyst.exposure().stretch(*caller.position, stretch);
    const double exposure = planned_use.effective / stretch.days * days;
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

namespace {

/// Mixture over how many of `worn` pieces last, each with chance `lasts`.
template <class Chance>
double worn_mixture(std::int64_t good, std::int64_t worn, double lasts, const Chance& chance_of) {
  double chance = 0;
  for (std::int64_t j = 0; j <= worn; ++j) {
    const double n = static_cast<double>(worn), x = static_cast<double>(j);
    const double log_ways = std::lgamma(n + 1) - std::lgamma(x + 1) - std::lgamma(n - x + 1);
    chance +=
        std::exp(log_ways) * std::pow(lasts, x) * std::pow(1 - lasts, n - x) * chance_of(good + j);
  }
  return chance;
}

}  // namespace

double chance_of_stock(const std::vector<double>& chances, std::int64_t good, std::int64_t worn,
                       double lasts) {
  return worn_mixture(good, worn, lasts, [&](std::int64_t n) {
    return chances[std::min(static_cast<std::size_t>(n), chances.size() - 1)];
  });
}

double chance_with_stock(const stocking::Pmf& demand, std::int64_t good, std::int64_t worn,
                         double lasts) {
  return worn_mixture(good, worn, lasts, [&](std::int64_t n) {
    return stocking::chance_at_most(demand, static_cast<long>(n));
  });
}

StretchCase stretch_case(const Analyst& analyst, PartId part_id, const Window& window) {
  const auto& part = analyst.catalogue().at(part_id);
  const auto callers = analyst.callers_of(part_id);
  const double days = window.days;
  StretchCase found;
  const auto ahead = exposure_ahead(analyst, part_id, window, days);
  found.belief = analyst.life_belief(part_id, {.ahead = ahead});
  const PartDemand demand(analyst, part_id, found.belief, window, Setting::stretch, days);
  found.demand = demand.total(days);
  found.days_without = demand.stretch_days_without(days);
  auto cost = demand.stretch_cost(days, found.days_without);
  found.cost = std::move(cost.cost);
  found.safety_cost = std::move(cost.safety);
  found.exposure = demand.exposure_per_day() * days;

  CarryLine& line = found.line;
  line.id = part_id;
  line.part = part.key;
  line.name = part.name;
  line.class_key = found.belief.class_key;
  line.severity = part_severity(analyst, part_id, callers);
  for (const auto& caller : callers) {
    line.positions.push_back(caller.position->key);
  }
  line.stock = analyst.stock_of(part_id, window.start + std::chrono::days(window.days));
  line.demand = {found.demand,
                 stocking::mean(found.demand),
                 demand.mean_fitted(days, found.demand),
                 demand.mean_consumed(days),
                 demand.mean_losses(days),
                 demand.units(),
                 demand.down(),
                 demand.assumed_exposure()};
  line.target = analyst.policy().target(line.severity);
  fill_levels(analyst, part_id, window, demand, found);
  if (line.stock.worn > 0) {
    line.stock.worn_chance = worn_lasts(analyst, part_id, window, found.belief, callers);
  }
  line.chance_aboard =
      chance_with_stock(found.demand, line.stock.aboard, line.stock.worn, line.stock.worn_chance);
  line.chance_carry = stocking::chance_at_most(found.demand, line.carry);
  line.days_without_aboard = days_at(found.days_without, line.stock.aboard);
  line.days_without_carry = days_at(found.days_without, line.carry);
  line.share_learnt = share_learnt(found.belief);
  line.failures = found.belief.posterior.failures;
  line.price = analyst.catalogue().price_of(part);
  line.mass_g = analyst.catalogue().mass_of(part);
  line.volume_ml = analyst.catalogue().volume_of(part);
  line.reason = reason_for(line);
  if (const auto* its_class = analyst.catalogue().class_of(part)) {
    line.safety_note = its_class->safety_note;
  }
  return found;
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
