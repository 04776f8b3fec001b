#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "advice/base_case.hpp"
#include "advice/carry_case.hpp"
#include "advice/fault_watch.hpp"
#include "advice/rate_of.hpp"
#include "base/quantity.hpp"
#include "shearpin/advice/advise.hpp"

namespace shearpin::advice {
namespace {

/// Rows from 0 to a little past the advised level: enough to see the minimum. `chance` of a stock.
template <class Chance>
std::vector<WorthRow> worth_rows(const Chance& chance, const stocking::DaysWithout& days,
                                 const stocking::DaysWithout& cost, double piece_cost,
                                 int advised) {
  std::vector<WorthRow> rows;
  for (int n = 0; n <= advised + 2; ++n) {
    const auto i = static_cast<std::size_t>(n);
    WorthRow row;
    row.n = n;
    row.chance = chance(n);
    row.days_without = i < days.size() ? days[i] : 0;
    row.cost_of_days = i < cost.size() ? cost[i] : 0;
    row.cost_of_holding = piece_cost * n;
    rows.push_back(row);
  }
  return rows;
}

/// Conditions with the days they hold on, by name: of a trip the sum over its legs.
std::vector<std::pair<std::string, int>> condition_days(const Window& window) {
  std::map<std::string, int> days;
  for (const auto& [name, held] : window.conditions) {
    days[name] = held.value_or(window.days);
  }
  if (window.trip) {
    domain::TripLine line;
    line.legs = window.trip->legs;
    for (const auto& held : domain::condition_stretches(line)) {
      const int more = days_between(held.from, held.to) + 1;
      days[held.condition] = std::min(window.days, days[held.condition] + more);
    }
  }
  return {days.begin(), days.end()};
}

std::vector<std::string> condition_words(const Analyst& analyst, PartId part,
                                         const Window& window) {
  std::vector<std::string> words;
  const auto* its_class = analyst.catalogue().class_of(analyst.catalogue().at(part));
  for (const auto& [name, days] : condition_days(window)) {
    double factor = 1;
    if (its_class != nullptr) {
      const auto found = its_class->sensitivity.find(name);
      factor = found == its_class->sensitivity.end() ? 1 : found->second;
    }
    words.push_back(
        fmt::format("{} for {} days: use counts {} times", name, days, plain_number(factor)));
  }
  return words;
}

void add_window(const Analyst& analyst, PartId part, const Window& window, ExplainAnswer& answer) {
  answer.conditions = condition_words(analyst, part, window);
  auto found = carry_case(analyst, part, window);
  answer.worth = worth_rows([&](int n) { return found.chance(n); }, found.days_without,
                            found.cost.cost, found.piece_cost, found.line.carry);
  answer.holding_of_one = found.piece_cost;
  answer.exposure_ahead = found.outlook.exposure;
  answer.carry = std::move(found.line);
}

}  // namespace

ExplainAnswer advise_explain(const domain::Snapshot& snapshot, PartId part,
                             const std::optional<Window>& window) {
  const Analyst analyst(snapshot);
  ExplainAnswer answer;
  answer.window = window;
  answer.review_days = analyst.policy().review_days;
  if (window) {
    add_window(analyst, part, *window, answer);
  }
  auto base = base_case(analyst, part, answer.carry ? &*answer.carry : nullptr);
  answer.reorder = base.line;
  answer.lead = base.lead;
  answer.lead_demand = base.lead_demand;
  answer.protection_demand = base.protection_demand;
  answer.lead_demand_bounded = base.bounded;
  if (!window) {
    const auto chance = [&](int n) { return stocking::chance_at_most(base.protection_demand, n); };
    answer.worth =
        worth_rows(chance, base.days_without, base.cost, base.piece_cost, base.line.level);
    answer.holding_of_one = base.piece_cost;
    answer.exposure_ahead = base.exposure;
  }
  const auto callers = analyst.callers_of(part);
  answer.cost_of_day = callers.empty() ? analyst.policy().cost_of_day(answer.reorder.severity)
                                       : callers.front().cost_of_day;
  for (const auto& caller : callers) {
    const auto own = analyst.catalogue().severity_of(*caller.position);
    if (own != caller.severity) {
      answer.eased.push_back(
          {caller.position->key, caller.position->workaround, own, caller.severity});
    }
  }
  answer.rate = rate_of(analyst, part, analyst.life_belief(part));
  if (!answer.rate.signs.empty()) {
    const auto records = records_without(analyst, part, answer.rate.signs);
    answer.level_without_signs = base_case(analyst, part, nullptr, &records).line.level;
  }
  return answer;
}

}  // namespace shearpin::advice
