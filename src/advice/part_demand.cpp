#include "advice/part_demand.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "advice/cost_groups.hpp"
#include "base/quantity.hpp"

namespace shearpin::advice {
namespace {

/// P(M = m) when each of N failures takes a part with an unknown chance of law Beta(took, none):
/// beta-binomial thinning of the count.
stocking::Pmf thinned(const stocking::Pmf& count, double took, double none) {
  stocking::Pmf result(count.size(), 0.0);
  const double norm = std::lgamma(took + none) - std::lgamma(took) - std::lgamma(none);
  for (std::size_t k = 0; k < count.size(); ++k) {
    const double n = static_cast<double>(k);
    for (std::size_t m = 0; m <= k; ++m) {
      const double x = static_cast<double>(m);
      const double log_chance = std::lgamma(n + 1) - std::lgamma(x + 1) - std::lgamma(n - x + 1) +
                                std::lgamma(x + took) + std::lgamma(n - x + none) -
                                std::lgamma(n + took + none) + norm;
      result[m] += count[k] * std::exp(log_chance);
    }
  }
  stocking::trim(result);
  return result;
}

/// Days from manufacture to the marked end of dated goods, which goes on running once fitted.
double dated_life(const domain::ComponentClass* its_class) {
  return its_class != nullptr && its_class->dated && its_class->shelf_life_days
             ? *its_class->shelf_life_days
             : std::numeric_limits<double>::infinity();
}

/// The place is open: nothing sound stands there.
bool is_down(const domain::FittedNow& unit) { return unit.state != domain::PlaceState::fitted; }

}  // namespace

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

PartDemand::PartDemand(const Analyst& analyst, PartId part, const LifeBelief& belief,
                       const Window& window, Setting setting, double longest_days)
    : loss_belief_(loss_belief_of(analyst.policy())), repairs_(repair_share_of(analyst, belief)) {
  add_units(analyst, part, belief, window, setting, longest_days);
  add_consumption(analyst, part, window);
  losses_ = losses_of(analyst, part, units_ - down_);
}

void PartDemand::add_units(const Analyst& analyst, PartId part, const LifeBelief& belief,
                           const Window& window, Setting setting, double longest_days) {
  const auto callers = analyst.callers_of(part);
  const auto stretch = planned(window);
  // Posteriors of other parts now fitted in this part's positions, kept alive for FittedDemand.
  std::vector<std::pair<PartId, LifeBelief>> others;
  std::vector<stocking::UnitState> states;
  stocking::Standing standing{0, stocking::kUnlimited};
  for (std::size_t c = 0; c < callers.size(); ++c) {
    const auto& caller = callers[c];
    const auto ahead = analyst.exposure().stretch(*caller.position, stretch);
    assumed_ = assumed_ || ahead.assumed;
    const double per_day = ahead.effective / stretch.days;
    const auto* its_class = analyst.catalogue().class_of(*caller.position);
    for (const auto& unit : caller.units) {
      stocking::UnitState state;
      state.pieces = caller.position->pieces;
      state.exposure_per_day = per_day;
      exposure_per_day_ += per_day;
      ++units_;
      ++standing.most;
      standing.set = std::min<long>(standing.set, caller.position->pieces);
      if (is_down(unit)) {
        ++down_;
        // At base the stock position already owes this piece; the new unit starts from age 0.
        state.down = setting == Setting::stretch;
      } else {
        state.age = unit.age;
        state.untested = unit.untested;
        if (unit.marked_end) {
          const int left = days_between(window.start, *unit.marked_end);
          state.due_days = std::max(0, left);
        }
        if (unit.part && *unit.part != part) {
          others.emplace_back(*unit.part, analyst.life_belief(*unit.part));
        }
      }
      state.renewed_every_days = dated_life(its_class);
      add_breaks(state, longest_days);
      if (unit.part && *unit.part != part && !is_down(unit)) {
        const auto& other = std::find_if(others.begin(), others.end(), [&](const auto& held) {
                              return held.first == *unit.part;
                            })->second;
        state.first_life = other.posterior.nodes;
      }
      states.push_back(state);
    }
    const bool group_ends =
        c + 1 == callers.size() || callers[c + 1].cost_of_day != caller.cost_of_day;
    if (group_ends && !states.empty()) {
      groups_.push_back({caller.cost_of_day, caller.severity == domain::Severity::safety,
                         stocking::FittedDemand(belief.posterior.nodes, states, longest_days),
                         standing});
    }
  }
}

/// Days at which the demand jumps: the unit's marked end, and those of its successors if none
/// fails. A unit that is found failed, open or over its end at the start has one from then on.
void PartDemand::add_breaks(const stocking::UnitState& unit, double longest_days) {
  for (const double from : {0.0, unit.due_days}) {
    for (double day = from; day < longest_days && breaks_.size() < 1000;
         day += unit.renewed_every_days) {
      const auto at = std::lower_bound(breaks_.begin(), breaks_.end(), day);
      if (day > 0 && (at == breaks_.end() || *at != day)) {
        breaks_.insert(at, day);
      }
    }
  }
}

void PartDemand::add_consumption(const Analyst& analyst, PartId part, const Window& window) {
  const auto consumption = consumption_of(analyst, part);
  if (!consumption) {
    return;
  }
  consumed_ = true;
  const auto stretch = planned(window);
  const auto ahead = analyst.exposure().stretch(*consumption->its_class, stretch);
  assumed_ = assumed_ || ahead.assumed || consumption->assumed;
  consumption_ = consumption->rate;
  consumed_exposure_per_day_ = ahead.effective / stretch.days;
  exposure_per_day_ += consumed_exposure_per_day_;
  consumed_cost_of_day_ = consumption->cost_of_day;
  consumed_safety_ = consumption->its_class->severity == domain::Severity::safety;
}

std::vector<stocking::Pmf> PartDemand::fitted(std::size_t group,
                                              std::span<const double> days) const {
  auto counts = groups_[group].fitted.distributions(days);
  if (repairs_.any) {
    for (auto& count : counts) {
      count = thinned(count, repairs_.took, repairs_.none);
    }
  }
  return counts;
}

std::vector<stocking::Pmf> PartDemand::of_group(std::size_t group,
                                                std::span<const double> days) const {
  return group + 1 < groups_.size() ? fitted(group, days) : totals(days);
}

std::vector<stocking::Pmf> PartDemand::totals(std::span<const double> days) const {
  std::vector<stocking::Pmf> result;
  if (groups_.empty()) {
    result.assign(days.size(), stocking::no_demand());
  } else {
    result = fitted(groups_.size() - 1, days);
  }
  for (std::size_t i = 0; i < days.size(); ++i) {
    if (consumed_) {
      const auto used =
          stocking::consumption_demand(consumption_, consumed_exposure_per_day_ * days[i]);
      result[i] = stocking::convolve(result[i], used);
    }
    if (losses_.losses > 0) {
      const auto lost = stocking::loss_demand(losses_, days[i] / kDaysPerYear, loss_belief_);
      result[i] = stocking::convolve(result[i], lost);
    }
  }
  return result;
}

stocking::Pmf PartDemand::total(double days) const { return totals({&days, 1}).front(); }

stocking::DaysWithout PartDemand::stretch_days_without(double days) const {
  const std::size_t last = groups_.empty() ? 0 : groups_.size() - 1;
  const auto standing = consumed_         ? stocking::Standing{stocking::kUnlimited, 1}
                        : groups_.empty() ? stocking::Standing{}
                                          : groups_[last].standing;
  return stocking::days_without_stretch(
      [this, last](std::span<const double> at) { return of_group(last, at); }, days, standing,
      breaks_);
}

long PartDemand::set() const {
  return consumed_ || groups_.empty() ? 1 : groups_.back().standing.set;
}

CostOfDays PartDemand::stretch_cost(double days, stocking::DaysWithout days_without) const {
  std::vector<stocking::DaysWithout> parts;
  std::vector<double> costs;
  std::vector<double> safety;
  for (std::size_t g = 0; g + 1 < groups_.size(); ++g) {
    parts.push_back(stocking::days_without_stretch(
        [this, g](std::span<const double> at) { return of_group(g, at); }, days,
        groups_[g].standing, breaks_));
    costs.push_back(groups_[g].cost_of_day);
    safety.push_back(groups_[g].safety ? costs.back() : 0);
  }
  parts.push_back(std::move(days_without));
  costs.push_back(groups_.empty() ? consumed_cost_of_day_ : groups_.back().cost_of_day);
  const bool last_safe = groups_.empty() ? consumed_safety_ : groups_.back().safety;
  safety.push_back(last_safe ? costs.back() : 0);
  return {costed(parts, costs), costed(parts, safety)};
}

stocking::DaysWithout PartDemand::base_cost(const stats::LeadTimePosterior& lead,
                                            double review_days, double mean_lead_days,
                                            stocking::DaysWithout days_without) const {
  std::vector<stocking::DaysWithout> parts;
  std::vector<double> costs;
  for (std::size_t g = 0; g + 1 < groups_.size(); ++g) {
    const auto demand = stocking::demand_over_lead(
        [this, g](std::span<const double> at) { return of_group(g, at); }, lead, 0.0, breaks_);
    parts.push_back(stocking::days_without_base(demand.demand, review_days, mean_lead_days,
                                                groups_[g].standing.set));
    costs.push_back(groups_[g].cost_of_day);
  }
  parts.push_back(std::move(days_without));
  costs.push_back(groups_.empty() ? consumed_cost_of_day_ : groups_.back().cost_of_day);
  return costed(parts, costs);
}

double PartDemand::mean_fitted(double days, const stocking::Pmf& total) const {
  if (groups_.empty()) {
    return 0;
  }
  const bool fitted_alone = !consumed_ && losses_.losses == 0;
  return stocking::mean(fitted_alone ? total : fitted(groups_.size() - 1, {&days, 1}).front());
}

double PartDemand::mean_consumed(double days) const {
  return consumed_ ? consumption_.piece_rate() * consumed_exposure_per_day_ * days : 0;
}

double PartDemand::mean_losses(double days) const {
  return losses_.losses == 0
             ? 0
             : stocking::mean(stocking::loss_demand(losses_, days / kDaysPerYear, loss_belief_));
}

}  // namespace shearpin::advice
