#include <fmt/format.h>

#include "advice/base_case.hpp"
#include "advice/fault_watch.hpp"
#include "advice/rate_of.hpp"
#include "shearpin/advice/advise.hpp"
#include "shearpin/base/quantity.hpp"

namespace shearpin::advice {
namespace {

/// Rows from 0 to a little past the advised level: enough to see the minimum.
std::vector<WorthRow> worth_rows(const stocking::Pmf& demand, const stocking::DaysWithout& days,
                                 const stocking::DaysWithout& cost, double piece_cost,
                                 int advised) {
  std::vector<WorthRow> rows;
  for (int n = 0; n <= advised + 2; ++n) {
    const auto i = static_cast<std::size_t>(n);
    WorthRow row;
    row.n = n;
    row.chance = stocking::chance_at_most(demand, n);
    row.days_without = i < days.size() ? days[i] : 0;
    row.cost_of_days = i < cost.size() ? cost[i] : 0;
    row.cost_of_holding = piece_cost * n;
    rows.push_back(row);
  }
  return rows;
}

std::vector<std::string> condition_words(const Analyst& analyst, PartId part,
                                         const Window& window) {
  std::vector<std::string> words;
  const auto* its_class = analyst.catalogue().class_of(analyst.catalogue().at(part));
  for (const auto& [name, days] : window.conditions) {
    double factor = 1;
    if (its_class != nullptr) {
      const auto found = its_class->sensitivity.find(name);
      factor = found == its_class->sensitivity.end() ? 1 : found->second;
    }
    words.push_back(fmt::format("{} for {} days: use counts {} times", name,
                                days.value_or(window.days), plain_number(factor)));
  }
  return words;
}

}  // namespace

ExplainAnswer advise_explain(const domain::Snapshot& snapshot, PartId part,
                             const std::optional<Window>& window) {
  const Analyst analyst(snapshot);
  ExplainAnswer answer;
  answer.window = window;
  answer.review_days = analyst.policy().review_days();
  if (window) {
    auto found = stretch_case(analyst, part, *window);
    answer.worth = worth_rows(found.demand, found.days_without, found.cost, found.piece_cost,
                              found.line.carry);
    answer.holding_of_one = found.piece_cost;
    answer.exposure_ahead = found.exposure;
    answer.conditions = condition_words(analyst, part, *window);
    answer.carry = std::move(found.line);
  }
  auto base = base_case(analyst, part, answer.carry ? answer.carry->carry : 0);
  answer.reorder = base.line;
  answer.lead = base.lead;
  answer.lead_demand = base.lead_demand;
  answer.protection_demand = base.protection_demand;
  if (!window) {
    answer.worth = worth_rows(base.protection_demand, base.days_without, base.cost, base.piece_cost,
                              base.line.level);
    answer.holding_of_one = base.piece_cost;
    answer.exposure_ahead = base.exposure;
  }
  const auto callers = analyst.callers_of(part);
  answer.cost_of_day = callers.empty() ? analyst.policy().cost_of_day(answer.reorder.severity)
                                       : callers.front().cost_of_day;
  answer.rate = rate_of(analyst, part, analyst.life_belief(part));
  if (!answer.rate.signs.empty()) {
    const auto records = records_without(analyst, part, answer.rate.signs);
    answer.level_without_signs = base_case(analyst, part, 0, &records).line.level;
  }
  return answer;
}

}  // namespace shearpin::advice
