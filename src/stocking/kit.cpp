#include "stocking/kit.hpp"

#include <algorithm>
#include <utility>

#include "stocking/kit_choice.hpp"

namespace shearpin::stocking {
namespace {

double safety_of(const KitPart& part, std::size_t n) {
  return part.safety_days.empty() ? 0 : part.safety_days[n];
}

double other_days_of(const KitPart& part, std::size_t n) {
  return std::max(0.0, part.days[n] - safety_of(part, n));
}

std::vector<Row> rows_of(const KitProblem& problem) {
  std::vector<Row> rows;
  for (std::size_t r = 0; r < problem.limits.size(); ++r) {
    rows.push_back(
        {[r](const KitPart& part, std::size_t n) { return part.use[r][n]; }, problem.limits[r]});
  }
  return rows;
}

bool any_safety(const KitProblem& problem) {
  return std::any_of(problem.parts.begin(), problem.parts.end(), [](const KitPart& part) {
    return std::any_of(part.safety_days.begin(), part.safety_days.end(),
                       [](double days) { return days > 0; });
  });
}

/// Kits are to keep the safety days of the safest one. Their sum alone binds the second search too
/// loosely: the first search's bound goes with it. "Safety days + priced shares of all limits" is
/// at most the days held + the prices, since every share is at most 1; of all sums of rows it is
/// the one that says most about the kits that are left.
void hold_safety(const KitProblem& problem, const ChoiceResult& safest, std::vector<Row>& rows) {
  const double held = kit_totals(problem, safest.entry).safety_days;
  double most = held * (1 + kWithin);
  for (const double price : safest.price) most += price;
  rows.push_back({safety_of, held});
  rows.push_back({[&problem, price = safest.price](const KitPart& part, std::size_t n) {
                    double sum = safety_of(part, n);
                    for (std::size_t r = 0; r < price.size(); ++r) {
                      if (price[r] > 0) {
                        sum += price[r] * share_of(part.use[r][n], problem.limits[r]);
                      }
                    }
                    return sum;
                  },
                  most});
}

KitProof proof_of(double value, double bound, bool settled) {
  KitProof proof;
  proof.optimal = settled || value - bound <= kEqual * value;
  proof.bound = proof.optimal ? value : bound;
  proof.gap = value - proof.bound;
  proof.relative_gap = proof.gap > 0 ? proof.gap / value : 0;
  return proof;
}

/// The least of a table from an entry on.
double least_from(const std::vector<double>& table, std::size_t entry) {
  return *std::min_element(table.begin() + static_cast<std::ptrdiff_t>(entry), table.end());
}

/// The fewest pieces that bring the safety days to their least.
std::size_t safest_entry(const KitPart& part) {
  if (part.safety_days.empty()) return part.least;
  const auto from = part.safety_days.begin() + static_cast<std::ptrdiff_t>(part.least);
  const auto safest = std::min_element(from, part.safety_days.end());
  return static_cast<std::size_t>(safest - part.safety_days.begin());
}

}  // namespace

KitAnswer best_kit(const KitProblem& problem, double work) {
  check_problem(problem);
  std::vector<Row> rows = rows_of(problem);
  ChoiceResult safest;
  safest.settled = true;
  if (any_safety(problem)) {
    safest = cheapest(choice_of(problem, safety_of, rows), work / 2);
    if (!safest.found) return {.plan = {}, .undecided = !safest.settled};
    hold_safety(problem, safest, rows);
  }
  const ChoiceResult best =
      cheapest(choice_of(problem, other_days_of, rows), work - safest.work, safest.entry);
  if (!best.found && !safest.found) return {.plan = {}, .undecided = !best.settled};
  KitPlan plan;
  // The safest kit itself keeps the safety days, whatever else the second search found in its time.
  plan.pieces = best.found ? best.entry : safest.entry;
  plan.totals = kit_totals(problem, plan.pieces);
  plan.proof =
      proof_of(plan.totals.days, safest.found ? plan.totals.safety_days + best.bound : best.bound,
               best.settled);
  plan.safety_proof = proof_of(plan.totals.safety_days, safest.bound, safest.settled);
  return {.plan = std::move(plan), .undecided = false};
}

std::vector<LimitConflict> kit_conflicts(const KitProblem& problem, double work) {
  check_problem(problem);
  const std::vector<Row> rows = rows_of(problem);
  std::vector<LimitConflict> all, in_the_way;
  for (std::size_t r = 0; r < rows.size(); ++r) {
    LimitConflict conflict{r, problem.limits[r], 0, {}};
    for (const KitPart& part : problem.parts) {
      conflict.least_alone += least_from(part.use[r], part.least);
    }
    std::vector<Row> others = rows;
    others.erase(others.begin() + static_cast<std::ptrdiff_t>(r));
    const ChoiceResult least =
        cheapest(choice_of(problem, rows[r].use, others), work / static_cast<double>(rows.size()));
    if (least.found && least.settled) conflict.least_with_others = least.cost;
    const bool alone = conflict.least_alone > conflict.most * (1 + kWithin);
    if (alone || conflict.least_with_others) in_the_way.push_back(conflict);
    all.push_back(conflict);
  }
  // Two conflicts that share no limit: no single one that gives way would help.
  return in_the_way.empty() ? all : in_the_way;
}

KitTotals kit_totals(const KitProblem& problem, std::span<const long> pieces) {
  check_problem(problem);
  check_pieces(problem, pieces);
  KitTotals totals;
  totals.use.assign(problem.limits.size(), 0.0);
  for (std::size_t j = 0; j < pieces.size(); ++j) {
    const KitPart& part = problem.parts[j];
    const auto n = static_cast<std::size_t>(pieces[j]);
    totals.days += part.days[n];
    totals.safety_days += safety_of(part, n);
    totals.pieces += part.pieces_of_entry.empty() ? pieces[j] : part.pieces_of_entry[n];
    for (std::size_t r = 0; r < totals.use.size(); ++r) totals.use[r] += part.use[r][n];
  }
  return totals;
}

std::vector<SafetyNeed> limits_short_for_safety(const KitProblem& problem) {
  check_problem(problem);
  std::vector<SafetyNeed> needs;
  for (std::size_t r = 0; r < problem.limits.size(); ++r) {
    SafetyNeed need{r, problem.limits[r], 0};
    for (const KitPart& part : problem.parts) {
      const std::size_t n = safest_entry(part);
      need.needed += part.pieces_of_entry.empty() ? least_from(part.use[r], n) : part.use[r][n];
    }
    if (need.needed > need.most * (1 + kWithin)) needs.push_back(need);
  }
  return needs;
}

}  // namespace shearpin::stocking
