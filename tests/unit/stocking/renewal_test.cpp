#include <catch2/catch.hpp>
#include <cmath>

#include "oracles/renewal.hpp"
#include "oracles/small_shape_table.hpp"
#include "shearpin/base/error.hpp"
#include "slow_count.hpp"
#include "stocking/count_table.hpp"

using namespace shearpin::stocking;
using shearpin::stats::Weibull;

namespace {

double worst_tail(const Pmf& pmf, const std::vector<double>& tails) {
  double worst = 0;
  for (std::size_t k = 1; k <= tails.size(); ++k) {
    worst = std::max(worst, std::fabs(chance_above(pmf, static_cast<long>(k) - 1) - tails[k - 1]));
  }
  return worst;
}

}  // namespace

TEST_CASE("Counts of a position agree with the inverted Laplace transform") {
  // The method is exact but slow; its own error is 1e-9, and 1e-8 or more at shape 0.5.
  struct Case {
    double shape, age, exposure, tolerance;
  };
  for (const Case& c : {Case{0.5, 0, 1, 2e-8}, Case{0.5, 2, 4, 2e-8}, Case{0.7, 0, 4, 4e-9},
                        Case{0.9, 0.3, 9, 4e-9}, Case{1.3, 0, 4, 2e-9}, Case{1.3, 0.02, 1, 2e-9},
                        Case{1.9, 3, 2, 2e-9}, Case{2.7, 0.5, 9, 2e-9}, Case{4.3, 0, 4, 2e-9},
                        Case{6, 0.9, 1.5, 2e-9}, Case{8, 0, 9, 2e-9}, Case{8, 1.2, 1.1, 2e-9}}) {
    CAPTURE(c.shape, c.age, c.exposure);
    const Pmf pmf = renewal_count({1, c.shape}, c.age, c.exposure);
    const std::vector<double> tails =
        slow::by_laplace(c.shape, c.age, c.exposure, static_cast<int>(pmf.size()) + 2);
    CHECK(worst_tail(pmf, tails) < c.tolerance);
  }
}

TEST_CASE("Shape 1 gives Poisson counts whatever the age, also over fifty lives") {
  for (const double exposure : {0.001, 0.4, 2.4, 2.6, 7.0, 50.0}) {
    for (const double age : {0.0, 0.01, 5.0, 50.0}) {
      CAPTURE(exposure, age);
      const Pmf pmf = renewal_count({1, 1}, age, exposure);
      const Pmf exact = poisson_pmf(exposure);
      for (std::size_t k = 0; k < exact.size(); ++k) {
        CHECK(std::fabs((k < pmf.size() ? pmf[k] : 0) - exact[k]) < 2e-9);
      }
    }
  }
}

TEST_CASE("No exposure means no failure, and scale only sets the unit") {
  CHECK(renewal_count({3, 2}, 1, 0) == Pmf{1.0});
  CHECK(renewal_function({3, 2}, 0) == 0);
  const Pmf lives = renewal_count({1, 2.2}, 0.4, 1.7);
  const Pmf hours = renewal_count({250, 2.2}, 100, 425);
  REQUIRE(lives.size() == hours.size());
  for (std::size_t k = 0; k < lives.size(); ++k) CHECK(std::fabs(lives[k] - hours[k]) < 1e-12);
}

TEST_CASE("The renewal function is the mean count, and tends to Smith's straight line") {
  for (const double shape : {0.8, 1.6, 3.5, 8.0}) {
    CAPTURE(shape);
    CHECK(std::fabs(renewal_function({1, shape}, 3.3) - mean(renewal_count({1, shape}, 0, 3.3))) <
          2e-8);
    // Smith 1954: M(t) -> t/mu + (sigma^2 - mu^2)/(2 mu^2).
    const double mu = std::tgamma(1 + 1 / shape);
    const double second = std::tgamma(1 + 2 / shape);
    const double line = 40 / mu + (second - 2 * mu * mu) / (2 * mu * mu);
    CHECK(std::fabs(renewal_function({1, shape}, 40) - line) < (shape < 1 ? 1e-4 : 1e-7));
  }
}

TEST_CASE("Tables of every quality agree within what they promise") {
  for (const double shape : {0.5, 0.8, 1.2, 2.0, 3.3, 5.0, 8.0}) {
    const CountTable fine({.shape = shape, .z_max = 12});
    const CountTable medium({.shape = shape,
                             .z_max = 12,
                             .first = TableQuality::medium,
                             .later = TableQuality::medium});
    const CountTable rough({.shape = shape, .z_max = 12, .later = TableQuality::rough});
    double worst_medium = 0;
    double worst_rough = 0;
    for (double z = 0.05; z < 12; z += 0.37) {
      std::vector<double> a(60, 0.0), b(60, 0.0), c(60, 0.0);
      fine.add_tails(z, 1, 1e-15, a);
      medium.add_tails(z, 1, 1e-15, b);
      rough.add_tails(z, 1, 1e-15, c);
      for (std::size_t k = 0; k < 60; ++k) {
        worst_medium = std::max(worst_medium, std::fabs(a[k] - b[k]));
        worst_rough = std::max(worst_rough, std::fabs(a[k] - c[k]));
      }
    }
    CAPTURE(shape, worst_medium, worst_rough);
    CHECK(worst_medium < 5e-7);
    CHECK(worst_rough < 1e-4);
  }
}

TEST_CASE("Counts past the longest table agree with a table to a few parts in a thousand") {
  // 64 scales is where the series takes over; 60 is the last comparable length.
  for (const double shape : {0.8, 1.0, 2.0, 6.0}) {
    const Pmf below = renewal_count({1, shape}, 0.2, 63.9);
    const Pmf above = renewal_count({1, shape}, 0.2, 64.1);
    CAPTURE(shape);
    for (const long n : {40L, 55L, 60L, 64L, 70L, 80L}) {
      // A step of 0.2 lives moves P(N <= n) by at most 0.2 / (sd sqrt(2 pi)) or so.
      const double sd = std::sqrt(
          64 * (std::tgamma(1 + 2 / shape) / std::pow(std::tgamma(1 + 1 / shape), 2) - 1) /
          std::tgamma(1 + 1 / shape));
      CHECK(std::fabs(chance_at_most(below, n) - chance_at_most(above, n)) <
            0.2 / (std::tgamma(1 + 1 / shape) * sd * 2.5) + 5e-4);
      CHECK(chance_at_most(below, n) > chance_at_most(above, n) - 5e-4);
    }
  }
}

TEST_CASE("Tables of small shapes agree with one polynomial in the cumulative hazard") {
  // SmallShapeTable lays no panels at all; both solve the renewal equation apart.
  for (const double shape : {0.06, 0.1, 0.15, 0.2, 0.24}) {
    const CountTable table({.shape = shape, .z_max = 64});
    const SmallShapeTable whole(shape, 64, 40);
    for (double z = 1e-6; z <= 64; z *= 1.9) {
      CAPTURE(shape, z);
      std::vector<double> a(40, 0.0);
      std::vector<double> b(40, 0.0);
      table.add_tails(z, 1, 0, a);
      whole.add_tails(z, 1, b);
      for (std::size_t k = 0; k < a.size(); ++k) CHECK(std::fabs(a[k] - b[k]) < 5e-8);
    }
  }
}

TEST_CASE("A long table of shape 1 is Poisson to the end") {
  const double z = 512;
  const CountTable table({.shape = 1, .z_max = z, .most = 1200});
  std::vector<double> tails(table.order(), 0.0);
  table.add_tails(z, 1, 0, tails);
  double below = 0;
  for (std::size_t k = 0; k < tails.size(); ++k) {
    const auto n = static_cast<double>(k);
    below += std::exp(n * std::log(z) - z - std::lgamma(n + 1));
    CHECK(std::fabs(tails[k] - (1 - below)) < 1e-9);
  }
}

TEST_CASE("Lives, ages and exposures outside the domain are refused") {
  CHECK_THROWS_AS(renewal_count({0, 1}, 0, 1), shearpin::InputError);
  CHECK_THROWS_AS(renewal_count({1, 0.01}, 0, 1), shearpin::InputError);
  CHECK_THROWS_AS(renewal_count({1, 1}, -1, 1), shearpin::InputError);
  CHECK_THROWS_AS(renewal_count({1, 1}, 0, -1), shearpin::InputError);
  CHECK_THROWS_AS(renewal_count({1, 1}, 0, 2e5), shearpin::NumericError);
  CHECK_THROWS_AS(renewal_count({1, 1}, 0, std::nan("")), shearpin::InputError);
}
