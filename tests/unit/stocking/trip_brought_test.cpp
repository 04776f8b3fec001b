// Pieces ordered before the departure that come aboard at a stop, whatever has failed: against the
// Poisson process, whose counts in separate stretches are independent, and against the simulator.

#include <catch2/catch.hpp>
#include <cmath>

#include "shearpin/base/error.hpp"
#include "stocking/trip_chance.hpp"
#include "stocking/trip_simulation.hpp"

using namespace shearpin::stocking;

namespace {

constexpr double kRate = 0.02;

TripDemandInput constant_rate(std::size_t units, bool down = false) {
  TripDemandInput input;
  input.nodes = {{1 / kRate, 1, 1}};
  input.units.resize(units);
  for (UnitState& unit : input.units) {
    unit.exposure_per_day = 1;
    unit.down = down;
  }
  return input;
}

TripPlan parcel_on(double day, long pieces, double days = 50) {
  return {days, {{day, 0, pieces, false}}};
}

SimulatedPart simulated(const TripDemandInput& input, const TripPlan& plan, long stock) {
  SimulatedPart part;
  part.demand = input;
  part.plan = plan;
  part.stock = stock;
  return part;
}

}  // namespace

TEST_CASE("After a stop that only brings pieces the interval before it goes on") {
  const auto intervals = intervals_of({50, {{20, 12, 0}, {30, 0, 2, false}, {40, 40, 1}}});
  REQUIRE(intervals.size() == 4);
  CHECK(intervals[1].from == 12);
  CHECK(intervals[2].from == 12);
  CHECK(intervals[2].receipt == 30);
  CHECK(intervals[2].brought == 2);
  CHECK_FALSE(intervals[2].takes_in_start);
  CHECK(intervals[3].from == 40);
  CHECK(intervals[3].brought == 3);
  const auto first = intervals_of(parcel_on(10, 1));
  CHECK(first[1].from == 0);
  CHECK(first[1].takes_in_start);
  CHECK_THROWS_AS(intervals_of({50, {{20, 12, -1}}}), shearpin::InputError);
}

TEST_CASE("One unit of constant rate and one parcel: the chance in closed form") {
  // No shortage with none aboard and one piece on day 20: nothing fails before, at most one after.
  const auto plan = parcel_on(20, 1);
  const auto input = constant_rate(1);
  const double exact = std::exp(-kRate * 50) * (1 + kRate * 30);
  const auto sampled = sampled_chance(input, plan);
  CHECK(std::fabs(sampled.chance(0) - exact) <= 4 * sampled.standard_error(0) + 1e-4);
  const auto demand = trip_demand(input, plan);
  const double early = 1 - std::exp(-kRate * 20);
  const double twice = 1 - std::exp(-kRate * 50) * (1 + kRate * 50);
  CHECK(demand.chance(0).low == Approx(1 - early - twice).margin(1e-6));
  CHECK(demand.chance(0).high == Approx(1 - std::max(early, twice)).margin(1e-6));
  // Unit-days without, as a bound: until day 20 from the first failure, after it from the second.
  const auto none = [](double t) { return std::exp(-kRate * t); };
  const double before = 20 - (1 - none(20)) / kRate;  // of P(N(t) >= 1)
  const auto second = [&](double t) {                 // integral of P(N >= 2), up to a constant
    return t + none(t) * (2 / kRate + t);
  };
  CHECK(demand.days_without({kUnlimited})[0] - demand.days_without({kUnlimited})[1] ==
        Approx(before + second(50) - second(20)).margin(1e-3));
}

TEST_CASE("What is dead at the start takes the piece aboard, the parcel is the next") {
  const auto plan = parcel_on(20, 1);
  const auto input = constant_rate(1, true);
  const double exact = std::exp(-kRate * 50) * (1 + kRate * 30);
  const auto sampled = sampled_chance(input, plan);
  CHECK(sampled.chance(0) == 0);
  CHECK(std::fabs(sampled.chance(1) - exact) <= 4 * sampled.standard_error(1) + 1e-4);
  const auto range = trip_demand(input, plan).chance(1);
  CHECK(range.low <= exact);
  CHECK(range.high >= exact);
  // None aboard, a long life: dead until the parcel comes.
  TripDemandInput still = constant_rate(1, true);
  still.nodes = {{1e9, 1, 1}};
  CHECK(trip_demand(still, plan).days_without({1})[0] == Approx(20).margin(1e-4));
  CHECK(trip_demand(still, parcel_on(20, 1)).chance(0).high == Approx(0).margin(1e-9));
}

TEST_CASE("Beside orders on the way the simulator says the same, and the bracket holds") {
  TripDemandInput input = constant_rate(2);
  input.nodes = {{40, 1.4, 0.5}, {70, 1.4, 0.5}};
  input.units[0].age = 25;
  const TripPlan plans[] = {{50, {{15, 9}, {25, 0, 1, false}, {35, 35}}},
                            {50, {{15, 9, 1}, {35, 28}}},
                            {50, {{5, 0, 2, false}, {30, 22}}},
                            {50, {{20, 20, 2}}}};
  for (const TripPlan& plan : plans) {
    const auto demand = trip_demand(input, plan);
    const auto sampled = sampled_chance(input, plan);
    for (long n = 0; n <= 3; ++n) {
      INFO("plan " << &plan - plans << ", " << n << " pieces");
      const auto part = simulated(input, plan, n);
      const auto played = simulate_trip({&part, 1}, {30'000, 5, {}}).no_shortage;
      CHECK(std::fabs(played.mean - sampled.chance(n)) <= 4 * played.standard_error + 0.003);
      const auto range = demand.chance(n);
      CHECK(range.low <= sampled.chance(n) + 0.003);
      CHECK(range.high >= sampled.chance(n) - 0.003);
    }
  }
}

TEST_CASE("A parcel that brings nothing changes nothing, and more never hurts") {
  const auto input = constant_rate(2);
  const TripPlan bare{50, {{20, 14}}};
  const TripPlan tail_cutoff{50, {{20, 14}, {30, 0, 0, false}}};
  CHECK(trip_demand(input, tail_cutoff).chance(1).low <= trip_demand(input, bare).chance(1).low);
  CHECK(sampled_chance(input, tail_cutoff).chance(1) == sampled_chance(input, bare).chance(1));
  double before = sampled_chance(input, bare).chance(1);
  for (long pieces = 1; pieces <= 3; ++pieces) {
    const double now = sampled_chance(input, {50, {{20, 14}, {30, 0, pieces, false}}}).chance(1);
    CHECK(now >= before);
    before = now;
  }
}
