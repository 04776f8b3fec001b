#include "stocking/fitted_demand.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <random>

#include "oracles/renewal.hpp"
#include "shearpin/base/error.hpp"
#include "slow_count.hpp"

using namespace shearpin::stocking;
using shearpin::stats::WeibullNode;

namespace {

constexpr double kNever = std::numeric_limits<double>::infinity();

double worst_chance(const Pmf& a, const Pmf& b) {
  double difference = 0;
  double worst = 0;
  for (std::size_t n = 0; n < std::max(a.size(), b.size()); ++n) {
    difference += (n < a.size() ? a[n] : 0) - (n < b.size() ? b[n] : 0);
    worst = std::max(worst, std::fabs(difference));
  }
  return worst;
}

Pmf demand(const std::vector<WeibullNode>& nodes, const std::vector<UnitState>& units,
           double days) {
  return FittedDemand(nodes, units, days).distribution(days);
}

/// Largest difference of P(D <= n) in standard errors of the simulation.
double worst_deviation(const Pmf& exact, const Pmf& drawn, double runs) {
  double worst = 0;
  for (long n = 0; n < static_cast<long>(std::max(exact.size(), drawn.size())); ++n) {
    const double p = chance_at_most(exact, n);
    const double spread = std::sqrt(std::max(p * (1 - p), 1.0 / runs) / runs);
    worst = std::max(worst, std::fabs(p - chance_at_most(drawn, n)) / spread);
  }
  return worst;
}

class Draw {
 public:
  explicit Draw(unsigned seed) : random_(seed) {}

  double in(double low, double high) {
    return low + (high - low) * (static_cast<double>(random_() >> 11U) / 9007199254740992.0);
  }
  double log_in(double low, double high) { return std::exp(in(std::log(low), std::log(high))); }
  bool one_in(int n) { return random_() % static_cast<unsigned>(n) == 0; }

  std::vector<WeibullNode> nodes(int count, double low_shape, double high_shape) {
    std::vector<WeibullNode> made;
    for (int i = 0; i < count; ++i) {
      made.push_back({log_in(30, 300), log_in(low_shape, high_shape), 1.0 / count});
    }
    return made;
  }

 private:
  std::mt19937_64 random_;
};

}  // namespace

TEST_CASE("Random problems agree with sums on a fine grid") {
  const auto seed = GENERATE(range(1U, 25U));
  CAPTURE(seed);
  Draw draw(seed);
  const std::vector<WeibullNode> nodes = draw.nodes(2, 1.2, 6);
  const std::vector<WeibullNode> other = draw.nodes(3, 1.2, 4);
  const double days = draw.log_in(10, 300);
  std::vector<UnitState> units(seed % 3 + 1);
  for (UnitState& unit : units) {
    unit.age = draw.one_in(4) ? 0 : draw.in(0, 200);
    unit.exposure_per_day = draw.log_in(0.3, 1.5);
    if (draw.one_in(4)) unit.untested = draw.in(0, 60);
    if (draw.one_in(6)) unit.down = true;
    // On the coarse grid of 1000 steps.
    if (draw.one_in(3)) unit.due_days = days * std::floor(draw.in(0, 1200)) / 1000;
    if (draw.one_in(4)) unit.renewed_every_days = days * std::floor(draw.in(120, 1000)) / 1000;
    if (draw.one_in(5)) unit.first_life = other;
  }
  CHECK(worst_chance(demand(nodes, units, days), slow::on_a_grid(nodes, units, days, 1000)) < 2e-6);
}

TEST_CASE("Random problems agree with direct simulation") {
  const auto seed = GENERATE(range(100U, 124U));
  CAPTURE(seed);
  Draw draw(seed);
  const std::vector<WeibullNode> nodes = draw.nodes(3, 0.5, 8);
  const std::vector<WeibullNode> other = draw.nodes(3, 0.6, 4);
  const double days = draw.log_in(10, 400);
  std::vector<UnitState> units(seed % 4 + 1);
  for (UnitState& unit : units) {
    unit.age = draw.one_in(4) ? 0 : draw.in(0, 200);
    unit.exposure_per_day = draw.one_in(8) ? 0 : draw.log_in(0.3, 1.5);
    if (draw.one_in(5)) unit.untested = draw.in(0, 60);
    if (draw.one_in(6)) unit.down = true;
    if (draw.one_in(3)) unit.due_days = draw.in(-20, 1.2 * days);
    if (draw.one_in(3)) unit.renewed_every_days = draw.in(0.12, 1.2) * days;
    if (draw.one_in(5)) unit.first_life = other;
    if (draw.one_in(2)) {
      unit.before = draw.in(5, 150);
      unit.before_days = draw.in(5, 200);
      if (unit.due_days != kNever && draw.one_in(2)) unit.due_days = -draw.in(0, unit.before_days);
    }
  }
  constexpr long kRuns = 200000;
  CHECK(worst_deviation(demand(nodes, units, days),
                        slow::simulated(nodes, units, days, kRuns, seed), kRuns) < 4.5);
}

TEST_CASE("What is carried to a later start has the mean of the difference of two stretches") {
  // E N(before, before + x] = E N(before + x] - E N(before] for one position with steady use.
  for (const double shape : {0.6, 1.0, 1.7, 3.0, 7.0}) {
    for (const double every : {kNever, 260.0, 55.0}) {
      for (const double due : {kNever, 30.0, -20.0, -70.0}) {
        CAPTURE(shape, every, due);
        const std::vector<WeibullNode> nodes{{100, shape, 1}};
        UnitState later;
        later.age = 35;
        later.exposure_per_day = 1.25;
        later.before = 100;
        later.before_days = 80;
        later.due_days = due;
        later.renewed_every_days = every;
        UnitState now = later;
        now.before = now.before_days = 0;
        now.due_days = due + 80;
        const FittedDemand whole(nodes, {&now, 1}, 80 + 120);
        const double expected = mean(whole.distribution(200)) - mean(whole.distribution(80));
        CHECK(std::fabs(mean(demand(nodes, {later}, 120)) - expected) < (shape < 1 ? 1e-5 : 3e-6));
      }
    }
  }
}

TEST_CASE("Carried to a later start, old units and very many lives keep the mean") {
  // As above, where the unit fitted today is nearly worn out, and where the stretch holds 70 lives.
  for (const double shape : {0.7, 1.0, 2.0, 5.0, 5.4, 8.0}) {
    for (const double age : {0.0, 120.0, 160.0}) {
      for (const double days : {120.0, 7000.0}) {
        CAPTURE(shape, age, days);
        const std::vector<WeibullNode> nodes{{100, shape, 1}};
        UnitState later;
        later.age = age;
        later.exposure_per_day = 1;
        later.before = later.before_days = 100;
        UnitState now = later;
        now.before = now.before_days = 0;
        const FittedDemand whole(nodes, {&now, 1}, 100 + days);
        const double expected =
            mean(whole.distribution(100 + days)) - mean(whole.distribution(100));
        CHECK(std::fabs(mean(demand(nodes, {later}, days)) - expected) < 1e-5);
      }
    }
  }
}

TEST_CASE("One node and one unit give the renewal count") {
  for (const double shape : {0.5, 1.1, 2.4, 8.0}) {
    for (const double days : {1.0, 40.0, 400.0, 2500.0}) {
      UnitState unit;
      unit.age = 60;
      unit.exposure_per_day = 2;
      CAPTURE(shape, days);
      CHECK(worst_chance(demand({{100, shape, 1}}, {unit}, days),
                         renewal_count({100, shape}, 60, 2 * days)) < 3e-7);
    }
  }
}

TEST_CASE("Ages in days to the power of a sharp shape do not overflow") {
  // 1938^170 is past what a double holds; the chance of no failure is exp(-[H(a + x) - H(a)]).
  UnitState unit;
  unit.age = 1938;
  unit.exposure_per_day = 1;
  const std::vector<WeibullNode> nodes{{2000, 170, 1}};
  const double hazard = std::pow(1944.0 / 2000, 170) - std::pow(1938.0 / 2000, 170);
  const Pmf pmf = FittedDemand(nodes, std::vector<UnitState>{unit}, 6).distribution(6);
  CHECK(pmf[0] == Approx(std::exp(-hazard)).margin(1e-9));
}

TEST_CASE("Shape 1 is Poisson, and a gamma belief of the rate makes it negative binomial") {
  // Gamma(4, 3309 h) of the e-Handbook's test (8.4.6), two positions used 500 h each: the
  // predictive is negative binomial. Nodes: trapezoid rule over ln rate.
  std::vector<WeibullNode> nodes;
  double total = 0;
  for (double log_rate = -16; log_rate < -3; log_rate += 0.05) {
    const double rate = std::exp(log_rate);
    nodes.push_back({1 / rate, 1.0, std::exp(4 * log_rate - 3309 * rate)});
    total += nodes.back().weight;
  }
  for (WeibullNode& node : nodes) node.weight /= total;
  std::vector<UnitState> units(2);
  units[0].exposure_per_day = units[1].exposure_per_day = 5;
  units[1].age = 700;
  const Pmf pmf = demand(nodes, units, 100);
  CHECK(worst_chance(pmf, gamma_poisson_pmf(4, 3309, 1000)) < 1e-6);
  // Values of reference.csv BAYES-NIST-PRED1000 (dnbinom in R 4.2.2).
  const double r[] = {0.3477611732, 0.3228230895, 0.1872958282, 0.0869323872, 0.03530556454};
  for (std::size_t k = 0; k < 5; ++k) CHECK(std::fabs(pmf[k] - r[k]) < 1e-6);
}

TEST_CASE("A dead unit is one demand at once and its successor starts new") {
  UnitState dead;
  dead.exposure_per_day = 1;
  dead.age = 500;
  dead.down = true;
  const Pmf pmf = demand({{100, 3, 1}}, {dead}, 80);
  const Pmf fresh = renewal_count({100, 3}, 0, 80);
  CHECK(pmf[0] == 0);
  for (std::size_t k = 0; k < 4; ++k) CHECK(std::fabs(pmf[k + 1] - fresh[k]) < 1e-7);
  const FittedDemand by_days(std::vector<WeibullNode>{{100, 3, 1}}, {&dead, 1}, 80);
  CHECK(by_days.distribution(0) == Pmf{0.0, 1.0});
}

TEST_CASE("A marked end cuts the life: demand by then is certain, earlier failure counts once") {
  UnitState marked;
  marked.exposure_per_day = 1;
  marked.due_days = 40;
  const FittedDemand d(std::vector<WeibullNode>{{1000, 2, 1}}, {&marked, 1}, 100);
  CHECK(d.distribution(39.9)[0] == Approx(std::exp(-std::pow(0.0399, 2))).margin(1e-9));
  CHECK(d.distribution(40)[0] == 0);
  CHECK(d.distribution(100)[1] > 0.99);
  marked.due_days = 0;
  const FittedDemand at_once(std::vector<WeibullNode>{{1000, 2, 1}}, {&marked, 1}, 100);
  CHECK(at_once.distribution(0) == Pmf{0.0, 1.0});
}

TEST_CASE("A position that stands still needs only what is dead or falls due") {
  UnitState still;
  still.due_days = 10;
  still.renewed_every_days = 25;
  const FittedDemand d(std::vector<WeibullNode>{{100, 2, 1}}, {&still, 1}, 100);
  CHECK(d.distribution(9) == Pmf{1.0});
  CHECK(d.distribution(10) == Pmf{0.0, 1.0});
  CHECK(d.distribution(35) == Pmf{0.0, 0.0, 1.0});
  CHECK(d.distribution(100) == Pmf{0.0, 0.0, 0.0, 0.0, 1.0});
}

TEST_CASE("Renewals much more often than failures leave their number nearly certain") {
  UnitState filter;
  filter.exposure_per_day = 1;
  filter.renewed_every_days = 7;
  filter.due_days = 7;
  const Pmf pmf = demand({{1e5, 2, 1}}, {filter}, 365);
  CHECK(pmf.at(52) > 0.999);
}

namespace {

/// Units put in at different times, each renewed 400 days after it went in.
std::vector<UnitState> renewed_units(int count) {
  std::vector<UnitState> units;
  for (int i = 0; i < count; ++i) {
    UnitState unit;
    unit.age = 40.0 * i;
    unit.exposure_per_day = 1;
    unit.due_days = 400 - unit.age;
    unit.renewed_every_days = 400;
    units.push_back(unit);
  }
  return units;
}

}  // namespace

TEST_CASE("Many marked ends ahead of units of different age agree with sums on a fine grid") {
  // A bell of 24 lives a row: the outer ones are light enough to be counted with a neighbour.
  std::vector<WeibullNode> nodes;
  double total = 0;
  for (const double shape : {1.3, 2.5}) {
    for (int i = 0; i < 24; ++i) {
      const double z = (i - 11.5) / 2.5;
      nodes.push_back({900 * std::exp(0.6 * z), shape, std::exp(-z * z / 2)});
      total += nodes.back().weight;
    }
  }
  for (WeibullNode& node : nodes) node.weight /= total;
  const std::vector<UnitState> units = renewed_units(3);
  CHECK(worst_chance(demand(nodes, units, 4000), slow::on_a_grid(nodes, units, 4000, 500)) < 1e-4);
}

TEST_CASE("More marked ends than can be worked out name the days that can") {
  const std::vector<WeibullNode> nodes{{900, 1.5, 1}};
  std::vector<UnitState> units;
  for (const UnitState& unit : renewed_units(10)) {
    for (const double younger : {0.0, 10.0, 20.0, 30.0}) {
      units.push_back(unit);
      units.back().age += younger;
      units.back().due_days -= younger;
    }
  }
  CHECK_THROWS_WITH(FittedDemand(nodes, units, 3650), Catch::Contains("40 units") &&
                                                          Catch::Contains("360 marked ends") &&
                                                          Catch::Contains("at most 506 days"));
  CHECK(mean(demand(nodes, units, 506)) > 40);
}

TEST_CASE("A hidden failure since the last test is demand at the start") {
  UnitState alarm;
  alarm.age = 900;
  alarm.untested = 100;
  alarm.exposure_per_day = 1;
  const FittedDemand d(std::vector<WeibullNode>{{1000, 1.5, 1}}, {&alarm, 1}, 365);
  const double alive = std::exp(std::pow(0.9, 1.5) - 1);
  CHECK(d.distribution(0)[0] == Approx(alive).epsilon(1e-12));
  CHECK(d.distribution(365)[0] ==
        Approx(std::exp(std::pow(0.9, 1.5) - std::pow(1.365, 1.5))).epsilon(1e-12));
}

TEST_CASE("Alike units are the same whether counted together or apart") {
  const std::vector<WeibullNode> nodes{{90, 1.4, 0.3}, {150, 1.4, 0.5}, {120, 2.2, 0.2}};
  std::vector<UnitState> alike(7);
  for (UnitState& unit : alike) {
    unit.exposure_per_day = 1;
    unit.age = 20;
  }
  std::vector<UnitState> apart = alike;
  for (std::size_t i = 0; i < apart.size(); ++i) apart[i].age += 1e-9 * static_cast<double>(i);
  CHECK(worst_chance(demand(nodes, alike, 60), demand(nodes, apart, 60)) < 1e-7);
}

TEST_CASE("Many stretches at once are the same as one by one") {
  const std::vector<WeibullNode> nodes{{90, 1.4, 0.3}, {15, 1.4, 0.5}, {120, 2.2, 0.2}};
  std::vector<UnitState> units(3);
  units[0].exposure_per_day = units[1].exposure_per_day = units[2].exposure_per_day = 1;
  units[1].age = 30;
  units[2].due_days = 12;
  const FittedDemand d(nodes, units, 100);
  const std::vector<double> days{0, 3, 12, 55, 100};
  const std::vector<Pmf> all = d.distributions(days);
  for (std::size_t i = 0; i < days.size(); ++i) CHECK(all[i] == d.distribution(days[i]));
}

TEST_CASE("Nothing fitted is no demand, bad input is refused by name") {
  const std::vector<WeibullNode> nodes{{100, 2, 1}};
  CHECK(demand(nodes, {}, 30) == Pmf{1.0});
  UnitState unit;
  unit.exposure_per_day = 1;
  CHECK(demand(nodes, {unit}, 0) == Pmf{1.0});
  CHECK_THROWS_AS(demand({}, {unit}, 30), shearpin::InputError);
  CHECK_THROWS_AS(demand({{100, 2, 0.9}}, {unit}, 30), shearpin::InputError);
  CHECK_THROWS_AS(demand({{-100, 2, 1}}, {unit}, 30), shearpin::InputError);
  CHECK_THROWS_AS(demand(nodes, {unit}, -1), shearpin::InputError);
  const FittedDemand d(nodes, {&unit, 1}, 30);
  CHECK_THROWS_AS(d.distribution(31), shearpin::InputError);
  UnitState bad = unit;
  bad.age = -1;
  CHECK_THROWS_AS(demand(nodes, {bad}, 30), shearpin::InputError);
  bad = unit;
  bad.renewed_every_days = 0;
  CHECK_THROWS_AS(demand(nodes, {bad}, 30), shearpin::InputError);
  bad.renewed_every_days = 0.01;
  CHECK_THROWS_AS(demand(nodes, {bad}, 30), shearpin::NumericError);
  bad = unit;
  bad.exposure_per_day = 1e6;
  CHECK_THROWS_AS(demand(nodes, {bad}, 30), shearpin::NumericError);
}
