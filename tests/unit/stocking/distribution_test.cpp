#include "stocking/distribution.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "shearpin/base/error.hpp"

using namespace shearpin::stocking;

TEST_CASE("A mean of 0 is no demand, and sums of Poisson counts are Poisson") {
  CHECK(poisson_pmf(0) == Pmf{1.0});
  CHECK(gamma_poisson_pmf(2, 3, 0) == Pmf{1.0});
  const Pmf sum = convolve(poisson_pmf(1.2), poisson_pmf(0.7));
  const Pmf exact = poisson_pmf(1.9);
  for (std::size_t k = 0; k < sum.size(); ++k) CHECK(std::fabs(sum[k] - exact[k]) < 1e-12);
  const Pmf many = convolve_copies(poisson_pmf(0.31), 500);
  const Pmf direct = poisson_pmf(155);
  for (std::size_t k = 0; k < many.size(); ++k) CHECK(std::fabs(many[k] - direct[k]) < 1e-9);
  CHECK(convolve_copies(poisson_pmf(3), 0) == Pmf{1.0});
}

TEST_CASE("Closed forms stay right where their first entries are too small for a double") {
  // Mean 2000: P(X = 0) is e^-2000. The mode's chance is 1/sqrt(2 pi 2000) (1 - 1/24000).
  const Pmf pmf = poisson_pmf(2000);
  CHECK(pmf[0] == 0);
  CHECK(pmf[2000] == Approx(1 / std::sqrt(2 * M_PI * 2000) * (1 - 1 / 24000.0)).epsilon(1e-8));
  CHECK(mean(pmf) == Approx(2000).epsilon(1e-9));
  CHECK(mean(gamma_poisson_pmf(4000, 1, 0.5)) == Approx(2000).epsilon(1e-9));
  CHECK(mean(poisson_pmf(1e6)) == Approx(1e6).epsilon(1e-9));
}

TEST_CASE("Chances and shortages follow their definitions to the last entry") {
  const Pmf pmf{0.5, 0.3, 0.2};
  CHECK(chance_at_most(pmf, -1) == 0);
  CHECK(chance_at_most(pmf, 0) == 0.5);
  CHECK(chance_at_most(pmf, 5) == 1);
  CHECK(chance_above(pmf, -1) == 1);
  CHECK(chance_above(pmf, 0) == 0.5);
  CHECK(chance_above(pmf, 2) == 0);
  CHECK(mean(pmf) == Approx(0.7));
  CHECK(expected_shortage(pmf, 0) == Approx(0.7));
  CHECK(expected_shortage(pmf, 1) == Approx(0.2));
  CHECK(expected_shortage(pmf, 2) == 0);
}

TEST_CASE("The smallest covering stock never rounds outward and takes a target met to the digit") {
  const Pmf pmf{0.5, 0.3, 0.2};
  CHECK(smallest_covering(pmf, 0) == 0);
  CHECK(smallest_covering(pmf, 0.5) == 0);
  CHECK(smallest_covering(pmf, 0.500001) == 1);
  CHECK(smallest_covering(pmf, 0.8) == 1);
  CHECK(smallest_covering(pmf, kLargestChance) == 2);
  CHECK_THROWS_AS(smallest_covering(pmf, 1), shearpin::InputError);
  CHECK_THROWS_AS(smallest_covering(pmf, -0.1), shearpin::InputError);
  CHECK_THROWS_AS(smallest_covering(pmf, std::nan("")), shearpin::InputError);
}

TEST_CASE("Trimming drops no more than the tail and keeps one entry") {
  Pmf pmf{0.9, 0.1, 4e-10, 5e-10};
  trim(pmf);
  CHECK(pmf.size() == 2);
  Pmf tail_cutoff{1e-12};
  trim(tail_cutoff);
  CHECK(tail_cutoff.size() == 1);
}

TEST_CASE("Means and rates outside the domain are refused") {
  CHECK_THROWS_AS(poisson_pmf(-1), shearpin::InputError);
  CHECK_THROWS_AS(poisson_pmf(std::nan("")), shearpin::InputError);
  CHECK_THROWS_AS(poisson_pmf(1e7), shearpin::NumericError);
  CHECK_THROWS_AS(gamma_poisson_pmf(0, 1, 1), shearpin::InputError);
  CHECK_THROWS_AS(gamma_poisson_pmf(1, 0, 1), shearpin::InputError);
  CHECK_THROWS_AS(gamma_poisson_pmf(1, 1, -1), shearpin::InputError);
  CHECK_THROWS_AS(gamma_poisson_pmf(1, 1, 1e9), shearpin::NumericError);
}
