/// The trip's formulas against the simulator, which plays every unit through event by event. Every
/// parcel takes the time it was planned to take.

#include <catch2/catch.hpp>
#include <cmath>

#include "stocking/trip_chance.hpp"
#include "stocking/trip_simulation.hpp"

using namespace shearpin::stocking;
using shearpin::stats::WeibullNode;

namespace {

constexpr long kRuns = 200'000;

UnitState aged(double age, double per_day = 1) {
  UnitState unit;
  unit.age = age;
  unit.exposure_per_day = per_day;
  return unit;
}

/// The bounds hold, the sampled chance agrees within 0.003, and days without are never below the
/// simulated ones, all but for the simulation's own error.
void check_trip(const TripDemandInput& input, const TripPlan& plan, long most, long standing) {
  const TripDemand demand = trip_demand(input, plan);
  const SampledChance sampled = sampled_chance(input, plan);
  const DaysWithout days = demand.days_without({standing});
  for (long n = 0; n <= most; ++n) {
    const SimulatedPart part{input, plan, n, {}, {}};
    const SimulatedPartResult found =
        simulate_trip({&part, 1}, {kRuns, 100 + static_cast<std::uint64_t>(n), {}}).parts[0];
    const double error = 4 * found.no_shortage.standard_error + 2e-5;
    CAPTURE(n, found.no_shortage.mean, demand.chance(n).low, demand.chance(n).high);
    CHECK(found.no_shortage.mean > demand.chance(n).low - error);
    CHECK(found.no_shortage.mean < demand.chance(n).high + error);
    CHECK(std::fabs(found.no_shortage.mean - sampled.chance(n)) < 0.003 + error);
    const double expected =
        n < static_cast<long>(days.size()) ? days[static_cast<std::size_t>(n)] : 0;
    CAPTURE(expected, found.days_without.mean, found.days_without.standard_error);
    CHECK(expected > found.days_without.mean - 4 * found.days_without.standard_error - 1e-4);
    if (plan.stops.empty() && standing == 1) {
      CHECK(expected < found.days_without.mean + 4 * found.days_without.standard_error + 1e-3);
    }
  }
}

TripDemandInput input_of(const std::vector<UnitState>& units) {
  TripDemandInput input;
  input.nodes = {{30, 1.1, 0.2}, {60, 1.8, 0.3}, {90, 2.5, 0.3}, {200, 1.5, 0.2}};
  for (const UnitState& unit : units) input.units.push_back(unit);
  return input;
}

}  // namespace

TEST_CASE("One unit and one interval agree with the simulation") {
  check_trip(input_of({aged(20)}), {60, {}}, 3, 1);
}

TEST_CASE("Several units and stops stay on the safe side of the simulation") {
  const TripPlan plan{90, {{20, 14}, {41, 20}, {60, 60}, {80, 71}}};
  check_trip(input_of({aged(0), aged(20), aged(55)}), plan, 5, 3);
}

TEST_CASE("Parcels under way past several stops stay on the safe side") {
  TripPlan plan{40, {}};
  for (int day = 2; day < 40; day += 3) {
    plan.stops.push_back({static_cast<double>(day), std::max(0.0, day - 11.0)});
  }
  check_trip(input_of({aged(0), aged(30, 2)}), plan, 5, 2);
}

TEST_CASE("Dead, hidden, dated and renewed units on legs stay on the safe side") {
  UnitState down = aged(10);
  down.down = true;
  UnitState hidden = aged(15);
  hidden.untested = 40;
  UnitState due = aged(30);
  due.due_days = 25;
  UnitState renewed = aged(5);
  renewed.due_days = 12;
  renewed.renewed_every_days = 22;
  UnitState cells = aged(12);
  cells.pieces = 2;
  UnitState before = aged(5);
  before.before = 35;
  before.before_days = 20;
  TripDemandInput input = input_of({down, hidden, due, renewed, cells, before});
  for (UnitState& unit : input.units) unit.legs = {{15, 2}, {30, 0}, {70, 1}};
  check_trip(input, {70, {{10, 0}, {35, 28}, {55, 55}}}, 9, 7);
}

TEST_CASE("Consumption and a share of repairs stay on the safe side") {
  TripDemandInput input = input_of({aged(20), aged(0)});
  input.taken = TakenShare{2, 1};
  input.extras = {{{3, 150, 1.4}, 1, {}}};
  check_trip(input, {60, {{15, 15}, {35, 25}}}, 6, kUnlimited);
}

TEST_CASE("Planned lead times drawn from a certain supplier change nothing") {
  SimulatedPart part{input_of({aged(20), aged(0)}), {60, {{20, 12}, {40, 32}}}, 2, {}, {}};
  const TripSimulation planned = simulate_trip({&part, 1}, {20'000, 5, {}});
  part.lead = [](double) { return 8.0; };
  const TripSimulation certain = simulate_trip({&part, 1}, {20'000, 5, {}});
  CHECK(std::fabs(planned.no_shortage.mean - certain.no_shortage.mean) <
        6 * planned.no_shortage.standard_error);
}
