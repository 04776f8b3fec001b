#include "stats/trend_tests.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <limits>
#include <random>

#include "samples.hpp"
#include "shearpin/base/error.hpp"

using namespace shearpin;
using namespace shearpin::stats;
using namespace shearpin::stats::testing;

TEST_CASE("The trend of a lone event, by hand") {
  // At a quarter of the watch: U = -1/4 / sqrt(1/12) = -sqrt(3)/2.
  const LaplaceTest laplace = laplace_test(Systems{timed({25}, 100)});
  CHECK(laplace.u == Approx(-std::sqrt(3.0) / 2));
  CHECK(laplace.chances.worsening + laplace.chances.improving == Approx(1));
  CHECK(laplace.chances.two_sided == Approx(2 * laplace.chances.improving));
  // At T/e: 2 ln e = 2 with two degrees of freedom, P(chi-square <= 2) = 1 - 1/e.
  const MilitaryHandbookTest military =
      military_handbook_test(Systems{timed({100 / std::exp(1.0)}, 100)});
  CHECK(military.chi_square == Approx(2));
  CHECK(military.degrees_of_freedom == 2);
  CHECK(military.chances.worsening == Approx(1 - std::exp(-1.0)));
  CHECK(military.chances.improving == Approx(std::exp(-1.0)));
}

TEST_CASE("Watching until the last failure takes that failure out of the count, by hand") {
  // Ages 25 and 100, stopped at 100: only the 25 counts.
  const Systems stopped{until_failure({25, 100})};
  CHECK(laplace_test(stopped).u == laplace_test(Systems{timed({25}, 100)}).u);
  CHECK(military_handbook_test(stopped).chi_square == Approx(2 * std::log(4.0)));
  CHECK(military_handbook_test(stopped).degrees_of_freedom == 2);
}

TEST_CASE("Histories that cannot be are refused with the system's number") {
  const auto refused = [](EventHistory system, const std::string& word) {
    const Systems systems{timed({1}, 9), std::move(system)};
    CHECK_THROWS_AS(laplace_test(systems), InputError);
    CHECK_THROWS_WITH(military_handbook_test(systems),
                      Catch::Contains("system 2") && Catch::Contains(word));
  };
  refused(timed({0}, 9), "age 0");
  refused(timed({5, 4}, 9), "age 4");
  refused(timed({10}, 9), "age 10");
  refused(timed({}, std::numeric_limits<double>::infinity()), "inf");
  refused({{3}, 9, Termination::failure}, "9");
  refused({{}, 9, Termination::failure}, "9");
}

TEST_CASE("Too little to judge by is refused, not called no trend") {
  CHECK_THROWS_AS(laplace_test(Systems{timed({}, 9)}), InputError);
  CHECK_THROWS_AS(laplace_test({}), InputError);
  CHECK_THROWS_AS(military_handbook_test(Systems{until_failure({5})}), InputError);
}

TEST_CASE("Another unit of exposure changes nothing, and mirrored ages turn the sign of Laplace") {
  const Systems days{timed({3, 11, 29, 30}, 40), until_failure({8, 21, 22})};
  const Systems hours{timed({72, 264, 696, 720}, 960), until_failure({192, 504, 528})};
  CHECK(laplace_test(days).u == Approx(laplace_test(hours).u));
  CHECK(military_handbook_test(days).chi_square ==
        Approx(military_handbook_test(hours).chi_square));
  CHECK(laplace_test(Systems{timed({10, 11, 29, 37}, 40)}).u ==
        Approx(-laplace_test(Systems{days.front()}).u));
}

TEST_CASE("With a constant rate each test cries wolf as often as it says") {
  std::mt19937_64 random(20240601);
  std::exponential_distribution<double> gap(1.0 / 60);
  const int runs = 4000;
  int laplace = 0;
  int military = 0;
  for (int run = 0; run < runs; ++run) {
    EventHistory system = timed({}, 1000);
    for (double age = gap(random); age < 1000; age += gap(random)) {
      system.ages.push_back(age);
    }
    const Systems systems{system};
    laplace += laplace_test(systems).chances.two_sided <= 0.1 ? 1 : 0;
    military += military_handbook_test(systems).chances.two_sided <= 0.1 ? 1 : 0;
  }
  // A tenth, within four standard deviations of 4000 runs.
  CHECK(laplace == Approx(400).margin(76));
  CHECK(military == Approx(400).margin(76));
}
