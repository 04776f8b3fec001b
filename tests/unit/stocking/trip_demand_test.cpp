/// Trips against FittedDemand (tested on its own against grids, simulation and the Laplace
/// transform), closed forms of the Poisson process, and a slow grid.

#include "stocking/trip_demand.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "shearpin/base/error.hpp"
#include "slow_count.hpp"
#include "stocking/fitted_demand.hpp"
#include "stocking/stretch_demand.hpp"

using namespace shearpin::stocking;
using shearpin::stats::WeibullNode;

namespace {

/// A posterior in small: shapes and scales about a life of `scale`, known to have lasted `age`.
std::vector<WeibullNode> nodes_about(double scale, double shape, double age = 0) {
  std::vector<WeibullNode> nodes;
  double total = 0;
  for (int i = -3; i <= 3; ++i) {
    for (int j = -8; j <= 8; ++j) {
      const double x = i / 1.5;
      const double y = j / 3.0;
      WeibullNode node{scale * std::exp(0.5 * y), shape * std::exp(0.3 * x), 0};
      node.weight = std::exp(-(x * x + y * y) / 2 - std::pow(age / node.scale, node.shape));
      nodes.push_back(node);
      total += nodes.back().weight;
    }
  }
  for (WeibullNode& node : nodes) node.weight /= total;
  return nodes;
}

UnitState aged(double age) {
  UnitState unit;
  unit.age = age;
  unit.exposure_per_day = 1;
  return unit;
}

TripDemandInput input_of(std::vector<WeibullNode> nodes, const std::vector<UnitState>& units) {
  TripDemandInput input;
  input.nodes = std::move(nodes);
  for (const UnitState& unit : units) input.units.push_back(unit);
  return input;
}

/// Largest difference of any P(D <= n).
double apart(const Pmf& a, const Pmf& b) {
  double difference = 0;
  double largest = 0;
  for (std::size_t n = 0; n < std::max(a.size(), b.size()); ++n) {
    difference += (n < a.size() ? a[n] : 0) - (n < b.size() ? b[n] : 0);
    largest = std::max(largest, std::fabs(difference));
  }
  return largest;
}

double apart_days(const DaysWithout& a, const DaysWithout& b) {
  double largest = 0;
  for (std::size_t n = 0; n < std::max(a.size(), b.size()); ++n) {
    largest = std::max(largest, std::fabs((n < a.size() ? a[n] : 0) - (n < b.size() ? b[n] : 0)));
  }
  return largest;
}

DemandByDays by_days(const FittedDemand& demand) {
  return [&demand](std::span<const double> days) { return demand.distributions(days); };
}

/// By the midpoint rule in steps of a twentieth of a day: jumps fall between steps.
DaysWithout midpoint(const FittedDemand& demand, double days, long standing) {
  const int steps = static_cast<int>(20 * days);
  std::vector<double> at;
  for (int i = 0; i < steps; ++i) at.push_back((i + 0.5) / 20);
  DaysWithout total(60, 0.0);
  for (const Pmf& pmf : demand.distributions(at)) {
    for (std::size_t n = 0; n < total.size(); ++n) {
      for (long j = 0; j < standing; ++j) {
        total[n] += chance_above(pmf, static_cast<long>(n) + j) / 20;
      }
    }
  }
  return total;
}

void check_single(const TripDemandInput& input, double days, std::span<const double> breaks,
                  double tolerance) {
  std::vector<UnitState> units;
  bool renews = false;
  for (const UnitState& unit : input.units) {
    units.push_back(unit);
    renews = renews || unit.renewed_every_days < days;
  }
  const FittedDemand fitted(input.nodes, units, days);
  const TripDemand trip = trip_demand_by_sums(input, {days, {}});
  REQUIRE(trip.intervals.size() == 1);
  const Pmf pmf = fitted.distribution(days);
  CHECK(apart(trip.intervals[0], pmf) < tolerance);
  const DaysWithout expected =
      renews ? midpoint(fitted, days, 2) : days_without_stretch(by_days(fitted), days, {2}, breaks);
  CHECK(apart_days(trip.days_without({2}), expected) < 1e-5 * days);
  for (long n = 0; n < 4; ++n) {
    CHECK(trip.chance(n).low == Approx(trip.chance(n).high).margin(1e-12));
    CHECK(std::fabs(trip.chance(n).low - chance_at_most(pmf, n)) < tolerance);
  }
}

}  // namespace

TEST_CASE("A trip without a stop is a plain stretch") {
  for (const double shape : {0.8, 1.0, 1.5, 2.5, 4.0}) {
    for (const double lives : {0.05, 0.5, 2.0, 6.0}) {
      CAPTURE(shape, lives);
      const double scale = 90 / lives;
      check_single(
          input_of(nodes_about(scale, shape, scale), {aged(0), aged(0.4 * scale), aged(scale)}), 90,
          {}, 1e-6);
    }
  }
}

TEST_CASE("Dead, untested, dated and foreign units start a trip as they start a stretch") {
  const std::vector<WeibullNode> nodes = nodes_about(120, 1.6);
  const std::vector<WeibullNode> other = nodes_about(60, 2.2);
  UnitState down = aged(30);
  down.down = true;
  UnitState hidden = aged(20);
  hidden.untested = 45;
  UnitState due = aged(10);
  due.due_days = 33;
  UnitState due_now = aged(10);
  due_now.due_days = -2;
  UnitState foreign = aged(25);
  foreign.first_life = other;
  UnitState cells = aged(40);
  cells.pieces = 4;
  UnitState renewed = aged(15);
  renewed.due_days = 20;
  renewed.renewed_every_days = 25;
  UnitState still = aged(15);
  still.exposure_per_day = 0;
  still.due_days = 50;
  UnitState hidden_foreign = foreign;
  hidden_foreign.untested = 30;
  for (const UnitState& unit :
       {down, hidden, due, due_now, foreign, cells, still, hidden_foreign}) {
    check_single(input_of(nodes, {unit}), 80, std::vector<double>{33, 50}, 1e-6);
  }
  const std::vector<WeibullNode> two{{90, 1.4, 0.4}, {150, 2.1, 0.6}};
  check_single(input_of(two, {renewed}), 80, {}, 1e-6);
  check_single(input_of(two, {down, hidden, due, foreign, cells, renewed, still}), 80, {}, 2e-6);
}

TEST_CASE("A trip that starts later finds units carried forward") {
  const std::vector<WeibullNode> nodes = nodes_about(100, 1.5);
  UnitState later = aged(20);
  later.before = 60;
  UnitState renewed = aged(30);
  renewed.before = 40;
  renewed.before_days = 20;
  renewed.due_days = -5;
  renewed.renewed_every_days = 30;
  check_single(input_of(nodes, {later}), 50, {}, 1e-6);
  check_single(input_of({{70, 1.4, 0.4}, {130, 2.1, 0.6}}, {renewed}), 50, {}, 1e-6);
}

TEST_CASE("Each interval sees the units that are there at its start") {
  const TripPlan plan{90, {{0, 0}, {20, 20}, {41.5, 30}, {60, 33.25}, {90, 70}}};
  for (const double shape : {1.1, 1.6}) {
    for (const double lives : {0.2, 1.0, 4.0}) {
      CAPTURE(shape, lives);
      const double scale = 90 / lives;
      const std::vector<WeibullNode> nodes = nodes_about(scale, shape, 0.7 * scale);
      const std::vector<UnitState> units{aged(0), aged(0.7 * scale), aged(0.7 * scale)};
      const TripDemand trip = trip_demand(input_of(nodes, units), plan);
      const std::vector<TripInterval> intervals = intervals_of(plan);
      for (std::size_t k = 1; k < intervals.size(); ++k) {
        std::vector<UnitState> carried = units;
        for (UnitState& unit : carried) unit.before = intervals[k].from;
        const FittedDemand fitted(nodes, carried, 90);
        CHECK(apart(trip.intervals[k], fitted.distribution(intervals[k].to - intervals[k].from)) <
              2e-6);
      }
    }
  }
}

TEST_CASE("Planned renewals go on through later intervals") {
  const std::vector<WeibullNode> nodes = nodes_about(80, 2);
  UnitState unit = aged(12);
  unit.due_days = 17;
  unit.renewed_every_days = 24;
  const TripPlan plan{90, {{30, 26}, {60, 50}}};
  const TripDemand trip = trip_demand(input_of(nodes, {unit}), plan);
  const std::vector<TripInterval> intervals = intervals_of(plan);
  for (std::size_t k = 1; k < intervals.size(); ++k) {
    UnitState carried = unit;
    carried.before = intervals[k].from;
    carried.before_days = intervals[k].from;
    carried.due_days = unit.due_days - intervals[k].from;
    const FittedDemand fitted(nodes, {&carried, 1}, 90);
    CHECK(apart(trip.intervals[k], fitted.distribution(intervals[k].to - intervals[k].from)) <
          2e-5);
  }
  // The same on a slow grid, for one life, from the departure.
  const std::vector<WeibullNode> one{{70, 1.7, 1}};
  unit.due_days = 18;
  const TripDemand alone = trip_demand(input_of(one, {unit}), {90, {}});
  CHECK(apart(alone.intervals[0], slow::on_a_grid(one, {&unit, 1}, 90, 300)) < 5e-6);
}

TEST_CASE("With constant rates each interval is Poisson and days without have closed forms") {
  const std::vector<WeibullNode> one{{50, 1, 1}};
  const TripPlan plan{60, {{20, 12}, {35, 35}}};
  const TripDemand trip = trip_demand(input_of(one, {aged(7), aged(0)}), plan);
  const double rate = 2 / 50.0;
  CHECK(apart(trip.intervals[0], poisson_pmf(20 * rate)) < 1e-6);
  CHECK(apart(trip.intervals[1], poisson_pmf(23 * rate)) < 1e-6);
  CHECK(apart(trip.intervals[2], poisson_pmf(25 * rate)) < 1e-6);
  // n = 0, one unit may stand dead: integral of 1 - exp(-rate (t - c)) over (d, e].
  const auto dead = [rate](double c, double d, double e) {
    return (e - d) - (std::exp(-rate * (d - c)) - std::exp(-rate * (e - c))) / rate;
  };
  const double expected = dead(0, 0, 20) + dead(12, 20, 35) + dead(35, 35, 60);
  CHECK(std::fabs(trip.days_without({1})[0] - expected) < 1e-5 * 60);
  // Unlimited: integral of rate (t - c).
  const double all = rate / 2 * (20 * 20 + 23 * 23 - 8 * 8 + 25 * 25);
  CHECK(std::fabs(trip.days_without({kUnlimited})[0] - all) < 1e-5 * 60);
  CHECK(trip.days_without({0}) == DaysWithout{0.0});
  CHECK_THROWS_AS(trip.days_without({-1}), shearpin::InputError);
  // Bounds of the one node.
  const double first = chance_above(poisson_pmf(20 * rate), 2);
  const double second = chance_above(poisson_pmf(23 * rate), 2);
  const double third = chance_above(poisson_pmf(25 * rate), 2);
  CHECK(std::fabs(trip.chance(2).low - (1 - first - second - third)) < 1e-6);
  CHECK(std::fabs(trip.chance(2).high - (1 - third)) < 1e-6);
}

TEST_CASE("Bounds are taken within each node and then mixed") {
  const std::vector<WeibullNode> both{{15, 1, 0.4}, {200, 1, 0.6}};
  const TripPlan plan{60, {{30, 30}}};
  const TripDemand mixed = trip_demand(input_of(both, {aged(0)}), plan);
  for (long n = 0; n < 6; ++n) {
    double low = 0;
    double high = 0;
    for (const WeibullNode& node : both) {
      const Pmf half = poisson_pmf(30 / node.scale);
      low += node.weight * std::max(0.0, 1 - 2 * chance_above(half, n));
      high += node.weight * chance_at_most(half, n);
    }
    CHECK(std::fabs(mixed.chance(n).low - low) < 1e-6);
    CHECK(std::fabs(mixed.chance(n).high - high) < 1e-6);
  }
  CHECK(mixed.chance(-1).high == 0);
  CHECK(mixed.chance(100000).low == Approx(1).margin(kTail));
  CHECK(mixed.possibly_enough(0.95) <= mixed.surely_enough(0.95));
  CHECK_THROWS_AS(mixed.surely_enough(1), shearpin::InputError);
}

TEST_CASE("Exposure by leg is a change of time") {
  const std::vector<WeibullNode> nodes = nodes_about(100, 2);
  TripDemandInput legs = input_of(nodes, {aged(30), aged(0)});
  for (UnitState& unit : legs.units) unit.legs = {{10, 3}, {25, 0}, {45, 0.5}, {60, 2}};
  // Exposure 30 after 10 days, 40 after 45, 70 after 60; the stops below at 24, 30 and 50.
  const TripDemand by_leg = trip_demand(legs, {60, {{8, 8}, {20, 15}, {50, 50}}});
  const TripDemand even =
      trip_demand(input_of(nodes, {aged(30), aged(0)}), {70, {{24, 24}, {30, 30}, {50, 50}}});
  REQUIRE(by_leg.intervals.size() == even.intervals.size());
  for (std::size_t k = 0; k < 4; ++k) {
    CAPTURE(k);
    CHECK(apart(by_leg.intervals[k], even.intervals[k]) < 1e-6);
  }
  for (long n = 0; n < 4; ++n) {
    CHECK(std::fabs(by_leg.chance(n).low - even.chance(n).low) < 1e-6);
  }
}

TEST_CASE("Uneven legs without a stop count as the sums count them") {
  const std::vector<WeibullNode> nodes = nodes_about(50, 1.7);
  const std::vector<WeibullNode> other = nodes_about(40, 2.2);
  std::vector<UnitState> units(6, aged(12));
  units[1].untested = 20;
  units[2].due_days = 22;
  units[3].down = true;
  units[4].first_life = other;
  units[5].pieces = 3;
  for (UnitState& unit : units) unit.legs = {{10, 3}, {25, 0}, {45, 0.5}, {60, 2}};
  units[5].legs = {{60, 1}};
  TripDemandInput input = input_of(nodes, units);
  input.extras.push_back({{2, 100, 1.5}, 1, {{20, 0}, {60, 2}}});
  const TripDemand whole = trip_demand(input, {60, {}});
  const TripDemand sums = trip_demand_by_sums(input, {60, {}});
  CHECK(apart(whole.intervals[0], sums.intervals[0]) < 2e-6);
  CHECK(apart_days(whole.days_short, sums.days_short) < 3e-5 * 60);
  std::vector<double> middles;
  for (int i = 0; i < 1200; ++i) middles.push_back((i + 0.5) / 20);
  DaysWithout by_middles(whole.days_short.size(), 0.0);
  for (const Pmf& pmf : StretchDemand(input, 60).distributions(middles)) {
    for (std::size_t m = 0; m < by_middles.size(); ++m) {
      by_middles[m] += chance_above(pmf, static_cast<long>(m)) / 20;
    }
  }
  CHECK(apart_days(whole.days_short, by_middles) < 1e-5 * 60);
  for (long n = 0; n < 9; ++n) {
    CHECK(std::fabs(whole.chance(n).low - sums.chance(n).high) < 2e-6);
  }
}

TEST_CASE("Two positions with different legs add up") {
  const std::vector<WeibullNode> one{{40, 1, 1}};
  TripDemandInput input = input_of(one, {aged(0), aged(5), aged(9)});
  input.units[0].legs = {{30, 2}, {60, 0}};
  input.units[1].legs = {{15, 0}, {60, 1}};
  input.units[2].exposure_per_day = 0;
  const TripDemand trip = trip_demand(input, {60, {{40, 20}}});
  CHECK(apart(trip.intervals[0], poisson_pmf((60 + 25) / 40.0)) < 1e-6);
  CHECK(apart(trip.intervals[1], poisson_pmf((20 + 40) / 40.0)) < 1e-6);
}

TEST_CASE("A position down at the start is demand of the first interval alone") {
  UnitState down = aged(0);
  down.down = true;
  down.exposure_per_day = 0;
  const std::vector<WeibullNode> one{{40, 1.5, 1}};
  const TripDemand trip = trip_demand(input_of(one, {down}), {30, {{0, 0}, {10, 0}}});
  CHECK(trip.intervals[0] == Pmf{0, 1});
  CHECK(trip.intervals[1] == Pmf{1});
  CHECK(trip.intervals[2] == Pmf{1});
  CHECK(trip.chance(0).high == 0);
  CHECK(trip.chance(1).low == 1);
  const TripDemand nowhere = trip_demand(input_of(one, {down}), {30, {}});
  CHECK(nowhere.days_without({1})[0] == Approx(30));
}

TEST_CASE("A trip of no days asks for what is dead at the start") {
  UnitState hidden = aged(10);
  hidden.untested = 20;
  const std::vector<WeibullNode> one{{40, 1.5, 1}};
  for (const TripPlan& plan : {TripPlan{0, {}}, TripPlan{0, {{0, 0}}}}) {
    const TripDemand trip = trip_demand(input_of(one, {hidden, aged(3)}), plan);
    const double alive = std::exp(std::pow(0.25, 1.5) - std::pow(0.75, 1.5));
    CHECK(trip.intervals[0][0] == Approx(alive).epsilon(1e-12));
    CHECK(trip.days_without({2}) == DaysWithout{0.0});
    CHECK(trip.chance(0).low == Approx(alive).epsilon(1e-12));
  }
}

TEST_CASE("Nothing fitted and nothing taken is no demand") {
  const TripDemand trip = trip_demand({}, {30, {{10, 5}}});
  CHECK(trip.intervals[0] == Pmf{1});
  CHECK(trip.chance(0).low == 1);
  CHECK(trip.days_without({kUnlimited}) == DaysWithout{0.0});
  CHECK(trip.surely_enough(0.99) == 0);
}

TEST_CASE("A stop every day with a long way for parcels") {
  const std::vector<WeibullNode> nodes = nodes_about(60, 1.7, 50);
  TripPlan plan{40, {}};
  for (int day = 1; day < 40; ++day) {
    plan.stops.push_back({static_cast<double>(day), std::max(0.0, day - 7.0)});
  }
  const std::vector<UnitState> units{aged(15), aged(50)};
  const TripDemand trip = trip_demand(input_of(nodes, units), plan);
  REQUIRE(trip.intervals.size() == 40);
  for (const std::size_t k : {5U, 20U, 39U}) {
    const double from = std::max(0.0, static_cast<double>(k) - 7);
    std::vector<UnitState> carried = units;
    for (UnitState& unit : carried) unit.before = from;
    const FittedDemand fitted(nodes, carried, 40);
    CHECK(apart(trip.intervals[k], fitted.distribution(static_cast<double>(k) + 1 - from)) < 2e-6);
  }
  // No stop at all is worse, a stop whose parcels take no time is better.
  const TripDemand without = trip_demand(input_of(nodes, units), {40, {}});
  CHECK(trip.days_without({2})[1] < without.days_without({2})[1]);
  CHECK(trip.chance(1).high > without.chance(1).high);
}

TEST_CASE("Days without over several intervals agree with a fine midpoint rule") {
  const std::vector<WeibullNode> nodes{{60, 1.6, 0.7}, {110, 2.3, 0.3}};
  const std::vector<UnitState> units{aged(0), aged(60)};
  const TripPlan plan{80, {{25, 10}, {50, 50}}};
  const TripDemand trip = trip_demand(input_of(nodes, units), plan);
  DaysWithout expected(8, 0.0);
  for (const TripInterval& interval : intervals_of(plan)) {
    std::vector<UnitState> carried = units;
    for (UnitState& unit : carried) unit.before = interval.from;
    const FittedDemand fitted(nodes, carried, 80);
    constexpr int kSteps = 200;
    const double step = (interval.to - interval.receipt) / kSteps;
    std::vector<double> at;
    for (int i = 0; i < kSteps; ++i) {
      at.push_back(interval.receipt - interval.from + (i + 0.5) * step);
    }
    for (const Pmf& pmf : fitted.distributions(at)) {
      for (long n = 0; n < 8; ++n) {
        for (long j = 0; j < 2; ++j) {
          expected[static_cast<std::size_t>(n)] += step * chance_above(pmf, n + j);
        }
      }
    }
  }
  CHECK(apart_days(trip.days_without({2}), expected) < 1e-5 * 80);
}

TEST_CASE("What else takes the part is added within each interval") {
  TripDemandInput input = input_of({{40, 1, 1}}, {aged(0)});
  input.extras = {{{2.5, 60, 1.5}, 1, {}}, {{1.5, 100, 1}, 0, {{20, 2}, {50, 0}}}};
  const TripPlan plan{50, {{30, 10}}};
  const TripDemand trip = trip_demand(input, plan);
  const auto expected = [&](double units, double first, double second) {
    return convolve(poisson_pmf(units / 40),
                    convolve(consumption_demand(input.extras[0].rate, first),
                             consumption_demand(input.extras[1].rate, second)));
  };
  CHECK(apart(trip.intervals[0], expected(30, 30, 40)) < 1e-6);
  CHECK(apart(trip.intervals[1], expected(40, 40, 20)) < 1e-6);
  input.units.clear();
  const TripDemand alone = trip_demand(input, plan);
  CHECK(apart(alone.intervals[1], convolve(consumption_demand(input.extras[0].rate, 40),
                                           consumption_demand(input.extras[1].rate, 20))) < 1e-9);
}

TEST_CASE("Only a share of the failures takes a piece") {
  // Beta(1, 1) thinning of n failures is uniform on 0..n.
  UnitState down = aged(0);
  down.down = true;
  down.exposure_per_day = 0;
  down.pieces = 3;
  TripDemandInput input = input_of({{40, 1, 1}}, {down});
  input.taken = TakenShare{1, 1};
  const TripDemand trip = trip_demand(input, {30, {}});
  REQUIRE(trip.intervals[0].size() == 4);
  for (const double chance : trip.intervals[0]) CHECK(chance == Approx(0.25));
}

TEST_CASE("Very many lives on a trip are counted as a settled process") {
  const std::vector<WeibullNode> one{{0.5, 1, 1}};
  const TripPlan plan{90, {{30, 30}, {60, 55}, {61, 60}}};
  const TripDemand trip = trip_demand(input_of(one, {aged(0.2)}), plan);
  const std::vector<TripInterval> intervals = intervals_of(plan);
  for (std::size_t k = 0; k < intervals.size(); ++k) {
    CHECK(apart(trip.intervals[k], poisson_pmf(2 * (intervals[k].to - intervals[k].from))) < 1e-3);
  }
  CHECK_THROWS_AS(trip_demand(input_of({{1e-4, 1, 1}}, {aged(0)}), plan), shearpin::NumericError);
}

TEST_CASE("The order of the units does not matter, and the same input gives the same bytes") {
  const std::vector<WeibullNode> nodes = nodes_about(60, 1.8);
  const TripPlan plan{50, {{20, 10}}};
  const TripDemand one = trip_demand(input_of(nodes, {aged(30), aged(1), aged(30)}), plan);
  const TripDemand other = trip_demand(input_of(nodes, {aged(1), aged(30), aged(30)}), plan);
  CHECK(one.intervals == other.intervals);
  CHECK(one.shortage_high == other.shortage_high);
  CHECK(one.days_short == other.days_short);
}

TEST_CASE("Three hundred positions on one trip") {
  const std::vector<WeibullNode> nodes = nodes_about(400, 1.8);
  const std::vector<UnitState> units(300, aged(30));
  const TripDemand trip = trip_demand(input_of(nodes, units), {50, {{20, 10}}});
  const FittedDemand fitted(nodes, units, 50);
  CHECK(apart(trip.intervals[0], fitted.distribution(20)) < 1e-6);
}

TEST_CASE("Sharp and blunt lives are counted") {
  // Shape 200: a unit lasts its scale almost to the day.
  const TripPlan plan{90, {{35, 30}}};
  const TripDemand sharp = trip_demand(input_of({{1000, 200, 1}}, {aged(950)}), plan);
  const auto hazard = [](double age) { return std::pow(age / 1000, 200); };
  CHECK(sharp.intervals[0][0] == Approx(std::exp(hazard(950) - hazard(985))).epsilon(1e-9));
  CHECK(sharp.intervals[1][1] == Approx(std::exp(hazard(950) - hazard(980))).epsilon(1e-9));
  const std::vector<WeibullNode> blunt{{300, 0.1, 1}};
  const UnitState unit = aged(20);
  const TripDemand trip = trip_demand(input_of(blunt, {unit}), {90, {}});
  CHECK(apart(trip.intervals[0], FittedDemand(blunt, {&unit, 1}, 90).distribution(90)) < 1e-3);
}

TEST_CASE("Renewals without end are refused, many are counted") {
  UnitState unit = aged(0);
  unit.due_days = 1;
  unit.renewed_every_days = 1.5;
  const std::vector<WeibullNode> one{{1e5, 1.5, 1}};
  const TripDemand trip = trip_demand(input_of(one, {unit}), {60, {{30, 30}}});
  // Days 1, 2.5, ..., 29.5: 20 renewals; then 31 to 59.5: 20 more.
  CHECK(trip.intervals[0].at(20) == Approx(1).margin(1e-3));
  CHECK(trip.intervals[1].at(20) == Approx(1).margin(1e-3));
  unit.renewed_every_days = 0.5;
  CHECK_THROWS_AS(trip_demand_by_sums(input_of(one, {unit}), {60, {}}), shearpin::NumericError);
}

TEST_CASE("A large stock leaves no shortage and no days without") {
  const TripDemand trip =
      trip_demand(input_of({{60, 1.5, 1}}, {aged(0), aged(30)}), {90, {{35, 30}}});
  CHECK(trip.chance(1'000'000).low == Approx(1).margin(kTail));
  CHECK(trip.days_without({2}).back() < 1e-4);
  CHECK(trip.surely_enough(kLargestChance) < 100);
  // Days without never rise with n; more that may stand dead never gives less.
  const DaysWithout one = trip.days_without({1});
  const DaysWithout two = trip.days_without({2});
  for (std::size_t n = 0; n + 1 < one.size(); ++n) {
    CHECK(one[n + 1] <= one[n]);
    CHECK(one[n] <= two[n] + 1e-12);
  }
}
