#include <algorithm>
#include <boost/math/quadrature/tanh_sinh.hpp>
#include <boost/math/special_functions/gamma.hpp>
#include <catch2/catch.hpp>
#include <cmath>
#include <random>
#include <vector>

#include "samples.hpp"
#include "shearpin/base/error.hpp"
#include "shearpin/stats/weibull_posterior.hpp"

using namespace shearpin;
using namespace shearpin::stats;
using shearpin::stats::testing::kBelief;

namespace {

double at_most(double mean, int count) { return boost::math::gamma_q(count + 1.0, mean); }
double at_least(double mean, int count) {
  return count > 0 ? boost::math::gamma_p(static_cast<double>(count), mean) : 1;
}

/// The two tails mixed over the belief by plain midpoint sums; `watched` are the ages watched.
double slow_p(const WeibullPrior& prior, const std::vector<std::pair<double, double>>& watched,
              int failures) {
  constexpr int kGrid = 400;
  double few = 0;
  double many = 0;
  for (int i = 0; i < kGrid; ++i) {
    for (int j = 0; j < kGrid; ++j) {
      const double x = -7 + 14 * (i + 0.5) / kGrid;
      const double y = -7 + 14 * (j + 0.5) / kGrid;
      const double scale = prior.scale_median * std::exp(prior.ln_scale_sd() * x);
      const double shape = prior.shape_median * std::exp(prior.shape_log_sd * y);
      double mean = 0;
      for (const auto& [entry, exit] : watched) {
        mean += std::pow(exit / scale, shape) - std::pow(entry / scale, shape);
      }
      mean = std::min(mean, 1e8);
      const double weight =
          std::exp(-0.5 * (x * x + y * y)) / 6.283185307179586 * (14.0 / kGrid) * (14.0 / kGrid);
      few += weight * at_most(mean, failures);
      many += weight * at_least(mean, failures);
    }
  }
  return std::min(1.0, 2 * std::min(few, many));
}

}  // namespace

TEST_CASE("The prior predictive check agrees with plain sums over the belief") {
  // Two-sided tail of a Poisson count given the hazard watched (Box 1980, prior predictive check;
  // from memory). An interval is watched to its middle.
  const std::vector<LifeRecord> records{{LifeKind::failed, 0, 0, 300},
                                        {LifeKind::failed, 100, 0, 420},
                                        {LifeKind::interval, 0, 200, 260},
                                        {LifeKind::alive, 50, 0, 900},
                                        {LifeKind::repaired, 50, 0, 500}};
  const std::vector<std::pair<double, double>> watched{{0, 300}, {100, 420}, {0, 230}, {50, 900}};
  CHECK(prior_predictive_p(kBelief, records) == Approx(slow_p(kBelief, watched, 4)).margin(2e-4));
  const std::vector<LifeRecord> none{{LifeKind::alive, 0, 0, 2500}, {LifeKind::alive, 0, 0, 1800}};
  CHECK(prior_predictive_p(kBelief, none) ==
        Approx(slow_p(kBelief, {{0, 2500}, {0, 1800}}, 0)).margin(2e-4));
}

TEST_CASE("With shape 1 for certain the check is a mixture of Poisson tails over the rate") {
  const WeibullPrior belief{1000, 400, 2500, 1, 0};
  for (const int failures : {0, 1, 4, 12, 40}) {
    CAPTURE(failures);
    std::vector<LifeRecord> records{{LifeKind::alive, 0, 0, 1500}};
    for (int i = 0; i < failures; ++i) {
      records.push_back({LifeKind::failed, 0, 0, 50});
    }
    const double exposure = 1500 + 50.0 * failures;
    boost::math::quadrature::tanh_sinh<double> integrator;
    const auto mixed = [&](double (*tail)(double, int)) {
      return integrator.integrate(
          [&](double x) {
            const double rate = std::exp(-belief.ln_scale_sd() * x) / 1000;
            return std::exp(-0.5 * x * x) / std::sqrt(6.283185307179586) *
                   tail(rate * exposure, failures);
          },
          -9.0, 9.0);
    };
    const double exact = std::min(1.0, 2 * std::min(mixed(at_most), mixed(at_least)));
    CHECK(prior_predictive_p(belief, records) == Approx(exact).margin(2e-4));
  }
}

TEST_CASE("A record far to either side of the belief is told from one that fits") {
  const std::vector<LifeRecord> early(6, {LifeKind::failed, 0, 0, 12});
  const std::vector<LifeRecord> never(6, {LifeKind::alive, 0, 0, 30000});
  const std::vector<LifeRecord> fitting{{LifeKind::failed, 0, 0, 800},
                                        {LifeKind::alive, 0, 0, 900}};
  CHECK(prior_predictive_p(kBelief, early) < 0.01);
  CHECK(prior_predictive_p(kBelief, never) < 0.01);
  CHECK(prior_predictive_p(kBelief, fitting) > 0.3);
}

TEST_CASE("Without exposure nothing contradicts the belief") {
  CHECK(prior_predictive_p(kBelief, {}) == 1);
  const std::vector<LifeRecord> unseen{{LifeKind::alive, 40, 0, 40}};
  CHECK(prior_predictive_p(kBelief, unseen) == 1);
}

TEST_CASE("A true belief is seldom called contradicted") {
  // Places watched for a fixed time, units replaced as they fail. The count is discrete, so small
  // values come no more often than their size: of 600 draws, P(more than 85 of chance 0.1) is 1e-3.
  std::mt19937_64 random(91);
  std::normal_distribution<double> normal;
  int small = 0;
  for (int draw = 0; draw < 600; ++draw) {
    const double scale = 1000 * std::exp(kBelief.ln_scale_sd() * normal(random));
    const double shape = 1.5 * std::exp(0.35 * normal(random));
    std::weibull_distribution<double> life(shape, scale);
    std::vector<LifeRecord> records;
    for (int place = 0; place < 4; ++place) {
      double left = 1500;
      for (double age = life(random); age < left; age = life(random)) {
        records.push_back({LifeKind::failed, 0, 0, age});
        left -= age;
      }
      records.push_back({LifeKind::alive, 0, 0, left});
    }
    small += prior_predictive_p(kBelief, records) < 0.1 ? 1 : 0;
  }
  CHECK(small <= 85);
}

TEST_CASE("The prior predictive check refuses what the posterior refuses") {
  const std::vector<LifeRecord> backward{{LifeKind::failed, 10, 0, 5}};
  CHECK_THROWS_AS(prior_predictive_p(kBelief, backward), InputError);
  CHECK_THROWS_AS(prior_predictive_p({1000, 2500, 400, 1.5}, {}), InputError);
}
