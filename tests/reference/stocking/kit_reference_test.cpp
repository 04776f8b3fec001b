#include <catch2/catch.hpp>
#include <cmath>
#include <sstream>
#include <string>

#include "reference_csv.hpp"
#include "stocking/distribution.hpp"
#include "stocking/kit.hpp"

using namespace shearpin::stocking;
using reference::number;
using reference::Row;

namespace {

enum class Goal { least_short, most_ready };

/// What a kit leaves of the goal: pieces short in all, each weighing 1; or -ln P(no shortage).
KitPart part_of(const Row& item, Goal goal) {
  const Pmf demand = poisson_pmf(number(item, "mean"));
  const long most = std::stol(item.at("most"));
  KitPart part;
  part.use.resize(1);
  for (long n = 0; n <= most; ++n) {
    part.days.push_back(goal == Goal::most_ready
                            ? -std::log(std::min(1.0, chance_at_most(demand, n)))
                            : expected_shortage(demand, n));
    part.use[0].push_back(number(item, "cost") * static_cast<double>(n));
  }
  return part;
}

KitProblem problem_of(const std::string& kit, double budget, Goal goal) {
  KitProblem problem;
  problem.limits = {budget};
  for (const Row& item : reference::read("stocking/kit_items.csv")) {
    if (item.at("kit") == kit) problem.parts.push_back(part_of(item, goal));
  }
  return problem;
}

bool is_about(const Row& row, const char* kind) {
  return row.at("quantity").find(kind) != std::string::npos;
}

Goal goal_of(const Row& row) {
  return is_about(row, "ready") ? Goal::most_ready : Goal::least_short;
}

KitProblem problem_of(const Row& row, double budget) {
  return problem_of(row.at("kit"), budget, goal_of(row));
}

std::string text_of(const std::vector<long>& pieces) {
  std::string text;
  for (const long n : pieces) text += (text.empty() ? "" : "-") + std::to_string(n);
  return text;
}

std::vector<long> pieces_of(const Row& row) {
  std::vector<long> pieces;
  std::istringstream in(row.at("pieces"));
  for (std::string field; std::getline(in, field, '-');) pieces.push_back(std::stol(field));
  return pieces;
}

double value_of(const Row& row, double left) {
  return goal_of(row) == Goal::most_ready ? std::exp(-left) : left;
}

void check_kit(const Row& row, const std::vector<long>& pieces, const KitTotals& totals) {
  CHECK(text_of(pieces) == row.at("pieces"));
  CHECK(totals.use[0] == number(row, "use"));
  const double found = value_of(row, totals.days);
  CHECK(std::fabs(found - number(row, "value")) <= number(row, "tolerance"));
}

void check_best(const Row& row) {
  const KitProblem problem = problem_of(row, number(row, "argument"));
  const KitAnswer answer = best_kit(problem);
  REQUIRE(answer.plan);
  CHECK(answer.plan->proof.optimal);
  check_kit(row, answer.plan->pieces, answer.plan->totals);
}

/// The kit after so many steps, or after the last that the budget allows.
void check_steps(const Row& row) {
  const bool by_number = is_about(row, "step");
  const KitProblem problem = problem_of(row, 0);
  std::vector<long> pieces(problem.parts.size(), 0);
  int taken = 0;
  double per_unit = 0;
  for (const FrontierStep& step : kit_frontier(problem, 0)) {
    std::vector<long> then = pieces;
    then[step.part] = step.to;
    const double use = kit_totals(problem, then).use[0];
    if (by_number ? taken >= number(row, "argument") : use > number(row, "argument")) break;
    pieces = then;
    per_unit = step.per_unit.value();
    ++taken;
  }
  check_kit(row, pieces, kit_totals(problem, pieces));
  if (!row.at("per_unit").empty()) {
    CHECK(std::fabs(per_unit - number(row, "per_unit")) <= number(row, "tolerance"));
  }
}

/// A kit filled by hand: its sums, and that the best one is no worse.
void check_filled(const Row& row) {
  const KitProblem problem = problem_of(row, number(row, "argument"));
  const std::vector<long> pieces = pieces_of(row);
  const KitTotals totals = kit_totals(problem, pieces);
  check_kit(row, pieces, totals);
  const KitAnswer answer = best_kit(problem);
  REQUIRE(answer.plan);
  CHECK(answer.plan->totals.days <= totals.days + 1e-12);
}

}  // namespace

TEST_CASE("Kits and frontiers agree with looking at all combinations and with greedy steps") {
  const std::vector<Row> rows = reference::read("stocking/kit.csv");
  REQUIRE(rows.size() == 38);
  for (const Row& row : rows) {
    INFO(row.at("id") << " (" << row.at("source") << ")");
    if (is_about(row, "best")) {
      check_best(row);
    } else if (is_about(row, "fill")) {
      check_filled(row);
    } else {
      check_steps(row);
    }
  }
}

TEST_CASE("At budget 20 steps by gain for cost are not the best kit, and the two goals part ways") {
  const KitProblem problem = problem_of("four", 20, Goal::most_ready);
  const KitAnswer ready = best_kit(problem);
  const KitAnswer days = best_kit(problem_of("four", 20, Goal::least_short));
  REQUIRE(ready.plan);
  REQUIRE(days.plan);
  CHECK(text_of(ready.plan->pieces) == "1-1-3-0");
  CHECK(text_of(days.plan->pieces) == "3-0-4-0");
  std::vector<long> pieces(problem.parts.size(), 0);
  for (const FrontierStep& step : kit_frontier(problem, 0)) {
    pieces[step.part] = step.to;
    const KitTotals after = kit_totals(problem, pieces);
    if (after.use[0] <= 20) CHECK(after.days > ready.plan->totals.days);
  }
}
