#include "stocking/consumption.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <vector>

#include "shearpin/base/error.hpp"
#include "stocking/losses.hpp"

using namespace shearpin::stocking;

namespace {

// Compound distribution the plain way: mixture over event counts of n-fold convolutions.
Pmf compound(const Pmf& events, const Pmf& size, std::size_t length) {
  Pmf total(length, 0.0);
  Pmf sum(length, 0.0);
  sum[0] = 1;
  for (const double chance : events) {
    for (std::size_t k = 0; k < length; ++k) total[k] += chance * sum[k];
    Pmf next(length, 0.0);
    for (std::size_t k = 0; k < length; ++k) {
      for (std::size_t j = 0; j < size.size() && k + j < length; ++j) {
        next[k + j] += sum[k] * size[j];
      }
    }
    sum = std::move(next);
  }
  return total;
}

Pmf shifted_geometric(double mean_size) {
  Pmf size{0.0};
  const double last = 1 / mean_size;
  for (double chance = last; chance > 1e-18; chance *= 1 - last) size.push_back(chance);
  return size;
}

}  // namespace

TEST_CASE("Panjer's recursion equals the sum over event counts") {
  for (const ConsumptionRate rate : {ConsumptionRate{0.3, 100, 1.5}, ConsumptionRate{2.5, 90, 3},
                                     ConsumptionRate{40, 400, 1}, ConsumptionRate{1, 10, 8}}) {
    CAPTURE(rate.shape, rate.rate, rate.mean_size);
    const Pmf pmf = consumption_demand(rate, 60);
    const Pmf exact = compound(gamma_poisson_pmf(rate.shape, rate.rate, 60),
                               shifted_geometric(rate.mean_size), pmf.size());
    double sum = 0;
    for (std::size_t k = 0; k < pmf.size(); ++k) {
      CHECK(std::fabs(pmf[k] - exact[k]) < 1e-11);
      sum += pmf[k];
    }
    CHECK(std::fabs(sum - 1) < 1.001e-9);
    CHECK(mean(pmf) == Approx(rate.piece_rate() * 60).epsilon(1e-6));
  }
}

TEST_CASE("The general recursion gives the compound Poisson and the special one") {
  // Poisson events of mean 2: a = 0, b = 2.
  const std::vector<double> sizes{0.5, 0.25, 0.25};
  const Pmf pmf = panjer(0, 2, -2, sizes);
  const Pmf exact = compound(poisson_pmf(2), {0, 0.5, 0.25, 0.25}, pmf.size());
  for (std::size_t k = 0; k < pmf.size(); ++k) CHECK(std::fabs(pmf[k] - exact[k]) < 1e-11);
  const ConsumptionRate rate{1.7, 50, 2};
  const double t = 30.0 / 50;
  Pmf geometric = shifted_geometric(2);
  geometric.erase(geometric.begin());
  const Pmf general = panjer(t / (1 + t), 0.7 * t / (1 + t), -1.7 * std::log1p(t), geometric);
  const Pmf special = consumption_demand(rate, 30);
  for (std::size_t k = 0; k < special.size(); ++k) {
    CHECK(std::fabs(general[k] - special[k]) < 1e-12);
  }
}

TEST_CASE("A recursion whose first entry is too small for a double still adds up") {
  const Pmf pmf = consumption_demand({3000, 1, 1.5}, 1);  // ln P(0) = -2079
  double sum = 0;
  for (const double p : pmf) sum += p;
  CHECK(std::fabs(sum - 1) < 1e-8);
  CHECK(mean(pmf) == Approx(4500).epsilon(1e-7));
}

TEST_CASE("The belief has the first two moments of one over a lognormal life, per event") {
  const ConsumptionBelief belief{60, 20, 180};
  const ConsumptionRate rate = consumption_rate(belief, {}, 0);
  const double u = std::log(9.0) / (2 * 1.2815515655446004);
  CHECK(rate.shape / rate.rate == Approx(std::exp(u * u / 2) / (1.5 * 60)).epsilon(1e-12));
  const double variation = 1 / rate.shape;  // squared coefficient of variation
  CHECK(variation == Approx(std::exp(u * u) - 1).epsilon(1e-12));
  CHECK(rate.mean_size == 1.5);
}

TEST_CASE("Recorded events add to the belief: rate by events and exposure, size by pieces") {
  const ConsumptionBelief belief{60, 20, 180};
  const ConsumptionRate before = consumption_rate(belief, {}, 0);
  const std::vector<std::int64_t> sizes{1, 4, 2};
  const ConsumptionRate after = consumption_rate(belief, sizes, 400);
  CHECK(after.shape == Approx(before.shape + 3));
  CHECK(after.rate == Approx(before.rate + 400));
  CHECK(after.mean_size == Approx((3.0 + 7) / (2 + 3)));
}

TEST_CASE("Consumption outside its domain is refused") {
  const std::vector<std::int64_t> none{0};
  CHECK_THROWS_AS(consumption_rate({60, 20, 180}, none, 10), shearpin::InputError);
  CHECK_THROWS_AS(consumption_rate({60, 0, 180}, {}, 10), shearpin::InputError);
  CHECK_THROWS_AS(consumption_rate({60, 80, 180}, {}, 10), shearpin::InputError);
  CHECK_THROWS_AS(consumption_rate({60, 20, 180}, {}, -1), shearpin::InputError);
  CHECK_THROWS_AS(consumption_demand({1, 1, 0.5}, 1), shearpin::InputError);
  CHECK_THROWS_AS(consumption_demand({1, 1, 1}, -1), shearpin::InputError);
  CHECK_THROWS_AS(consumption_demand({1, 1, 1}, 1e9), shearpin::NumericError);
  CHECK(consumption_demand({1, 1, 1}, 0) == Pmf{1.0});
  const std::vector<double> half{0.5};
  CHECK_THROWS_AS(panjer(0, 1, -1, half), shearpin::InputError);
}

TEST_CASE("Losses are no demand until one is recorded, then negative binomial") {
  CHECK(loss_demand({0, 20, 3}, 1) == Pmf{1.0});
  // Gamma(0.5 + 2, 5 + 20 item-years), 3 items over half a year.
  CHECK(loss_demand({2, 20, 3}, 0.5) == gamma_poisson_pmf(2.5, 25, 1.5));
  CHECK(loss_demand({2, 20, 0}, 0.5) == Pmf{1.0});
  CHECK_THROWS_AS(loss_demand({-1, 20, 3}, 1), shearpin::InputError);
  CHECK_THROWS_AS(loss_demand({1, -20, 3}, 1), shearpin::InputError);
  CHECK_THROWS_AS(loss_demand({1, 20, 3}, -1), shearpin::InputError);
}
