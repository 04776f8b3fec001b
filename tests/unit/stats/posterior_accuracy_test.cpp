#include <catch2/catch.hpp>

#include "fine_grid.hpp"

using namespace shearpin::stats;
using namespace shearpin::stats::testing;

TEST_CASE(
    "Predictive chances agree with a fine fixed grid to 1e-6 over random beliefs and records") {
  // Seeded: shape beliefs 0.5 to 8, 80 % ranges of a factor 1.1 to 300, 0 to 120 records.
  std::mt19937_64 random(20260525);
  std::uniform_real_distribution<double> unit(0, 1);
  double worst = 0;
  for (int trial = 0; trial < 16; ++trial) {
    const double ratio = 1.1 * std::pow(300 / 1.1, unit(random));
    const double shape = 0.5 * std::pow(16, unit(random));
    const WeibullPrior prior{1000, 1000 / std::sqrt(ratio), 1000 * std::sqrt(ratio), shape, 0.35};
    const int count = trial % 6 == 0 ? 0 : static_cast<int>(120 * unit(random) * unit(random)) + 1;
    const double true_scale = 1000 * std::pow(ratio, 0.8 * (unit(random) - 0.5));
    const auto records = drawn_records(random, count, true_scale, shape);
    for (const double age : {0.0, 0.3, 1.5}) {
      // A unit of some age is always among the records, alive at that age.
      auto known = records;
      if (age > 0) {
        known.push_back({LifeKind::alive, 0, 0, age * 1000});
      }
      const auto posterior = weibull_posterior(prior, known);
      const FineGrid fine(prior, known, 360);
      for (const double ahead : {0.02, 0.2, 1.0, 3.0}) {
        const double mine = predictive_survival(posterior, age * 1000, ahead * 1000);
        const double slow = fine.survival(age * 1000, ahead * 1000);
        worst = std::max(worst, std::abs(mine - slow));
        INFO("trial " << trial << " ratio " << ratio << " shape " << shape << " records "
                      << records.size() << " age " << age << " ahead " << ahead);
        CHECK(std::abs(mine - slow) < 1e-6);
      }
    }
  }
  INFO("worst " << worst);
  CHECK(worst > 0);  // two methods, never the same sum
}

TEST_CASE("A record far from the belief is still summed rightly") {
  const WeibullPrior prior{2800, 1000, 8000, 1, 0.35};
  std::vector<LifeRecord> records;
  for (int i = 0; i < 20; ++i) {
    records.push_back({LifeKind::failed, 0, 0, 20.0 + i});
  }
  const auto posterior = weibull_posterior(prior, records);
  const FineGrid fine(prior, records, 600);
  for (const double ahead : {1.0, 10.0, 30.0, 60.0}) {
    CHECK(predictive_survival(posterior, 0, ahead) == Approx(fine.survival(0, ahead)).margin(1e-6));
  }
}
