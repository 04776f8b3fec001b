#include "shearpin/stats/trend_tests.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <limits>
#include <numeric>
#include <random>

#include "samples.hpp"
#include "shearpin/base/error.hpp"
#include "stats/reversal_law.hpp"

using namespace shearpin;
using namespace shearpin::stats;
using namespace shearpin::stats::testing;

namespace {

long reversals_of(const std::vector<int>& order) {
  long reversals = 0;
  for (std::size_t j = 0; j < order.size(); ++j) {
    for (std::size_t i = 0; i < j; ++i) {
      reversals += order[i] < order[j] ? 1 : 0;
    }
  }
  return reversals;
}

/// How many orders of `size` different intervals have each number of reversals, one by one.
std::vector<double> counted_orders(int size) {
  std::vector<int> order(static_cast<std::size_t>(size));
  std::iota(order.begin(), order.end(), 0);
  std::vector<double> counts(static_cast<std::size_t>(size * (size - 1) / 2 + 1), 0);
  do {
    counts[static_cast<std::size_t>(reversals_of(order))] += 1;
  } while (std::next_permutation(order.begin(), order.end()));
  return counts;
}

}  // namespace

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

TEST_CASE("Three intervals, by hand") {
  // 1, 2, 3: every later one is longer: 3 reversals of 3, one order of six.
  const ReversalTest growing = reversal_test(Systems{timed({1, 3, 6}, 10)});
  CHECK(growing.reversals == 3);
  CHECK(growing.most == 3);
  CHECK(growing.exact);
  CHECK(growing.chances.improving == Approx(1.0 / 6));
  CHECK(growing.chances.worsening == Approx(1));
  CHECK(growing.chances.two_sided == Approx(1.0 / 3));
  // 3, 2, 1 the other way round, watched until the last failure: all three intervals count.
  const ReversalTest shrinking = reversal_test(Systems{until_failure({3, 5, 6})});
  CHECK(shrinking.reversals == 0);
  CHECK(shrinking.chances.worsening == Approx(1.0 / 6));
  // Equal intervals are no reversal.
  CHECK(reversal_test(Systems{timed({2, 4, 6}, 6)}).reversals == 0);
}

TEST_CASE("Exact chances of reversals equal those of every order written out") {
  for (int size = 2; size <= 7; ++size) {
    const auto counts = counted_orders(size);
    const double all = std::accumulate(counts.begin(), counts.end(), 0.0);
    const std::vector<long> sizes{size};
    const ReversalLaw law(sizes);
    double below = 0;
    for (std::size_t r = 0; r < counts.size(); ++r) {
      CHECK(law.at_least(static_cast<long>(r)) == Approx(1 - below / all));
      below += counts[r];
      CHECK(law.at_most(static_cast<long>(r)) == Approx(below / all));
    }
  }
}

TEST_CASE("Reversals of two systems add up as independent counts do") {
  const auto three = counted_orders(3);
  const auto four = counted_orders(4);
  const std::vector<long> sizes{4, 1, 3};
  const ReversalLaw law(sizes);
  double at_most_two = 0;
  for (std::size_t i = 0; i <= 2; ++i) {
    for (std::size_t j = 0; i + j <= 2; ++j) {
      at_most_two += three[i] * four[j] / (6 * 24);
    }
  }
  CHECK(law.at_most(2) == Approx(at_most_two));
  CHECK(law.at_least(9) == Approx(1.0 / (6 * 24)));
  CHECK(law.at_least(0) == Approx(1));
}

TEST_CASE("Far tails of the reversals keep their digits") {
  const std::vector<long> sizes{20};
  const ReversalLaw law(sizes);
  CHECK(law.at_most(0) == Approx(1 / std::tgamma(21.0)).epsilon(1e-12));
  CHECK(law.at_least(190) == Approx(1 / std::tgamma(21.0)).epsilon(1e-12));
  CHECK(law.at_least(189) == Approx(20 / std::tgamma(21.0)).epsilon(1e-12));
}

TEST_CASE("Beyond the exact count the normal law takes over without a jump") {
  std::mt19937 random(7);
  std::vector<double> ages;
  double age = 0;
  for (int i = 0; i < 201; ++i) {
    ages.push_back(age += 1 + static_cast<double>(random() % 1'000'000));
  }
  const ReversalTest test = reversal_test(Systems{timed(ages, age)});
  CHECK(test.most == 20'100);
  CHECK_FALSE(test.exact);
  const std::vector<long> sizes{201};
  const ReversalLaw law(sizes);
  CHECK(test.chances.improving == Approx(law.at_least(test.reversals)).margin(3e-4));
  CHECK(test.chances.worsening == Approx(law.at_most(test.reversals)).margin(3e-4));
}

TEST_CASE("Histories that cannot be are refused with the system's number") {
  const auto refused = [](EventHistory system, const std::string& word) {
    const Systems systems{timed({1}, 9), std::move(system)};
    CHECK_THROWS_AS(laplace_test(systems), InputError);
    CHECK_THROWS_WITH(military_handbook_test(systems), Catch::Contains("system 2"));
    CHECK_THROWS_WITH(reversal_test(systems), Catch::Contains(word));
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
  CHECK_THROWS_AS(reversal_test(Systems{timed({5}, 9), timed({3}, 9)}), InputError);
}

TEST_CASE("Another unit of exposure changes nothing, and mirrored ages turn the sign of Laplace") {
  const Systems days{timed({3, 11, 29, 30}, 40), until_failure({8, 21, 22})};
  const Systems hours{timed({72, 264, 696, 720}, 960), until_failure({192, 504, 528})};
  CHECK(laplace_test(days).u == Approx(laplace_test(hours).u));
  CHECK(military_handbook_test(days).chi_square ==
        Approx(military_handbook_test(hours).chi_square));
  CHECK(reversal_test(days).reversals == reversal_test(hours).reversals);
  CHECK(laplace_test(Systems{timed({10, 11, 29, 37}, 40)}).u ==
        Approx(-laplace_test(Systems{days.front()}).u));
}

TEST_CASE("With a constant rate each test cries wolf as often as it says") {
  std::mt19937_64 random(20240601);
  std::exponential_distribution<double> gap(1.0 / 60);
  const int runs = 4000;
  int laplace = 0;
  int military = 0;
  int reversals = 0;
  for (int run = 0; run < runs; ++run) {
    EventHistory system = timed({}, 1000);
    for (double age = gap(random); age < 1000; age += gap(random)) {
      system.ages.push_back(age);
    }
    const Systems systems{system};
    laplace += laplace_test(systems).chances.two_sided <= 0.1 ? 1 : 0;
    military += military_handbook_test(systems).chances.two_sided <= 0.1 ? 1 : 0;
    reversals += reversal_test(systems).chances.two_sided <= 0.1 ? 1 : 0;
  }
  // A tenth, within four standard deviations of 4000 runs; the count of reversals takes whole
  // numbers only, so its chance is at most a tenth.
  CHECK(laplace == Approx(400).margin(76));
  CHECK(military == Approx(400).margin(76));
  CHECK(reversals <= 476);
  CHECK(reversals >= 240);
}
