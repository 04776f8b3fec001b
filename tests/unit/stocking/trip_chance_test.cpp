#include "stocking/trip_chance.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "shearpin/base/error.hpp"

using namespace shearpin::stocking;
using shearpin::stats::WeibullNode;

namespace {

TripDemandInput constant_rate(std::vector<WeibullNode> nodes, std::size_t units) {
  TripDemandInput input;
  input.nodes = std::move(nodes);
  input.units.resize(units);
  for (UnitState& unit : input.units) unit.exposure_per_day = 1;
  return input;
}

}  // namespace

TEST_CASE("With constant rates and no overlap the chance is a product within each node") {
  const std::vector<WeibullNode> nodes{{30, 1, 0.3}, {120, 1, 0.7}};
  const TripDemandInput input = constant_rate(nodes, 2);
  const TripPlan plan{60, {{20, 20}, {35, 35}}};
  const SampledChance sampled = sampled_chance(input, plan);
  const TripDemand demand = trip_demand(input, plan);
  for (long n = 0; n < 6; ++n) {
    double exact = 0;
    for (const WeibullNode& node : nodes) {
      double product = node.weight;
      for (const double days : {20.0, 15.0, 25.0}) {
        product *= chance_at_most(poisson_pmf(2 * days / node.scale), n);
      }
      exact += product;
    }
    CAPTURE(n, exact, sampled.standard_error(n));
    CHECK(std::fabs(sampled.chance(n) - exact) < 0.003);
    CHECK(std::fabs(sampled.chance(n) - exact) < 5 * sampled.standard_error(n) + 1e-4);
    // No worse than plain random sampling.
    CHECK(sampled.standard_error(n) < 1.1 * std::sqrt(exact * (1 - exact) / 65536) + 1e-5);
    CHECK(demand.chance(n).low <= exact + 1e-7);
    CHECK(demand.chance(n).high >= exact - 1e-7);
  }
  CHECK(sampled.chance(-1) == 0);
  CHECK(sampled.chance(1000) == 1);
}

TEST_CASE("One interval is sampled as it is computed") {
  TripDemandInput input = constant_rate({{50, 0.8, 0.2}, {70, 1.5, 0.5}, {90, 3, 0.3}}, 6);
  input.units[0].age = 40;
  input.units[1].down = true;
  input.units[2].untested = 30;
  input.units[3].due_days = 20;
  input.units[3].renewed_every_days = 12;
  input.units[4].before = 50;
  input.units[5].legs = {{10, 4}, {60, 0}};
  input.units[5].pieces = 2;
  const std::vector<WeibullNode> other{{30, 2, 1}};
  input.units[0].first_life = other;
  input.extras = {{{2.5, 60, 1.5}, 1, {}}};
  input.taken = TakenShare{3, 1};
  const TripPlan plan{60, {}};
  const TripDemand demand = trip_demand(input, plan);
  const SampledChance sampled = sampled_chance(input, plan);
  for (long n = 0; n < 20; ++n) {
    CAPTURE(n, sampled.chance(n), demand.chance(n).low);
    CHECK(std::fabs(sampled.chance(n) - demand.chance(n).low) < 0.003);
  }
}

TEST_CASE("A level is settled by its bounds or by the sample") {
  const TripDemandInput input = constant_rate({{60, 1, 1}}, 2);
  SECTION("one interval") {
    const TripPlan plan{60, {}};
    const TripLevel level = trip_level(trip_demand(input, plan), input, plan, 0.95);
    CHECK(level.n == smallest_covering(poisson_pmf(2), 0.95));
    CHECK_FALSE(level.sampled);
    CHECK(level.error < 1e-12);
    CHECK(level.chance == Approx(chance_at_most(poisson_pmf(2), level.n)).epsilon(1e-6));
  }
  SECTION("several intervals") {
    const TripPlan plan{60, {{20, 20}, {40, 40}}};
    const TripDemand demand = trip_demand(input, plan);
    const Pmf third = poisson_pmf(2 / 3.0);
    bool once_sampled = false;
    for (const double target : {0.5, 0.7, 0.9, 0.97, 0.99, 0.995}) {
      const TripLevel level = trip_level(demand, input, plan, target);
      long expected = 0;
      while (std::pow(chance_at_most(third, expected), 3) < target) ++expected;
      CAPTURE(target);
      CHECK(level.n == expected);
      const double exact = std::pow(chance_at_most(third, expected), 3);
      CHECK(std::fabs(level.chance - exact) <= (level.sampled ? 0.003 : level.error + 1e-7));
      CHECK(level.bounds.low <= level.chance);
      CHECK(level.bounds.high >= level.chance);
      once_sampled = once_sampled || level.sampled;
    }
    CHECK(once_sampled);
    CHECK_THROWS_AS(trip_level(demand, input, plan, 1.0), shearpin::InputError);
  }
}

TEST_CASE("The same histories are drawn every time") {
  const TripDemandInput input = constant_rate({{40, 1.4, 1}}, 3);
  const TripPlan plan{60, {{20, 12}, {40, 31}}};
  const SampledChance one = sampled_chance(input, plan);
  const SampledChance two = sampled_chance(input, plan);
  CHECK(one.chances == two.chances);
  CHECK(one.standard_errors == two.standard_errors);
}
