#include "stocking/failure_chance.hpp"

#include <algorithm>
#include <boost/math/distributions/negative_binomial.hpp>
#include <boost/math/special_functions/gamma.hpp>
#include <catch2/catch.hpp>
#include <cmath>
#include <limits>
#include <vector>

#include "oracles/chance_far_down.hpp"
#include "shearpin/base/error.hpp"
#include "shearpin/stats/weibull_posterior.hpp"
#include "slow_count.hpp"
#include "stats/prior.hpp"
#include "stocking/distribution.hpp"

using namespace shearpin;
using namespace shearpin::stocking;
using shearpin::stats::WeibullNode;

namespace {

double engine(const std::vector<WeibullNode>& nodes, const std::vector<WatchedPlace>& places,
              long failures) {
  return chance_of_as_many(nodes, places, failures, 1).here;
}

/// By the oracle, beside which the engine's own is held.
double chance(const std::vector<WeibullNode>& nodes, const std::vector<WatchedPlace>& places,
              long failures) {
  const double found = chance_far_down(nodes, places, failures);
  double lives = 0;
  for (const WeibullNode& node : nodes) {
    for (const WatchedPlace& place : places) lives = std::max(lives, place.exposure / node.scale);
  }
  // Past 64 lives the oracle is good to 1e-4 at the best.
  if (lives <= 64) CHECK(std::fabs(engine(nodes, places, failures) - found) < 1e-6);
  return found;
}

/// P(Poisson(mean) >= k): the regularised incomplete gamma function.
double poisson_at_least(double mean, long k) {
  return boost::math::gamma_p(static_cast<double>(k), mean);
}

}  // namespace

TEST_CASE("With a constant rate the chance is the Poisson tail, far down, whatever the ages") {
  for (const double exposure : {1e-4, 0.03, 0.4, 2.3, 6.0, 40.0}) {
    for (const double age : {0.0, 0.7, 30.0}) {
      for (const long k : {1L, 2L, 3L, 5L, 9L, 14L}) {
        CAPTURE(exposure, age, k);
        const double exact = poisson_at_least(exposure, k);
        const double found = chance({{1, 1, 1}}, {{age, exposure}}, k);
        CHECK(std::fabs(found - exact) < 1e-7 * exact + (k <= 10 ? 1e-16 : 1e-12));
      }
    }
  }
}

TEST_CASE("Places add up: three of a constant rate are one of the summed exposure") {
  for (const long k : {1L, 3L, 6L, 10L}) {
    CAPTURE(k);
    const double exact = poisson_at_least(0.05 + 0.3 + 1.1, k);
    const double found = chance({{1, 1, 1}}, {{0, 0.05}, {2, 0.3}, {0.4, 1.1}, {3, 0}}, k);
    CHECK(std::fabs(found - exact) < 1e-7 * exact + 1e-16);
  }
}

TEST_CASE("A gamma belief about the rate gives the negative binomial tail") {
  // Gelman et al., Bayesian Data Analysis, ch. 2.6: size 3, p = 4000 / (4000 + 90).
  stats::LogPrior prior;
  prior.shape_fixed = true;
  prior.rate_shape = 3;
  prior.rate_exposure = 4000;
  const auto posterior = stats::posterior_of(prior, {}, {.tolerance = 1e-9, .lives = 6});
  const boost::math::negative_binomial law(3, 4000.0 / 4090);
  for (const long k : {1L, 2L, 3L, 4L, 5L}) {
    CAPTURE(k);
    const double exact = cdf(complement(law, static_cast<double>(k - 1)));
    const double found = chance(posterior.nodes, {{500, 90}}, k);
    // 3e-2 to 1e-7: what the nodes leave out is 1e-10 in all.
    CHECK(std::fabs(found - exact) < 1e-6 * exact + 1e-10);
  }
}

TEST_CASE("Aged units of any shape agree with the inverted Laplace transform") {
  struct Case {
    double shape, age, exposure;
  };
  for (const Case& c :
       {Case{0.7, 0, 4}, Case{1.3, 0.02, 1}, Case{2.7, 0.5, 9}, Case{8, 1.2, 1.1}}) {
    const std::vector<double> tails = slow::by_laplace(c.shape, c.age, c.exposure, 12);
    for (long k = 1; k <= 12; ++k) {
      CAPTURE(c.shape, c.age, c.exposure, k);
      // The inversion's own error is 1e-9, for small shapes a few times that.
      CHECK(std::fabs(chance({{1, c.shape, 1}}, {{c.age, c.exposure}}, k) -
                      tails[static_cast<std::size_t>(k) - 1]) < 4e-9);
    }
  }
}

TEST_CASE("Several places over several lives agree with sums on a grid") {
  const std::vector<WeibullNode> nodes{{300, 1.4, 0.2}, {900, 1.4, 0.3}, {500, 2.5, 0.5}};
  const std::vector<WatchedPlace> places{{0, 120}, {350, 200}, {700, 60}};
  std::vector<slow::UnitState> units;
  for (const WatchedPlace& place : places) {
    slow::UnitState unit;
    unit.age = place.age;
    unit.exposure_per_day = place.exposure;
    units.push_back(unit);
  }
  const Pmf pmf = slow::on_a_grid(nodes, units, 1, 400);
  for (long k = 1; k <= 6; ++k) {
    CAPTURE(k);
    CHECK(std::fabs(chance(nodes, places, k) - chance_above(pmf, k - 1)) < 2e-6);
  }
}

TEST_CASE("More failures are never more likely, nor the same seen among more positions less so") {
  const auto posterior =
      stats::weibull_posterior({1000, 400, 2500, 1.5, 0.35}, {}, {.tolerance = 1e-8, .lives = 8});
  const std::vector<WatchedPlace> places{{200, 120}};
  double before = 1;
  for (long k = 0; k <= 12; ++k) {
    const double now = chance(posterior.nodes, places, k);
    CHECK(now <= before);
    CHECK(now >= 0);
    before = now;
  }
  const auto once = chance_of_as_many(posterior.nodes, places, 3, 1);
  const auto among = chance_of_as_many(posterior.nodes, places, 3, 40);
  CHECK(once.anywhere == once.here);
  CHECK(among.here == once.here);
  CHECK(among.anywhere == Approx(40 * once.here));
  CHECK(chance_of_as_many(posterior.nodes, places, 1, 100000).anywhere == 1);
  CHECK(chance_of_as_many(posterior.nodes, places, 0, 40).here == 1);
  CHECK(chance_of_as_many(posterior.nodes, {}, 1, 40).here == 0);
}

TEST_CASE("Past the longest table the series takes over without a step") {
  for (const double shape : {1.0, 1.6, 3.0}) {
    for (const double age : {0.0, 0.4, 2.0}) {
      for (const long k : {55L, 62L, 70L, 76L}) {
        CAPTURE(shape, age, k);
        const double table = chance({{1, shape, 1}}, {{age, 64 * (1 - 1e-9)}}, k);
        const double series = chance({{1, shape, 1}}, {{age, 64 * (1 + 1e-9)}}, k);
        CHECK(std::fabs(table - series) < 2e-4);
      }
    }
  }
}

TEST_CASE("However wide the belief, far-off lives neither stop the answer nor decide it") {
  CHECK(chance({{1e-5, 1, 1}}, {{0, 1000}}, 500) == Approx(1));
  CHECK(chance({{1000, 1.5, 1 - 1e-10}, {1e-9, 0.04, 1e-10}}, {{0, 90}}, 1) ==
        Approx(-std::expm1(-std::pow(0.09, 1.5))).epsilon(1e-8));
  // Shape belief 0.5 puts a hundredth of its mass below 0.2.
  const auto posterior = stats::weibull_posterior({1000, 30, 30000, 0.5, 0.35}, {});
  double before = 1;
  for (long k = 1; k <= 8; ++k) {
    const double now = chance(posterior.nodes, {{0, 400}, {1000, 400}}, k);
    CHECK(now > 0);
    CHECK(now < before);
    before = now;
  }
}

TEST_CASE("Counts of very small shapes join those of the panels, and agree with simulation") {
  for (const double age : {0.0, 0.5}) {
    for (const long k : {2L, 4L, 9L}) {
      const double below = chance({{1, 0.2 - 1e-9, 1}}, {{age, 7}}, k);
      const double above = chance({{1, 0.2, 1}}, {{age, 7}}, k);
      CAPTURE(age, k, below, above);
      CHECK(std::fabs(below - above) < 3e-8);
    }
  }
  slow::UnitState unit;
  unit.age = 0.3;
  unit.exposure_per_day = 12;
  const std::vector<WeibullNode> nodes{{1, 0.12, 1}};
  const std::vector<slow::UnitState> units{unit};
  const Pmf pmf = slow::simulated(nodes, units, 1, 200'000, 77);
  for (const long k : {1L, 2L, 4L}) {
    const double exact = chance(nodes, {{0.3, 12}}, k);
    CAPTURE(k, exact);
    CHECK(std::fabs(exact - chance_above(pmf, k - 1)) <
          4 * std::sqrt(exact * (1 - exact) / 200'000));
  }
}

TEST_CASE("A fuse that blew four times in two months is no bad luck, one that blew once may be") {
  // Common practice, no source: one blown fuse is replaced, a second of the same kind is looked
  // into.
  const auto posterior =
      stats::weibull_posterior({2500, 700, 9000, 1.0, 0.35}, {}, {.tolerance = 1e-8, .lives = 4});
  const std::vector<WatchedPlace> place{{300, 60}};
  CHECK(chance_of_as_many(posterior.nodes, place, 4, 30).anywhere < 0.01);
  CHECK(chance_of_as_many(posterior.nodes, place, 1, 30).anywhere > 0.2);
}

TEST_CASE("Places, counts and lives outside their domain are refused") {
  const std::vector<WeibullNode> one{{100, 2, 1}};
  const std::vector<WatchedPlace> place{{10, 30}};
  CHECK_THROWS_AS(chance_of_as_many(one, place, -1, 1), InputError);
  CHECK_THROWS_AS(chance_of_as_many(one, place, 5000, 1), InputError);
  CHECK_THROWS_AS(chance_of_as_many(one, place, 2, 0), InputError);
  CHECK_THROWS_AS(engine(one, {{-1, 30}}, 2), InputError);
  CHECK_THROWS_AS(engine(one, {{1, std::numeric_limits<double>::infinity()}}, 2), InputError);
  CHECK_THROWS_AS(engine({{100, 2, 0.4}}, place, 2), InputError);
  CHECK_THROWS_AS(engine({{100, 500, 1}}, place, 2), InputError);
  CHECK_THROWS_AS(engine({}, place, 2), InputError);
}
