#include "stocking/kit.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>

#include "shearpin/base/error.hpp"
#include "stocking/kit_tables.hpp"

namespace shearpin::stocking {
namespace {

// A fixed 0 gap where both are 0.
double share_of(double gap, double value) { return gap > 0 ? gap / value : 0; }

KitProof days_proof(double value, double bound, bool settled) {
  KitProof proof;
  proof.optimal = settled || value - bound <= kEqual * value;
  proof.bound = proof.optimal ? value : bound;
  proof.gap = value - proof.bound;
  proof.relative_gap = share_of(proof.gap, value);
  return proof;
}

KitProof readiness_proof(double value, double bound, bool settled) {
  KitProof proof;
  proof.optimal = settled || bound - value <= -kEqual * value;
  proof.bound = proof.optimal ? value : bound;
  proof.gap = proof.bound - value;
  proof.relative_gap = -std::expm1(-proof.gap);
  return proof;
}

bool any_safety(const KitProblem& problem) {
  return std::any_of(problem.parts.begin(), problem.parts.end(), [](const KitPart& part) {
    return std::any_of(part.safety_days.begin(), part.safety_days.end(),
                       [](double days) { return days > 0; });
  });
}

KitAnswer no_kit(const KitProblem& problem, const KitOptions& options, bool settled) {
  KitAnswer answer;
  answer.undecided = !settled;
  if (settled) answer.conflicts = conflicts(problem, options.work);
  return answer;
}

KitProof goal_proof(const KitTotals& totals, const KitOptions& options, bool safety_apart,
                    const ChoiceResult& found) {
  if (options.goal == KitGoal::most_ready) {
    return readiness_proof(totals.log_chance, -found.bound, found.settled);
  }
  const double apart = safety_apart ? totals.safety_days : 0;
  return days_proof(totals.days, apart + found.bound, found.settled);
}

/// Without a call for safety first, all days count alike.
KitProblem without_safety(KitProblem problem) {
  for (KitPart& part : problem.parts) part.safety_days.clear();
  return problem;
}

KitSum sum_of(KitGoal goal) {
  return goal == KitGoal::most_ready ? KitSum::unready : KitSum::other_days;
}

KitAnswer plain_best(const KitProblem& problem, const KitOptions& options) {
  const KitProblem plain = without_safety(problem);
  const ChoiceResult found =
      cheapest(goal_choice(plain, sum_of(options.goal), std::nullopt), options.work);
  if (!found.found) return no_kit(problem, options, found.settled);
  KitPlan plan;
  plan.pieces = found.entry;
  plan.totals = kit_totals(problem, plan.pieces);
  plan.proof = goal_proof(plan.totals, options, false, found);
  plan.safety_proof = days_proof(plan.totals.safety_days, plan.totals.safety_days, true);
  return {.plan = std::move(plan), .conflicts = {}, .undecided = false};
}

/// The goal's problem among kits that keep the safety days of `safest`. The held sum alone binds
/// the second search too loosely: the first search's bound goes with it, as one more row.
Choice held_choice(const KitProblem& problem, KitSum sum, const Choice& safety,
                   const ChoiceResult& safest, double held) {
  Choice choice = goal_choice(problem, sum, held);
  add_surrogate_row(choice, safety, safest.price, held * (1 + kWithin));
  return choice;
}

KitAnswer safest_best(const KitProblem& problem, const KitOptions& options) {
  const Choice safety = goal_choice(problem, KitSum::safety_days, std::nullopt);
  const ChoiceResult safest = cheapest(safety, options.work / 2);
  if (!safest.found) return no_kit(problem, options, safest.settled);
  const double held = kit_totals(problem, safest.entry).safety_days;
  const ChoiceResult best = cheapest(
      held_choice(problem, sum_of(options.goal), safety, safest, held), options.work - safest.work);
  KitPlan plan;
  // The safest kit itself keeps the safety days, whatever else the second search found in its time.
  plan.pieces = best.found ? best.entry : safest.entry;
  plan.totals = kit_totals(problem, plan.pieces);
  plan.proof = goal_proof(plan.totals, options, true, best);
  plan.safety_proof = days_proof(plan.totals.safety_days, safest.bound, safest.settled);
  return {.plan = std::move(plan), .conflicts = {}, .undecided = false};
}

}  // namespace

KitAnswer best_kit(const KitProblem& problem, const KitOptions& options) {
  check_problem(problem);
  if (options.safety_first && any_safety(problem)) return safest_best(problem, options);
  return plain_best(problem, options);
}

KitTotals kit_totals(const KitProblem& problem, std::span<const long> pieces) {
  check_problem(problem);
  check_pieces(problem, pieces);
  KitTotals totals;
  std::vector<double> rows(row_count(problem), 0.0);
  for (std::size_t j = 0; j < pieces.size(); ++j) {
    const KitPart& part = problem.parts[j];
    const auto n = static_cast<std::size_t>(pieces[j]);
    totals.days += part.days[n];
    totals.safety_days += entry_of(part, n, KitSum::safety_days);
    totals.log_chance -= unreadiness(part, n);
    totals.pieces += pieces_in(part, n);
    for (std::size_t row = 0; row < rows.size(); ++row) rows[row] += row_use(problem, row, j, n);
  }
  const auto limits = static_cast<std::ptrdiff_t>(problem.limits.size());
  totals.use.assign(rows.begin(), rows.begin() + limits);
  for (auto row = rows.begin() + limits; row != rows.end(); ++row) {
    totals.risk.push_back(-std::expm1(-*row));
  }
  return totals;
}

std::vector<SafetyNeed> limits_short_for(const KitProblem& problem, std::span<const long> wanted) {
  check_problem(problem);
  check_pieces(problem, wanted);
  std::vector<SafetyNeed> shorts;
  for (std::size_t r = 0; r < problem.limits.size(); ++r) {
    double needed = 0;
    for (std::size_t j = 0; j < problem.parts.size(); ++j) {
      const KitPart& part = problem.parts[j];
      const std::size_t from = std::max(part.least, static_cast<std::size_t>(wanted[j]));
      const auto first = part.use[r].begin() + static_cast<std::ptrdiff_t>(from);
      needed += part.pieces_of_entry.empty() ? *std::min_element(first, part.use[r].end()) : *first;
    }
    const double most = problem.limits[r];
    if (needed > most * (1 + kWithin)) shorts.push_back({r, most, needed, needed - most});
  }
  return shorts;
}

std::vector<long> safest_pieces(const KitProblem& problem) {
  check_problem(problem);
  std::vector<long> pieces;
  for (const KitPart& part : problem.parts) {
    const std::vector<double>& safety = part.safety_days;
    std::size_t n = part.least;
    if (!safety.empty()) {
      const auto from = safety.begin() + static_cast<std::ptrdiff_t>(part.least);
      n = static_cast<std::size_t>(std::min_element(from, safety.end()) - safety.begin());
    }
    pieces.push_back(static_cast<long>(n));
  }
  return pieces;
}

std::vector<double> pieces_use(double per_piece, long most, long aboard, Counted counted) {
  if (!(per_piece >= 0) || !std::isfinite(per_piece)) {
    throw InputError(
        fmt::format("a use of {} a piece is not a number >= 0, such as 0.2", per_piece));
  }
  if (most < 0 || aboard < 0) {
    throw InputError(
        fmt::format("{} pieces at most and {} aboard must be >= 0, such as 5 and 1", most, aboard));
  }
  std::vector<double> use;
  for (long n = 0; n <= most; ++n) {
    const long counts = counted == Counted::all_aboard ? n : std::max(0L, n - aboard);
    use.push_back(static_cast<double>(counts) * per_piece);
  }
  return use;
}

std::vector<KitChange> kit_changes(std::span<const long> from, std::span<const long> to) {
  if (from.size() != to.size()) {
    throw InputError(
        fmt::format("kits of {} and {} parts cannot be compared", from.size(), to.size()));
  }
  std::vector<KitChange> changes;
  for (std::size_t j = 0; j < from.size(); ++j) {
    if (from[j] != to[j]) changes.push_back({j, from[j], to[j]});
  }
  return changes;
}

KitExtra what_more_buys(const KitProblem& problem, const KitOptions& options, std::size_t limit,
                        double extra) {
  check_problem(problem);
  check_limit(problem, limit);
  KitProblem more = problem;
  more.limits[limit] += extra;
  KitExtra result{best_kit(problem, options), best_kit(more, options), {}};
  if (result.now.plan && result.with_extra.plan) {
    result.changes = kit_changes(result.now.plan->pieces, result.with_extra.plan->pieces);
  }
  return result;
}

}  // namespace shearpin::stocking
