#include <catch2/catch.hpp>

#include "kit_random.hpp"

using namespace shearpin::stocking;

namespace {

KitPart table(std::vector<double> days, std::vector<double> use) {
  KitPart part;
  part.days = days;
  part.use = {use};
  return part;
}

/// Sums of the kit that the steps lead to.
kit_random::Kit after(const KitProblem& problem, std::vector<long> pieces,
                      const std::vector<FrontierStep>& steps) {
  for (const FrontierStep& step : steps) {
    REQUIRE(pieces[step.part] == step.from);
    pieces[step.part] = step.to;
  }
  return kit_random::sums_of(problem, pieces);
}

bool holds(const std::vector<long>& pieces, const std::vector<long>& start) {
  for (std::size_t j = 0; j < pieces.size(); ++j) {
    if (pieces[j] < start[j]) return false;
  }
  return true;
}

}  // namespace

TEST_CASE("No kit beats a step of the frontier in both use and value") {
  int looked_at = 0;
  for (std::uint64_t seed = 1; seed <= 160; ++seed) {
    INFO("seed " << seed);
    const KitProblem problem = kit_random::random_problem(seed, false);
    const std::vector<kit_random::Kit> kits = kit_random::every_kit(problem);
    std::vector<long> pieces;
    for (const KitPart& part : problem.parts) pieces.push_back(static_cast<long>(part.least));
    const std::vector<long> start = pieces;
    for (const FrontierStep& step : kit_frontier(problem, 0)) {
      REQUIRE(pieces[step.part] == step.from);
      pieces[step.part] = step.to;
      if (!step.per_unit) continue;  // more may be had for nothing still
      ++looked_at;
      const kit_random::Kit sums = kit_random::sums_of(problem, pieces);
      for (const kit_random::Kit& kit : kits) {
        if (!holds(kit.pieces, start) || !(kit.rows[0] <= sums.rows[0])) continue;
        if (kit.days < sums.days - 1e-9) FAIL("a kit of less use is better");
      }
    }
  }
  CHECK(looked_at > 300);
}

TEST_CASE("The frontier takes what costs nothing first and stops where nothing is gained") {
  const KitProblem problem{
      .parts = {table({9, 5, 5}, {0, 0, 0}), table({9, 5, 4, 4}, {0, 1, 2, 3})}, .limits = {1}};
  const std::vector<FrontierStep> steps = kit_frontier(problem, 0);
  REQUIRE(steps.size() == 3);
  CHECK(steps[0].part == 0);
  CHECK(steps[0].to == 1);
  CHECK(!steps[0].per_unit);
  CHECK(steps[1].per_unit == 4.0);
  CHECK(steps[2].per_unit == 1.0);
  CHECK(after(problem, {0, 0}, steps).days == Approx(9));
}

TEST_CASE("A piece that gains nothing by itself comes together with the next") {
  const KitProblem problem{.parts = {table({10, 10, 0}, {0, 1, 2})}, .limits = {1}};
  const std::vector<FrontierStep> steps = kit_frontier(problem, 0);
  REQUIRE(steps.size() == 1);
  CHECK(steps[0].from == 0);
  CHECK(steps[0].to == 2);
}

TEST_CASE("The frontier starts from what is aboard") {
  const KitProblem problem{.parts = {table({9, 5, 3}, {0, 1, 2}), table({9, 4, 3}, {0, 1, 2})},
                           .limits = {1}};
  const std::vector<FrontierStep> steps = kit_frontier(problem, 0, std::vector<long>{2, 1});
  REQUIRE(steps.size() == 1);
  CHECK(steps[0].part == 1);
  CHECK(steps[0].from == 1);
  CHECK(after(problem, {2, 1}, steps).days == 6);
}

TEST_CASE("What loses least for what it frees is left at home first") {
  const KitProblem problem{
      .parts = {table({9, 5, 3}, {0, 1, 2}), table({9, 4, 4, 4}, {0, 2, 4, 6})}, .limits = {1}};
  const std::vector<FrontierStep> steps = leave_first(problem, 0, std::vector<long>{2, 3});
  // Twice a piece of part 1 that loses nothing, then 2 a unit, 2.5 a unit, 4 a unit.
  REQUIRE(steps.size() == 5);
  CHECK(steps[0].part == 1);
  CHECK(steps[0].from == 3);
  CHECK(steps[0].to == 2);
  CHECK(steps[0].per_unit == 0.0);
  CHECK(steps[1].to == 1);
  CHECK(steps[2].part == 0);
  CHECK(steps[2].per_unit == 2.0);
  CHECK(steps[3].part == 1);
  CHECK(steps[3].per_unit == 2.5);
  CHECK(steps[4].part == 0);
  CHECK(steps[4].per_unit == 4.0);
  const kit_random::Kit left = after(problem, {2, 3}, steps);
  CHECK(left.rows[0] == 0);
  CHECK(left.days == 18);
}

TEST_CASE("No kit within the one left from loses less at no more use") {
  for (std::uint64_t seed = 201; seed <= 240; ++seed) {
    INFO("seed " << seed);
    const KitProblem problem = kit_random::random_problem(seed, false);
    std::vector<long> kit;
    for (const KitPart& part : problem.parts)
      kit.push_back(static_cast<long>(part.days.size()) - 1);
    std::vector<long> pieces = kit;
    const std::vector<kit_random::Kit> kits = kit_random::every_kit(problem);
    for (const FrontierStep& step : leave_first(problem, 0, kit)) {
      REQUIRE(pieces[step.part] == step.from);
      REQUIRE(step.to < step.from);
      pieces[step.part] = step.to;
      const kit_random::Kit sums = kit_random::sums_of(problem, pieces);
      for (const kit_random::Kit& other : kits) {
        if (other.rows[0] <= sums.rows[0] && other.days < sums.days - 1e-9) FAIL("less was lost");
      }
    }
  }
}
