/// The search against every kit there is, on seeded problems of up to 5 parts x 5 pieces.

#include <algorithm>
#include <catch2/catch.hpp>
#include <iterator>
#include <limits>
#include <tuple>

#include "kit_random.hpp"

using namespace kit_random;

namespace {

constexpr double kNone = std::numeric_limits<double>::infinity();
// What kit.hpp promises: equal to 5e-10, with safety days held within 1e-9.
constexpr double kPromised = 2e-9;

/// The best by looking at all.
struct Best {
  double safety = kNone;
  double goal = kNone;
  long pieces = 0;
  double first_use = 0;
  bool exists() const { return goal < kNone; }
};

Best best_of(const std::vector<Kit>& within) {
  Best best;
  for (const Kit& kit : within) best.safety = std::min(best.safety, kit.safety);
  const double held = best.safety * (1 + 1e-9);
  std::tuple<double, long, double> least{kNone, 0, 0};
  for (const Kit& kit : within) {
    if (kit.safety > held) continue;
    least = std::min(least, std::make_tuple(kit.days - kit.safety, kit.count, kit.rows[0]));
  }
  std::tie(best.goal, best.pieces, best.first_use) = least;
  return best;
}

std::vector<Kit> kits_within(const KitProblem& problem, const std::vector<Kit>& kits,
                             std::size_t without) {
  std::vector<Kit> within;
  std::copy_if(kits.begin(), kits.end(), std::back_inserter(within),
               [&](const Kit& kit) { return is_within(problem, kit, without); });
  return within;
}

void check_plan(const KitProblem& problem, const KitPlan& plan, const Best& best, bool whole) {
  const Kit kit = sums_of(problem, plan.pieces);
  CHECK(is_within(problem, kit, kit.rows.size()));
  CHECK(plan.proof.optimal);
  CHECK(plan.proof.gap == 0);
  CHECK(plan.safety_proof.optimal);
  CHECK(plan.totals.days == Approx(kit.days).margin(1e-12));
  CHECK(plan.totals.safety_days == Approx(kit.safety).margin(1e-12));
  for (std::size_t r = 0; r < kit.rows.size(); ++r) {
    CHECK(plan.totals.use[r] == Approx(kit.rows[r]).margin(1e-12));
  }
  CHECK(plan.totals.pieces == kit.count);
  CHECK(kit.safety - best.safety <= kPromised * best.safety);
  CHECK(kit.days - kit.safety - best.goal <= kPromised * best.goal + 1e-12);
  if (whole) {
    CHECK(kit.count == best.pieces);
    CHECK(kit.rows[0] == Approx(best.first_use).margin(1e-9));
  }
}

void check_conflicts(const KitProblem& problem, const std::vector<Kit>& kits,
                     const std::vector<LimitConflict>& conflicts) {
  CHECK(!conflicts.empty());
  for (const LimitConflict& conflict : conflicts) {
    double alone = kNone;
    for (const Kit& kit : kits) alone = std::min(alone, kit.rows[conflict.limit]);
    CHECK(conflict.least_alone == Approx(alone).margin(1e-12));
    double beside = kNone;
    for (const Kit& kit : kits_within(problem, kits, conflict.limit)) {
      beside = std::min(beside, kit.rows[conflict.limit]);
    }
    REQUIRE(conflict.least_with_others.has_value() == (beside < kNone));
    if (beside < kNone) {
      CHECK(*conflict.least_with_others == Approx(beside).epsilon(1e-8));
      CHECK(*conflict.least_with_others > conflict.most);
    }
  }
}

/// How many of the problems had a kit, how many had none.
struct Seen {
  int with = 0;
  int without = 0;
};

void check_all(std::uint64_t first, std::uint64_t count, bool whole, Seen& seen) {
  for (std::uint64_t seed = first; seed < first + count; ++seed) {
    INFO("seed " << seed << (whole ? " whole" : ""));
    const KitProblem problem = random_problem(seed, whole);
    const std::vector<Kit> kits = every_kit(problem);
    const std::vector<Kit> within =
        kits_within(problem, kits, std::numeric_limits<std::size_t>::max());
    const Best best = best_of(within);
    const KitAnswer answer = best_kit(problem);
    REQUIRE(answer.plan.has_value() == best.exists());
    CHECK(!answer.undecided);
    if (answer.plan) {
      check_plan(problem, *answer.plan, best, whole);
      ++seen.with;
    } else {
      check_conflicts(problem, kits, kit_conflicts(problem));
      ++seen.without;
    }
  }
}

}  // namespace

TEST_CASE("The best kit is the best of all kits") {
  Seen seen;
  check_all(1, 1200, false, seen);
  CHECK(seen.with > 400);
  CHECK(seen.without > 100);
}

TEST_CASE("Of kits that tie exactly the one with fewest pieces, then least mass, is taken") {
  Seen seen;
  check_all(2001, 1200, true, seen);
  CHECK(seen.with > 400);
  CHECK(seen.without > 100);
}
