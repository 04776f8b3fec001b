// Counts over many lives by an inverted transform, against the renewal equation (the count tables
// at their finest), the Poisson distribution, and an inversion in extended precision.

#include <algorithm>
#include <boost/math/distributions/poisson.hpp>
#include <catch2/catch.hpp>
#include <cmath>

#include "slow_count.hpp"
#include "stocking/inverted_count.hpp"
#include "stocking/position.hpp"

using namespace shearpin::stocking;

namespace {

// P(N >= k) for k = 1 .. by the tables.
std::vector<double> by_table(double shape, const FirstUnit& first, double z) {
  Position position;
  position.state.age = first.age;
  position.state.untested = first.untested;
  position.state.down = first.down;
  position.state.exposure_per_day = 1;
  const CountTable table({.shape = shape, .z_max = z, .most = 3000});
  FirstDemand demand;
  first_demand(demand, position, Life(1, shape), z, {}, 14);
  std::vector<double> later(table.order(), 0.0);
  for (std::size_t q = 0; q < demand.rest.size(); ++q) {
    table.add_tails(demand.rest[q], demand.weight[q], 1e-15, later);
  }
  std::vector<double> tails{demand.chance};
  tails.insert(tails.end(), later.begin(), later.end());
  return tails;
}

// Largest difference of P(N >= k) over all k.
double largest_difference(const PmfBand& band, const std::vector<double>& tails) {
  double worst = 0;
  double above = 1;
  for (std::size_t i = 0; i < band.values.size(); ++i) {
    above -= band.values[i];
    const std::size_t k = band.first + i;  // above = P(N >= k + 1)
    worst = std::max(worst, std::abs(above - (k < tails.size() ? tails[k] : 0)));
  }
  return worst;
}

double lives(double count, double shape) { return count * std::tgamma(1 + 1 / shape); }

}  // namespace

TEST_CASE("Counts over many lives by a transform agree with the renewal equation") {
  for (const double shape : {0.2, 0.35, 0.5, 0.7, 1.0, 1.5, 2.0, 2.5}) {
    InvertedCount counts(shape);
    for (const double many : {20.0, 64.0, 200.0}) {
      if (shape < 0.3 && many > 100) continue;  // the table would take long
      for (const FirstUnit& first : {FirstUnit{}, FirstUnit{true, 0, 0}, FirstUnit{false, 0.01, 0},
                                     FirstUnit{false, 1.5, 0.7}, FirstUnit{false, 20, 0}}) {
        const double z = lives(many, shape);
        CAPTURE(shape, many, first.age, first.untested, first.down);
        CHECK(largest_difference(counts.count(first, z, 1e-15), by_table(shape, first, z)) < 5e-9);
      }
    }
  }
}

TEST_CASE("Counts of broad lives by a transform agree with the renewal equation at once past it") {
  for (const double shape : {0.05, 0.1, 0.2, 0.4}) {
    InvertedCount counts(shape);
    for (const double z : {kLongestTable, 3 * kLongestTable}) {
      for (const double age : {0.0, 0.001, 0.3}) {
        CAPTURE(shape, z, age);
        const FirstUnit first{false, age, 0};
        CHECK(largest_difference(counts.count(first, z, 1e-15), by_table(shape, first, z)) < 2e-8);
      }
    }
  }
}

TEST_CASE("Counts of lives without memory by a transform are Poisson") {
  InvertedCount counts(1);
  for (const double z : {64.0, 1000.0, 50000.0}) {
    const PmfBand band = counts.count({false, 3, 0}, z, 1e-15);
    const boost::math::poisson exact(z);
    double below = 0;
    double worst = 0;
    for (std::size_t i = 0; i < band.values.size(); ++i) {
      below += band.values[i];
      const auto k = static_cast<double>(band.first + i);
      worst = std::max(worst, std::abs(below - cdf(exact, k)));
    }
    CAPTURE(z);
    CHECK(worst < 1e-9);
  }
}

TEST_CASE("The transform inverted agrees with an inversion in extended precision") {
  // slow::by_laplace: other quadrature of the transform, other accuracy of the series.
  for (const double shape : {0.9, 1.4, 2.4}) {
    for (const double age : {0.0, 0.8}) {
      const double z = lives(12, shape);
      InvertedCount counts(shape);
      CAPTURE(shape, age);
      CHECK(largest_difference(counts.count({false, age, 0}, z, 1e-15),
                               slow::by_laplace(shape, age, z, 60)) < 5e-9);
    }
  }
}

TEST_CASE("Counts over many lives far past any table add up and keep their mean") {
  for (const double shape : {0.3, 0.6, 1.2, 2.4}) {
    InvertedCount counts(shape);
    const double z = lives(4000, shape);
    const PmfBand band = counts.count({true, 0, 0}, z, 1e-15);
    double sum = 0;
    double mean = 0;
    for (std::size_t i = 0; i < band.values.size(); ++i) {
      sum += band.values[i];
      mean += band.values[i] * static_cast<double>(band.first + i);
    }
    // Renewal theory (Cox 1962, sec. 4.2): M(z) = z/mu + (cv^2 - 1)/2, besides the demand at once.
    const double m = std::tgamma(1 + 1 / shape);
    const double square = std::tgamma(1 + 2 / shape) / (m * m);
    CAPTURE(shape);
    CHECK(sum == Approx(1).margin(1e-9));
    CHECK(mean == Approx(1 + 4000 + square / 2 - 1).epsilon(1e-4));
  }
}
