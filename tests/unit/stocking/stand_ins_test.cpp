// What parts gain by standing in for one another: by hand, against handing out pieces for every
// combination of demands (shared_stock.hpp), against the simulator, and in the kit against every
// kit there is.

#include "stocking/stand_ins.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <limits>

#include "kit_random.hpp"
#include "oracles/event_simulation.hpp"
#include "oracles/shared_stock.hpp"
#include "shearpin/base/error.hpp"
#include "stocking/kit.hpp"
#include "stocking/trip_demand.hpp"
#include "stocking/trip_simulation.hpp"

using namespace shearpin::stocking;
using shearpin::stats::WeibullNode;

namespace {

using Stocks = std::vector<std::vector<long>>;
using Sets = std::vector<std::vector<std::size_t>>;

StandInPart part_of(std::vector<WeibullNode> nodes, std::size_t units, TripPlan plan,
                    std::vector<std::size_t> stand_ins, DayCost cost = {1, 0}) {
  StandInPart part;
  part.demand.nodes = std::move(nodes);
  part.demand.units.resize(units);
  for (UnitState& unit : part.demand.units) unit.exposure_per_day = 1;
  part.plan = std::move(plan);
  part.unit_costs.assign(units, cost);
  part.extra_cost = cost;
  part.stand_ins = std::move(stand_ins);
  return part;
}

void set_ages(StandInPart& part, double age) {
  for (UnitState& unit : part.demand.units) unit.age = age;
}

std::vector<SimulatedPart> simulated(const std::vector<StandInPart>& parts,
                                     const std::vector<long>& stock, bool lend) {
  std::vector<SimulatedPart> all;
  for (std::size_t m = 0; m < parts.size(); ++m) {
    SimulatedPart part;
    part.demand = parts[m].demand;
    part.plan = parts[m].plan;
    part.stock = stock[m];
    if (lend) part.substitutes = parts[m].stand_ins;
    all.push_back(std::move(part));
  }
  return all;
}

}  // namespace

TEST_CASE("Stand-ins by hand: what is dead takes the lender's last piece, which is then missed") {
  const TripPlan plan{30, {}};
  std::vector<StandInPart> parts{part_of({{1e12, 1, 1}}, 2, plan, {1}, {5, 5}),
                                 part_of({{1e12, 1, 1}}, 1, plan, {}, {2, 0})};
  for (UnitState& unit : parts[0].demand.units) unit.down = true;
  parts[1].demand.units[0].due_days = 10;
  const Stocks stocks{{0, 1}, {0, 2}, {0, 3}, {2, 1}, {1, 1}, {0, 0}};
  const Sets sets{{0, 1}, {0}, {1}, {}};
  const auto gains = stand_in_gains(parts, stocks, sets);
  REQUIRE(gains.size() == stocks.size());
  // One of two dead places is served, the lender's own waits from day 10 on: 30 saved, 20 lost.
  CHECK(gains[0].days == Approx(-10));
  CHECK(gains[0].cost == Approx(-30 * 5 + 20 * 2));
  CHECK(gains[0].safety == Approx(-30 * 5));
  CHECK(gains[0].chance == std::vector<double>{0, 0, -1, 0});
  // Both are served, the lender's own is not; with a third piece all are.
  CHECK(gains[1].days == Approx(-60 + 20));
  CHECK(gains[1].chance == std::vector<double>{0, 1, -1, 0});
  CHECK(gains[2].days == Approx(-60));
  CHECK(gains[2].chance == std::vector<double>{1, 1, 0, 0});
  // Enough of its own: nothing is lent. One of its own: one is lent, and missed later.
  CHECK(gains[3].days == 0);
  CHECK(gains[4].days == Approx(-10));
  CHECK(gains[4].chance == std::vector<double>{0, 1, -1, 0});
  CHECK(gains[5].days == 0);
  CHECK(gains[0].chance_error == std::vector<double>{0, 0, 0, 0});
}

TEST_CASE("Nothing is gained where nothing may stand in, whatever happens") {
  const TripPlan plan{60, {{20, 20}, {40, 33}}};
  const std::vector<StandInPart> parts{part_of({{40, 1.5, 1}}, 2, plan, {}),
                                       part_of({{30, 2, 1}}, 1, plan, {})};
  const auto gains = stand_in_gains(parts, Stocks{{0, 0}, {1, 1}}, Sets{{0, 1}});
  for (const auto& gain : gains) {
    CHECK(gain.days == Approx(0).margin(1e-12));  // two sums of the same days
    CHECK(gain.cost == Approx(0).margin(1e-12));
    CHECK(gain.chance == std::vector<double>{0});
  }
}

TEST_CASE("One interval: the chances are those of handing out one stock") {
  // Old units whose successors all but never fail again on the trip, so that it does not matter
  // which part's life a successor has: the exact answer is shared_shortage of the two demands.
  const TripPlan plan{30, {}};
  std::vector<StandInPart> parts{part_of({{200, 4, 0.5}, {240, 4, 0.5}}, 2, plan, {1}),
                                 part_of({{220, 4, 1}}, 2, plan, {})};
  set_ages(parts[0], 190);
  set_ages(parts[1], 200);
  std::vector<Pmf> demands;
  for (const auto& part : parts) {
    demands.push_back(trip_demand(part.demand, part.plan).intervals.front());
  }
  const Stocks stocks{{0, 0}, {0, 1}, {1, 1}, {0, 2}, {1, 2}, {2, 0}, {0, 3}, {0, 4}};
  const auto gains = stand_in_gains(parts, stocks, Sets{{0, 1}, {0}, {1}});
  for (std::size_t i = 0; i < stocks.size(); ++i) {
    INFO("stock " << stocks[i][0] << ", " << stocks[i][1]);
    const double alone =
        chance_at_most(demands[0], stocks[i][0]) * chance_at_most(demands[1], stocks[i][1]);
    const double exact = shared_shortage({.own_demand = demands[1],
                                          .stock = stocks[i][1],
                                          .parts = {{demands[0], stocks[i][0]}}})
                             .chance_of_none;
    // 0.002: renewals that do fail again.
    CHECK(std::fabs(alone + gains[i].chance[0] - exact) <= 4 * gains[i].chance_error[0] + 0.002);
    if (stocks[i][1] > 0 && stocks[i][0] < 2) {
      CHECK(gains[i].chance[0] > 0.01);
    }
    CHECK(gains[i].chance[1] >= 0);
    CHECK(gains[i].chance[2] <= 0);
  }
}

TEST_CASE("With stops, use, repairs and marked ends the simulator says the same") {
  const TripPlan often{50, {{18, 18}, {36, 30}}};
  const TripPlan once{50, {{12, 0, 1, false}, {36, 36}}};  // a parcel waits on day 12
  std::vector<StandInPart> parts{
      part_of({{60, 1.3, 0.6}, {90, 1.3, 0.4}}, 2, often, {1, 2}, {3, 0}),
      part_of({{80, 2, 1}}, 1, once, {0}, {7, 7}), part_of({{150, 1, 1}}, 1, {50, {}}, {}, {1, 0})};
  set_ages(parts[0], 20);
  set_ages(parts[1], 60);
  parts[0].demand.extras.push_back({{2, 100, 1.5}, 1, {}});
  parts[1].demand.taken = TakenShare{3, 1};
  parts[2].demand.units[0].due_days = 25;
  parts[2].demand.units[0].pieces = 2;
  const Stocks stocks{{0, 1, 1}, {1, 0, 2}, {1, 1, 3}, {0, 0, 2}};
  const auto gains = stand_in_gains(parts, stocks, Sets{{0, 1, 2}, {0}, {1}, {2}});
  for (std::size_t i = 0; i < stocks.size(); ++i) {
    INFO("stocks " << i);
    const auto with =
        oracles::simulate_by_events(simulated(parts, stocks[i], true), {40'000, 11, {}});
    const auto without =
        oracles::simulate_by_events(simulated(parts, stocks[i], false), {40'000, 12, {}});
    const auto agree = [](double gain, double error, const SimulatedMean& a,
                          const SimulatedMean& b) {
      INFO("gain " << gain << ", simulated " << a.mean - b.mean);
      CHECK(std::fabs(a.mean - b.mean - gain) <=
            4 * std::sqrt(a.standard_error * a.standard_error +
                          b.standard_error * b.standard_error + error * error));
    };
    agree(gains[i].chance[0], gains[i].chance_error[0], with.no_shortage, without.no_shortage);
    double days = 0, cost = 0, variance = 0;
    for (std::size_t m = 0; m < parts.size(); ++m) {
      agree(gains[i].chance[1 + m], gains[i].chance_error[1 + m], with.parts[m].no_shortage,
            without.parts[m].no_shortage);
      const double change = with.parts[m].days_without.mean - without.parts[m].days_without.mean;
      const double of_part = std::pow(with.parts[m].days_without.standard_error, 2) +
                             std::pow(without.parts[m].days_without.standard_error, 2);
      const double a_day = parts[m].extra_cost.cost;
      days += change;
      cost += a_day * change;
      variance += a_day * a_day * of_part;
    }
    CHECK(std::fabs(cost - gains[i].cost) <=
          4 * std::sqrt(variance + gains[i].cost_error * gains[i].cost_error));
    CHECK(std::fabs(days - gains[i].days) <= 4 * std::sqrt(variance));
  }
}

TEST_CASE("In the kit: a group's best entry is the best of all kits, risk caps by who is at risk") {
  int found = 0, none = 0;
  for (std::uint64_t seed = 1; seed <= 60; ++seed) {
    INFO("seed " << seed);
    kit_random::Dice dice(seed);
    const TripPlan plan{30, {}};
    std::vector<StandInPart> parts{
        part_of({{60 + 60 * dice.unit(), 1.5, 1}}, 2, plan, {1}, {1 + dice.unit() * 9, 0}),
        part_of({{80 + 60 * dice.unit(), 1.5, 1}}, 1, plan, {}, {1 + dice.unit() * 9, 0})};
    Stocks stocks;
    for (long a = 0; a <= 3; ++a) {
      for (long b = 0; b <= 3; ++b) stocks.push_back({a, b});
    }
    const auto gains = stand_in_gains(parts, stocks, Sets{{0, 1}, {1}});
    const std::vector<double> mass{1 + dice.unit(), 2 * dice.unit()};
    const double third = 1 + dice.unit();  // mass of a part by itself
    KitPart group, alone = kit_random::random_part(dice, 1, false);
    alone.safety_days.clear();
    for (std::size_t n = 0; n < alone.use[0].size(); ++n) {
      alone.use[0][n] = third * static_cast<double>(n);
    }
    group.use.resize(1);
    const double most = 0.02 + 0.5 * dice.unit();
    std::vector<double> log_chance;  // of the part at risk
    for (std::size_t e = 0; e < stocks.size(); ++e) {
      double days = gains[e].cost;
      for (std::size_t m = 0; m < parts.size(); ++m) {
        const auto demand = trip_demand(parts[m].demand, plan);
        const auto without = demand.days_without({static_cast<long>(parts[m].unit_costs.size())});
        const auto n = static_cast<std::size_t>(stocks[e][m]);
        days += parts[m].extra_cost.cost * (n < without.size() ? without[n] : 0);
        if (m == 1) {
          log_chance.push_back(
              std::log(std::min(1.0, demand.chance(stocks[e][1]).low + gains[e].chance[1])));
        }
      }
      group.days.push_back(std::max(0.0, days));
      group.pieces_of_entry.push_back(stocks[e][0] + stocks[e][1]);
      group.use[0].push_back(mass[0] * static_cast<double>(stocks[e][0]) +
                             mass[1] * static_cast<double>(stocks[e][1]));
    }
    KitProblem problem;
    problem.parts = {group, alone};
    problem.limits = {6 * dice.unit()};
    kit_random::add_risk_cap(problem, most, {log_chance, {}});
    double best = std::numeric_limits<double>::infinity();
    for (std::size_t e = 0; e < stocks.size(); ++e) {
      for (std::size_t n = alone.least; n < alone.days.size(); ++n) {
        const bool fits = group.use[0][e] + alone.use[0][n] <= problem.limits[0];
        if (fits && -std::expm1(log_chance[e]) <= most) {
          best = std::min(best, group.days[e] + alone.days[n]);
        }
      }
    }
    const auto answer = best_kit(problem);
    REQUIRE(answer.plan.has_value() == std::isfinite(best));
    (answer.plan ? found : none) += 1;
    if (answer.plan) {
      CHECK(answer.plan->totals.days == Approx(best).margin(1e-9));
      CHECK(-std::expm1(-answer.plan->totals.use[1]) <= most);
    }
  }
  CHECK(found > 10);
  CHECK(none > 3);
}

TEST_CASE("Stand-ins refuse what is no group, no stock and no cost") {
  using shearpin::InputError;
  const TripPlan plan{30, {}};
  std::vector<StandInPart> parts{part_of({{60, 1, 1}}, 1, plan, {1}),
                                 part_of({{60, 1, 1}}, 1, plan, {})};
  CHECK_THROWS_AS(stand_in_gains(parts, Stocks{{0}}, Sets{{0}}), InputError);
  CHECK_THROWS_AS(stand_in_gains(parts, Stocks{{0, -1}}, Sets{{0}}), InputError);
  CHECK_THROWS_AS(stand_in_gains(parts, Stocks{{0, 0}}, Sets{{2}}), InputError);
  auto wrong = parts;
  wrong[0].stand_ins = {0};
  CHECK_THROWS_AS(stand_in_gains(wrong, Stocks{{0, 0}}, Sets{{0}}), InputError);
  wrong = parts;
  wrong[0].unit_costs.clear();
  CHECK_THROWS_AS(stand_in_gains(wrong, Stocks{{0, 0}}, Sets{{0}}), InputError);
  wrong = parts;
  wrong[1].plan.days = 31;
  CHECK_THROWS_AS(stand_in_gains(wrong, Stocks{{0, 0}}, Sets{{0}}), InputError);
  wrong = parts;
  wrong[1].extra_cost = {1, 2};
  CHECK_THROWS_AS(stand_in_gains(wrong, Stocks{{0, 0}}, Sets{{0}}), InputError);
}
