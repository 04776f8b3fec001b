#include <catch2/catch.hpp>
#include <limits>

#include "shearpin/base/error.hpp"
#include "stocking/kit.hpp"

using namespace shearpin::stocking;
using shearpin::InputError;

namespace {

constexpr double kNaN = std::numeric_limits<double>::quiet_NaN();
constexpr double kInfinite = std::numeric_limits<double>::infinity();

KitProblem sound() {
  KitPart part;
  part.days = {3, 1};
  part.safety_days = {1, 0.5};
  part.use = {{0, 2}};
  return {.parts = {part}, .limits = {5}};
}

/// The sound problem after one change is refused.
template <class Spoil>
void check_refused(Spoil spoil) {
  KitProblem problem = sound();
  spoil(problem);
  CHECK_THROWS_AS(best_kit(problem), InputError);
}

}  // namespace

TEST_CASE("A sound kit problem is not refused") { CHECK(best_kit(sound()).plan); }

TEST_CASE("Limits that are no amounts are refused") {
  for (const double limit : {-1.0, kNaN, kInfinite}) {
    check_refused([&](KitProblem& p) { p.limits[0] = limit; });
  }
  check_refused([](KitProblem& p) { p.limits.push_back(1); });
}

TEST_CASE("Bad tables are refused") {
  check_refused([](KitProblem& p) { p.parts[0].days.clear(); });
  check_refused([](KitProblem& p) { p.parts[0].days = {1, 3}; });
  for (const double bad : {-1.0, kNaN, kInfinite}) {
    check_refused([&](KitProblem& p) { p.parts[0].days[0] = bad; });
    check_refused([&](KitProblem& p) { p.parts[0].safety_days[0] = bad; });
    check_refused([&](KitProblem& p) { p.parts[0].use[0][1] = bad; });
  }
  check_refused([](KitProblem& p) { p.parts[0].safety_days = {4, 0.5}; });
  check_refused([](KitProblem& p) { p.parts[0].safety_days = {0.5, 1}; });
  check_refused([](KitProblem& p) { p.parts[0].safety_days = {0.5}; });
  check_refused([](KitProblem& p) { p.parts[0].use[0].pop_back(); });
  check_refused([](KitProblem& p) { p.parts[0].use.clear(); });
  check_refused([](KitProblem& p) { p.parts[0].least = 2; });
  check_refused([](KitProblem& p) { p.parts[0].pieces_of_entry = {0}; });
  check_refused([](KitProblem& p) { p.parts[0].pieces_of_entry = {0, -1}; });
}

TEST_CASE("Kits outside the tables are refused") {
  const KitProblem problem = sound();
  for (const std::vector<long>& pieces :
       {std::vector<long>{2}, std::vector<long>{-1}, std::vector<long>{0, 0}}) {
    CHECK_THROWS_AS(kit_totals(problem, pieces), InputError);
    CHECK_THROWS_AS(kit_frontier(problem, 0, pieces), InputError);
    CHECK_THROWS_AS(leave_first(problem, 0, pieces), InputError);
  }
}

TEST_CASE("Steps need a limit that is there and never falls with more pieces") {
  KitProblem problem = sound();
  CHECK_THROWS_AS(kit_frontier(problem, 1), InputError);
  problem.parts[0].use = {{2, 0}};
  CHECK_THROWS_AS(kit_frontier(problem, 0), InputError);
}

TEST_CASE("A refusal names the part, the value and the rule") {
  KitProblem problem = sound();
  problem.parts[0].use[0][1] = -2;
  CHECK_THROWS_WITH(best_kit(problem),
                    Catch::Contains("part 0") && Catch::Contains("-2") && Catch::Contains(">= 0"));
}
