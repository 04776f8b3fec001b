#include "stocking/trip_simulation.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "oracles/event_simulation.hpp"
#include "shearpin/base/error.hpp"
#include "stocking/trip_chance.hpp"

using namespace shearpin::stocking;
using shearpin::stats::WeibullNode;

namespace {

SimulatedPart stocked_part(std::vector<WeibullNode> nodes, std::size_t units, TripPlan plan,
                           long stock) {
  SimulatedPart part;
  part.demand.nodes = std::move(nodes);
  part.demand.units.resize(units);
  for (UnitState& unit : part.demand.units) unit.exposure_per_day = 1;
  part.plan = std::move(plan);
  part.stock = stock;
  return part;
}

}  // namespace

TEST_CASE("One unit without a stop stands dead as computed") {
  const SimulatedPart part = stocked_part({{50, 1.5, 0.5}, {80, 2, 0.5}}, 1, {60, {}}, 1);
  const TripSimulation simulated = simulate_trip({&part, 1}, {20000, 7, {}});
  const TripDemand demand = trip_demand(part.demand, part.plan);
  const SimulatedPartResult& result = simulated.parts[0];
  CHECK(std::fabs(result.no_shortage.mean - demand.chance(1).low) <
        4 * result.no_shortage.standard_error);
  CHECK(std::fabs(result.days_without.mean - demand.days_without({1})[1]) <
        4 * result.days_without.standard_error);
  CHECK(simulated.no_shortage.mean == result.no_shortage.mean);
}

TEST_CASE("A position that is down waits for the first stop") {
  SimulatedPart part = stocked_part({{1e6, 1, 1}}, 1, {30, {{12, 4}}}, 0);
  part.demand.units[0].down = true;
  const TripSimulation parcel = simulate_trip({&part, 1}, {10, 1, {}});
  CHECK(parcel.parts[0].days_without.mean == Approx(12));
  CHECK(parcel.parts[0].no_shortage.mean == 0);
  part.stock = 1;
  CHECK(simulate_trip({&part, 1}, {10, 1, {}}).parts[0].no_shortage.mean == 1);
  part.stock = 0;
  part.plan.stops = {{12, 12}};
  CHECK(simulate_trip({&part, 1}, {10, 1, {}}).parts[0].days_without.mean == Approx(12));
}

TEST_CASE("A late parcel is received at the next stop, or never") {
  SimulatedPart part = stocked_part({{1e6, 1, 1}}, 1, {40, {{12, 4}, {20, 9}}}, 0);
  part.demand.units[0].down = true;
  part.lead = [](double) { return 8.0; };
  CHECK(simulate_trip({&part, 1}, {5, 1, {}}).parts[0].days_without.mean == Approx(12));
  part.lead = [](double) { return 8.5; };
  CHECK(simulate_trip({&part, 1}, {5, 1, {}}).parts[0].days_without.mean == Approx(20));
  part.lead = [](double) { return 17.0; };
  CHECK(simulate_trip({&part, 1}, {5, 1, {}}).parts[0].days_without.mean == Approx(40));
}

TEST_CASE("Substitutes serve one way, in their order") {
  const TripPlan plan{30, {}};
  std::vector<SimulatedPart> parts{stocked_part({{1e6, 1, 1}}, 2, plan, 0),
                                   stocked_part({{1e6, 1, 1}}, 0, plan, 1),
                                   stocked_part({{1e6, 1, 1}}, 1, plan, 1)};
  for (UnitState& unit : parts[0].demand.units) unit.down = true;
  parts[2].demand.units[0].due_days = 10;
  parts[0].substitutes = {1, 2};
  TripSimulation simulated = simulate_trip(parts, {5, 1, {}});
  // The dead positions take both substitutes, so the third part is short from day 10.
  CHECK(simulated.parts[0].no_shortage.mean == 1);
  CHECK(simulated.parts[2].days_without.mean == Approx(20));
  CHECK(simulated.no_shortage.mean == 0);
  parts[0].substitutes = {1};
  simulated = simulate_trip(parts, {5, 1, {}});
  CHECK(simulated.parts[0].days_without.mean == Approx(30));
  CHECK(simulated.parts[2].no_shortage.mean == 1);
}

TEST_CASE("A substitute goes in with its own life") {
  // The substitute lives half a day, so the position is dead again at once.
  const TripPlan plan{30, {}};
  std::vector<SimulatedPart> parts{stocked_part({{1e6, 8, 1}}, 1, plan, 0),
                                   stocked_part({{0.5, 8, 1}}, 0, plan, 1)};
  parts[0].demand.units[0].down = true;
  parts[0].substitutes = {1};
  CHECK(simulate_trip(parts, {50, 1, {}}).parts[0].days_without.mean == Approx(29.5).margin(0.1));
}

TEST_CASE("Random lead times cost days against planned ones") {
  SimulatedPart part = stocked_part({{30, 1.5, 1}}, 3, {60, {{20, 10}, {40, 30}}}, 2);
  const double planned = simulate_trip({&part, 1}, {4000, 3, {}}).parts[0].days_without.mean;
  const shearpin::stats::LeadTimePosterior lead =
      shearpin::stats::lead_time_posterior({6, 3, 14}, {}, {});
  part.lead = lead_sampler(lead);
  const double random = simulate_trip({&part, 1}, {4000, 3, {}}).parts[0].days_without.mean;
  CHECK(random > planned);
}

TEST_CASE("A trip with everything on it is played as by other code") {
  const std::vector<WeibullNode> nodes{{30, 1.5, 0.4}, {50, 2, 0.6}};
  const TripPlan plan{60, {{15, 15}, {25, 18, 1, false}, {40, 30}, {52, 41}}};
  std::vector<SimulatedPart> parts{stocked_part(nodes, 4, plan, 1),
                                   stocked_part({{40, 1.2, 1}}, 2, plan, 1)};
  auto& units = parts[0].demand.units;
  units[0].untested = 25;
  units[1].down = true;
  units[2].due_days = 20;
  units[2].renewed_every_days = 30;
  units[3].before = 20;
  units[3].before_days = 12;
  parts[0].demand.extras = {{{2, 80, 1.5}, 1, {}}};
  parts[0].demand.taken = TakenShare{3, 1};
  parts[0].lead = [](double number) { return 4 + 20 * number; };
  parts[0].substitutes = {1};
  parts[1].demand.units[1].pieces = 2;
  const TripSimulation one = simulate_trip(parts, {40'000, 3, {}});
  const TripSimulation other = oracles::simulate_by_events(parts, {40'000, 3, {}});
  const auto agree = [](const SimulatedMean& a, const SimulatedMean& b) {
    CHECK(std::fabs(a.mean - b.mean) < 4 * std::hypot(a.standard_error, b.standard_error));
  };
  agree(one.no_shortage, other.no_shortage);
  for (std::size_t m = 0; m < parts.size(); ++m) {
    CAPTURE(m);
    agree(one.parts[m].no_shortage, other.parts[m].no_shortage);
    agree(one.parts[m].days_without, other.parts[m].days_without);
    agree(one.parts[m].demand, other.parts[m].demand);
  }
}

TEST_CASE("The same seed gives the same trip, and progress ends with all runs") {
  const SimulatedPart part = stocked_part({{30, 1.5, 1}}, 3, {60, {{20, 10}, {40, 30}}}, 2);
  long last = 0;
  long calls = 0;
  const auto told = [&](long done, long runs) {
    CHECK(runs == 500);
    last = done;
    ++calls;
  };
  const TripSimulation one = simulate_trip({&part, 1}, {500, 11, told});
  const TripSimulation two = simulate_trip({&part, 1}, {500, 11, {}});
  CHECK(one.parts[0].days_without.mean == two.parts[0].days_without.mean);
  CHECK(one.parts[0].days_without.mean !=
        simulate_trip({&part, 1}, {500, 12, {}}).parts[0].days_without.mean);
  CHECK(last == 500);
  CHECK(calls == 101);
  CHECK(one.seed == 11);
}

TEST_CASE("Consumption waits piece by piece") {
  SimulatedPart part;
  part.demand.extras = {{{1e6, 1e7, 1.5}, 1, {}}};  // 0.1 events a day, 1.5 pieces each
  part.plan = {40, {}};
  const TripSimulation simulated = simulate_trip({&part, 1}, {20000, 5, {}});
  const SimulatedPartResult& result = simulated.parts[0];
  CHECK(std::fabs(result.demand.mean - 6) < 4 * result.demand.standard_error);
  const double expected = trip_demand(part.demand, part.plan).days_without({kUnlimited})[0];
  CHECK(expected == Approx(0.15 * 1600 / 2).epsilon(1e-4));
  CHECK(std::fabs(result.days_without.mean - expected) < 4 * result.days_without.standard_error);
}

TEST_CASE("A simulation that cannot be played is refused") {
  SimulatedPart part = stocked_part({{30, 1.5, 1}}, 1, {60, {}}, 2);
  CHECK_THROWS_AS(simulate_trip({&part, 1}, {0, 1, {}}), shearpin::InputError);
  part.substitutes = {0};
  CHECK_THROWS_AS(simulate_trip({&part, 1}), shearpin::InputError);
  part.substitutes = {};
  part.stock = -1;
  CHECK_THROWS_AS(simulate_trip({&part, 1}), shearpin::InputError);
  part.stock = 1;
  const std::vector<SimulatedPart> parts{part, stocked_part({{30, 1.5, 1}}, 1, {50, {}}, 2)};
  CHECK_THROWS_AS(simulate_trip(parts), shearpin::InputError);
}

TEST_CASE("A device that takes four pieces is one need in play as well") {
  for (const long stock : {0L, 3L, 4L}) {
    CAPTURE(stock);
    SimulatedPart part = stocked_part({{50, 1.5, 1}}, 2, {60, {{20, 15}}}, stock);
    for (UnitState& unit : part.demand.units) unit.pieces = 4;
    part.demand.units.front().down = true;
    const auto played = simulate_trip({&part, 1}, {20000, 7, {}}).parts[0];
    // The same two devices with sets of one, and a stock of whole sets.
    SimulatedPart single = part;
    for (UnitState& unit : single.demand.units) unit.pieces = 1;
    single.stock = stock / 4;
    const auto alone = simulate_trip({&single, 1}, {20000, 7, {}}).parts[0];
    CHECK(played.days_without.mean == Approx(alone.days_without.mean));
    CHECK(played.no_shortage.mean == Approx(alone.no_shortage.mean));
  }
}
