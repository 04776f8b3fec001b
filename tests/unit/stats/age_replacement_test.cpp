#include "stats/age_replacement.hpp"

#include <algorithm>
#include <boost/math/quadrature/tanh_sinh.hpp>
#include <catch2/catch.hpp>
#include <cmath>
#include <limits>
#include <vector>

#include "shearpin/base/error.hpp"
#include "shearpin/stats/weibull_posterior.hpp"

using namespace shearpin;
using namespace shearpin::stats;

namespace {

/// Cost rate of one life from the formula as it is written, the integral by tanh-sinh quadrature up
/// to where e^-50 of the life is left.
double plain_cost(const Weibull& life, const ReplacementCosts& costs, double age) {
  const auto survival = [&](double u) { return std::exp(-std::pow(u / life.scale, life.shape)); };
  boost::math::quadrature::tanh_sinh<double> integrator;
  const double lived = integrator.integrate(
      survival, 0.0, std::min(age, life.scale * std::pow(50, 1 / life.shape)), 1e-13);
  return (costs.planned * survival(age) + costs.failure * (1 - survival(age))) / lived;
}

double plain_cost(std::span<const WeibullNode> nodes, const ReplacementCosts& costs, double age) {
  double sum = 0;
  for (const auto& node : nodes) {
    sum += node.weight * plain_cost({node.scale, node.shape}, costs, age);
  }
  return sum;
}

}  // namespace

TEST_CASE("The cost rate is the formula, for every shape and from a hair of a life to many lives") {
  for (const double shape : {0.3, 0.5, 0.8, 1.0, 1.7, 3.0, 8.0}) {
    for (const double age : {1e-3, 0.05, 0.4, 0.9, 1.5, 3.0, 20.0}) {
      CAPTURE(shape, age);
      const WeibullNode node{250, shape, 1};
      const double found = replacement_cost_rate({&node, 1}, {3, 40}, 250 * age);
      CHECK(found == Approx(plain_cost({250, shape}, {3, 40}, 250 * age)).epsilon(1e-11));
    }
  }
}

TEST_CASE("With a constant rate planned replacement never pays, and costs are cf rate + cp / T R") {
  // Shape 1: integral R = s (1 - e^(-T/s)), so C(T) = (cp e^-x + cf (1 - e^-x)) / (s (1 - e^-x)).
  const Weibull life{500, 1};
  const auto answer = age_replacement(life, {1, 50});
  CHECK_FALSE(answer.age);
  CHECK(answer.cost_rate == Approx(50.0 / 500).epsilon(1e-14));
  CHECK(answer.gain == 0);
  CHECK(answer.chance_wears_out == 0);
  const WeibullNode node{500, 1, 1};
  const double x = 0.3;
  CHECK(replacement_cost_rate({&node, 1}, {1, 50}, 500 * x) ==
        Approx((std::exp(-x) + 50 * -std::expm1(-x)) / (500 * -std::expm1(-x))).epsilon(1e-13));
}

TEST_CASE("For shape 2 the least cost rate is 2 (cf - cp) T") {
  // h(T) = 2 T / s^2 and the optimum has C(T) = (cf - cp) h(T) (Barlow and Hunter 1960).
  for (const double ratio : {5.0, 10.0, 20.0, 400.0}) {
    const auto answer = age_replacement({1, 2}, {1, ratio});
    REQUIRE(answer.age);
    CHECK(answer.cost_rate == Approx(2 * (ratio - 1) * *answer.age).epsilon(1e-10));
  }
}

TEST_CASE("Over a posterior the age found is where the average cost is least") {
  // A coarse set of lives, so that the plain formula can be tried everywhere.
  std::vector<WeibullNode> nodes;
  for (const double shape : {0.7, 1.4, 2.2, 3.5, 6.0}) {
    for (const double scale : {120.0, 300.0, 800.0, 2500.0}) {
      nodes.push_back({scale, shape, 1.0 / 20});
    }
  }
  const ReplacementCosts costs{20, 400};
  const auto answer = age_replacement(nodes, costs);
  REQUIRE(answer.age);
  CHECK(answer.chance_wears_out == Approx(0.8));
  const double best = plain_cost(nodes, costs, *answer.age);
  CHECK(answer.cost_rate == Approx(best).epsilon(1e-11));
  for (double age = 5; age < 20000; age *= 1.01) {
    CHECK(plain_cost(nodes, costs, age) > best * (1 - 1e-9));
  }
  double to_failure = 0;
  for (const auto& node : nodes) {
    to_failure += node.weight * 400 / (node.scale * std::tgamma(1 + 1 / node.shape));
  }
  CHECK(answer.cost_rate_to_failure == Approx(to_failure).epsilon(1e-12));
  CHECK(answer.gain == Approx(1 - best / to_failure).epsilon(1e-10));
}

TEST_CASE(
    "Under the least gain it never pays, and a least gain of nothing shows the age after all") {
  // Shape 1.5, ratio 2: the gain is 0.16 % (see the reference table).
  const auto answer = age_replacement({1, 1.5}, {1, 2});
  CHECK_FALSE(answer.age);
  CHECK(answer.gain == Approx(1 - 0.9984362).margin(1e-7));
  CHECK(answer.cost_rate == answer.cost_rate_to_failure);
  CHECK(age_replacement({1, 1.5}, {1, 2}, 0).age);
  // A failure no dearer than a replacement is simply waited for.
  CHECK_FALSE(age_replacement({1, 4}, {2, 2}, 0).age);
  CHECK_FALSE(age_replacement({1, 4}, {3, 2}, 0).age);
}

TEST_CASE("Wide beliefs give an answer, and the unit only rescales it") {
  for (const double shape : {0.5, 1.0, 2.0, 4.0, 8.0}) {
    CAPTURE(shape);
    const auto wide = weibull_posterior({1000, 30, 30000, shape, 0.35}, {});
    const auto hours = weibull_posterior({24000, 720, 720000, shape, 0.35}, {});
    const auto a = age_replacement(wide.nodes, {1, 20}, 0);
    const auto b = age_replacement(hours.nodes, {1, 20}, 0);
    CHECK(a.cost_rate > 0);
    CHECK(a.cost_rate <= a.cost_rate_to_failure);
    CHECK(a.age.has_value() == b.age.has_value());
    if (a.age && b.age) {
      CHECK(*b.age == Approx(24 * *a.age).epsilon(1e-6));
      CHECK(a.cost_rate == Approx(plain_cost(wide.nodes, {1, 20}, *a.age)).epsilon(1e-9));
    }
  }
}

TEST_CASE("A tight posterior gives the age of its one life") {
  const auto tight = weibull_posterior({1000, 999.9, 1000.1, 3, 1e-4}, {});
  const auto answer = age_replacement(tight.nodes, {1, 10});
  REQUIRE(answer.age);
  // 0.382455531: reference table, shape 3, ratio 10.
  CHECK(*answer.age == Approx(382.455531).epsilon(1e-6));
}

TEST_CASE("Costs, ages, gains and lives outside their domain are refused") {
  const Weibull life{100, 2};
  CHECK_THROWS_AS(age_replacement(life, {0, 5}), InputError);
  CHECK_THROWS_AS(age_replacement(life, {1, -5}), InputError);
  CHECK_THROWS_AS(age_replacement(life, {1, std::numeric_limits<double>::infinity()}), InputError);
  CHECK_THROWS_AS(age_replacement(life, {1, 5}, 1.0), InputError);
  CHECK_THROWS_AS(age_replacement(life, {1, 5}, -0.1), InputError);
  CHECK_THROWS_AS(age_replacement({-1, 2}, {1, 5}), InputError);
  CHECK_THROWS_AS(age_replacement({100, 0}, {1, 5}), InputError);
  const std::vector<WeibullNode> half{{100, 2, 0.5}};
  CHECK_THROWS_AS(age_replacement(half, {1, 5}), InputError);
  CHECK_THROWS_AS(replacement_cost_rate(half, {1, 5}, 10), InputError);
  const std::vector<WeibullNode> one{{100, 2, 1}};
  CHECK_THROWS_AS(replacement_cost_rate(one, {1, 5}, 0), InputError);
  CHECK_THROWS_AS(age_replacement(std::vector<WeibullNode>{}, {1, 5}), InputError);
}
