#include "stocking/kit.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <limits>

#include "kit_random.hpp"
#include "oracles/shared_stock.hpp"
#include "shearpin/base/error.hpp"
#include "stocking/distribution.hpp"

using namespace shearpin::stocking;
using kit_random::add_risk_cap;
using kit_random::Dice;
using kit_random::pieces_use;

namespace {

std::vector<double> poisson_log_chance(double mean, long most) {
  const Pmf demand = poisson_pmf(mean);
  std::vector<double> logs;
  for (long n = 0; n <= most; ++n) {
    logs.push_back(std::log(std::min(1.0, chance_at_most(demand, n))));
  }
  return logs;
}

/// A part with the shortages of a Poisson demand, one limit.
KitPart poisson_part(double mean, long most, double cost_of_day, double per_piece) {
  const Pmf demand = poisson_pmf(mean);
  KitPart part;
  for (long n = 0; n <= most; ++n) {
    part.days.push_back(cost_of_day * expected_shortage(demand, n));
  }
  part.use.push_back(pieces_use(per_piece, most));
  return part;
}

/// Parts of whole kilograms and litres, so that the best kit follows from a table over what is
/// left.
KitProblem whole_problem(std::uint64_t seed, long parts, double kilograms, double litres) {
  Dice dice(seed);
  KitProblem problem;
  problem.limits = {kilograms, litres};
  for (long j = 0; j < parts; ++j) {
    KitPart part = poisson_part(0.1 + 2 * dice.unit(), 4, 1 + 20 * dice.unit(),
                                1 + static_cast<double>(dice.up_to(6)));
    const double each = 1 + static_cast<double>(dice.up_to(6));
    part.use.push_back(pieces_use(each, 4));
    problem.parts.push_back(part);
  }
  return problem;
}

/// Least days by dynamic programming over kilograms and litres left (Bellman 1957).
double least_days_by_table(const KitProblem& problem) {
  const auto kilograms = static_cast<std::size_t>(problem.limits[0]);
  const auto litres = static_cast<std::size_t>(problem.limits[1]);
  const std::size_t row = litres + 1;
  std::vector<double> best((kilograms + 1) * row, 0.0);
  for (const KitPart& part : problem.parts) {
    std::vector<double> next(best.size(), std::numeric_limits<double>::infinity());
    for (std::size_t n = 0; n < part.days.size(); ++n) {
      const auto kg = static_cast<std::size_t>(part.use[0][n]);
      const auto l = static_cast<std::size_t>(part.use[1][n]);
      for (std::size_t a = kg; a <= kilograms; ++a) {
        for (std::size_t b = l; b <= litres; ++b) {
          double& entry = next[a * row + b];
          entry = std::min(entry, best[(a - kg) * row + b - l] + part.days[n]);
        }
      }
    }
    best = next;
  }
  return best.back();
}

}  // namespace

TEST_CASE("Kits of 40 parts under two limits equal dynamic programming") {
  for (std::uint64_t seed = 1; seed <= 6; ++seed) {
    const KitProblem problem = whole_problem(seed, 40, 90, 110);
    const KitAnswer answer = best_kit(problem);
    REQUIRE(answer.plan);
    CHECK(answer.plan->proof.optimal);
    CHECK(answer.plan->totals.days == Approx(least_days_by_table(problem)).epsilon(1e-9));
  }
}

TEST_CASE("When the work runs out the gap is told, and it holds the true best") {
  for (std::uint64_t seed = 11; seed <= 14; ++seed) {
    const KitProblem problem = whole_problem(seed, 40, 90, 110);
    const double best = least_days_by_table(problem);
    const KitAnswer answer = best_kit(problem, 1);
    REQUIRE(answer.plan);
    const KitProof& proof = answer.plan->proof;
    CHECK(proof.bound <= best * (1 + 1e-9));
    CHECK(answer.plan->totals.days >= best * (1 - 1e-9));
    CHECK(proof.gap == Approx(answer.plan->totals.days - proof.bound));
    CHECK(proof.relative_gap < 0.02);
    CHECK(proof.optimal == (proof.gap == 0));
  }
}

TEST_CASE("A thousand parts under three limits end within a thousandth of the best") {
  Dice dice(7);
  KitProblem problem;
  problem.limits = {2500, 2500, 2500};
  for (int j = 0; j < 1000; ++j) {
    KitPart part = poisson_part(0.05 * std::exp(3.5 * dice.unit()), 5, std::exp(5 * dice.unit()),
                                std::exp(2 * dice.unit()));
    for (int r = 1; r < 3; ++r) {
      part.use.push_back(pieces_use(std::exp(2 * dice.unit()), 5));
    }
    problem.parts.push_back(part);
  }
  const KitAnswer answer = best_kit(problem);
  REQUIRE(answer.plan);
  CHECK(answer.plan->proof.relative_gap < 0.001);
  const KitTotals& totals = answer.plan->totals;
  for (const double use : totals.use) CHECK(use <= 2500 * (1 + 1e-9));
  for (const double use : totals.use) CHECK(use > 2400);  // all three bind, or nearly
  CHECK(best_kit(problem).plan->pieces == answer.plan->pieces);
}

TEST_CASE("Many parts that are all alike are no harder than one") {
  KitProblem problem;
  problem.limits = {50.5};  // half a piece too much for the bound to close by itself
  for (int j = 0; j < 100; ++j) problem.parts.push_back(poisson_part(0.3, 3, 10, 1));
  const KitAnswer answer = best_kit(problem);
  REQUIRE(answer.plan);
  CHECK(answer.plan->proof.optimal);
  CHECK(answer.plan->totals.pieces == 50);
  CHECK(*std::max_element(answer.plan->pieces.begin(), answer.plan->pieces.end()) == 1);
}

TEST_CASE("Safety takes the room before anything else, however dear the other days are") {
  KitProblem problem;
  problem.limits = {3};
  KitPart alarm = poisson_part(0.2, 2, 1, 3);
  alarm.safety_days = alarm.days;
  problem.parts = {alarm, poisson_part(2, 3, 1000, 1)};
  const KitAnswer safe = best_kit(problem);
  REQUIRE(safe.plan);
  CHECK(safe.plan->pieces == std::vector<long>{1, 0});
  problem.parts[0].safety_days.clear();
  const KitAnswer all_alike = best_kit(problem);
  REQUIRE(all_alike.plan);
  CHECK(all_alike.plan->pieces == std::vector<long>{0, 3});
}

TEST_CASE("A step that gains only together with the next is taken as two") {
  KitPart pair;  // two units fall due together
  pair.days = {10, 10, 0};
  pair.use = {{0, 1, 2}};
  KitPart other;
  other.days = {4, 0};
  other.use = {{0, 1}};
  const KitProblem two{.parts = {pair, other}, .limits = {2}};
  CHECK(best_kit(two).plan->pieces == std::vector<long>{2, 0});
  const KitProblem one{.parts = {pair, other}, .limits = {1}};
  CHECK(best_kit(one).plan->pieces == std::vector<long>{0, 1});
}

TEST_CASE("Limits that do not bind give every part what it can use and no more") {
  KitPart part = poisson_part(1, 3, 10, 1);
  part.days.push_back(part.days.back());  // the fourth piece gains nothing
  part.use[0].push_back(4);
  const KitProblem problem{.parts = {part, part}, .limits = {100}};
  const KitAnswer answer = best_kit(problem);
  REQUIRE(answer.plan);
  CHECK(answer.plan->pieces == std::vector<long>{3, 3});
  CHECK(answer.plan->proof.optimal);
}

TEST_CASE("No limits, no parts, a limit of nothing: each has its kit") {
  CHECK(best_kit({}).plan->pieces.empty());
  KitPart part = poisson_part(1, 3, 10, 1);
  const KitProblem tail_cutoff{.parts = {part}, .limits = {0}};
  CHECK(best_kit(tail_cutoff).plan->pieces == std::vector<long>{0});
  part.use.clear();
  const KitProblem free{.parts = {part}, .limits = {}};
  CHECK(best_kit(free).plan->pieces == std::vector<long>{3});
}

TEST_CASE("A mass limit below what is bolted on is named with what it would take") {
  KitPart wheel = poisson_part(0.3, 2, 100, 22);
  wheel.least = 1;
  const KitProblem problem{.parts = {wheel}, .limits = {0}};
  const KitAnswer answer = best_kit(problem);
  CHECK(!answer.plan);
  CHECK(!answer.undecided);
  const auto conflicts = kit_conflicts(problem);
  REQUIRE(conflicts.size() == 1);
  CHECK(conflicts[0].limit == 0);
  CHECK(conflicts[0].most == 0);
  CHECK(conflicts[0].least_alone == 22);
  CHECK(conflicts[0].least_with_others == 22.0);
}

TEST_CASE("A risk cap that the mass limit cannot meet names both and by how much") {
  KitProblem problem;
  problem.parts = {poisson_part(1, 6, 10, 2)};
  problem.limits = {5};  // two pieces
  add_risk_cap(problem, 0.01, {poisson_log_chance(1, 6)});
  CHECK(!best_kit(problem).plan);
  const auto conflicts = kit_conflicts(problem);
  REQUIRE(conflicts.size() == 2);
  CHECK(conflicts[0].limit == 0);
  // P(Poisson(1) <= 3) = 0.981, <= 4: 0.9963 (cumulative Poisson tables): four pieces, 8 kg.
  CHECK(*conflicts[0].least_with_others == Approx(8));
  CHECK(conflicts[1].limit == 1);
  CHECK(std::exp(-*conflicts[1].least_with_others) == Approx(0.919698603).epsilon(1e-9));
  CHECK(std::exp(-conflicts[1].least_alone) == Approx(0.999916759).margin(1e-9));
}

TEST_CASE("A risk cap moves pieces to the parts it watches") {
  KitProblem problem;
  problem.parts = {poisson_part(0.5, 5, 1, 1), poisson_part(3, 9, 100, 1)};
  problem.limits = {8};
  const KitAnswer free = best_kit(problem);
  REQUIRE(free.plan);
  add_risk_cap(problem, 0.002, {poisson_log_chance(0.5, 5), {}});
  const KitAnswer capped = best_kit(problem);
  REQUIRE(capped.plan);
  // P(Poisson(0.5) <= 3) = 0.998248, <= 2: 0.985612 (cumulative Poisson tables)
  CHECK(free.plan->pieces[0] < 3);
  CHECK(capped.plan->pieces == std::vector<long>{3, 5});
  CHECK(std::exp(-capped.plan->totals.use[1]) == Approx(0.998248).margin(1e-6));
  CHECK(capped.plan->totals.days > free.plan->totals.days);
}

TEST_CASE("What safety needs is held against every limit") {
  KitPart alarm = poisson_part(0.2, 2, 10, 3);
  alarm.days = {0.3, 0.2, 0.1};
  alarm.safety_days = {0.2, 0.1, 0.1};
  const KitPart pump = poisson_part(1, 2, 1, 4);
  const KitProblem problem{.parts = {alarm, pump}, .limits = {2}};
  const std::vector<SafetyNeed> needs = limits_short_for_safety(problem);
  REQUIRE(needs.size() == 1);
  CHECK(needs[0].most == 2);
  CHECK(needs[0].needed == 3);  // one alarm, no pump
  KitProblem enough = problem;
  enough.limits = {3};
  CHECK(limits_short_for_safety(enough).empty());
}

TEST_CASE("A pair that shares stock is carried by its combinations") {
  // Part A (1 kg) falls back on B (3 kg), which fits both: one group of all combinations.
  const Pmf a = poisson_pmf(0.8);
  const Pmf b = poisson_pmf(0.4);
  KitPart group;
  group.use.resize(1);
  std::vector<std::pair<long, long>> stock;
  for (long n_a = 0; n_a <= 4; ++n_a) {
    for (long n_b = 0; n_b <= 3; ++n_b) {
      const SharedShortage left =
          shared_shortage({.own_demand = b, .stock = n_b, .parts = {{a, n_a}}});
      stock.emplace_back(n_a, n_b);
      group.pieces_of_entry.push_back(n_a + n_b);
      group.days.push_back(10 * mean(left.pieces_short[0]) + 10 * mean(left.pieces_short[1]));
      group.use[0].push_back(static_cast<double>(n_a + 3 * n_b));
    }
  }
  const KitProblem problem{.parts = {group, poisson_part(0.5, 4, 10, 2)}, .limits = {6}};
  const KitAnswer answer = best_kit(problem);
  REQUIRE(answer.plan);
  double best = std::numeric_limits<double>::infinity();
  for (const kit_random::Kit& kit : kit_random::every_kit(problem)) {
    if (kit_random::is_within(problem, kit, 99)) best = std::min(best, kit.days);
  }
  const KitTotals& totals = answer.plan->totals;
  CHECK(totals.days == Approx(best));
  const auto [n_a, n_b] = stock[static_cast<std::size_t>(answer.plan->pieces[0])];
  CHECK(totals.pieces == n_a + n_b + answer.plan->pieces[1]);
}
