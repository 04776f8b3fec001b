#include "stats/mcf.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <random>

#include "shearpin/base/error.hpp"

using namespace shearpin;
using namespace shearpin::stats;

TEST_CASE("Three systems with ends of their own, by hand") {
  // Watched to 1000, 800, 600; events at 200, 500, 900 on the first, 400 on the second.
  //   200: 3 at risk, counts (1,0,0), M = 1/3. s^2 = 1/3, Nelson s^2/3 = 1/9; robust
  //        [(2/3)^2 + 2 (1/3)^2] / 9 = 2/27; Poisson 1/9
  //   400: counts so far (1,1,0), M = 2/3: s^2 = 1/3 again, so 1/9; robust 2/27; Poisson 2/9
  //   500: counts so far (2,1,0), M = 1: s^2 = 1, so 1/3; robust 2/9; Poisson 1/3
  //   900: the first alone is at risk, M = 2: no covariance from one system; its robust share does
  //        not change; Poisson 4/3
  const std::vector<SystemWatch> systems{{0, 1000, {900, 200, 500}}, {0, 800, {400}}, {0, 600, {}}};
  const auto steps = mean_cumulative_function(systems);
  REQUIRE(steps.size() == 4);
  const double means[] = {1.0 / 3, 2.0 / 3, 1, 2};
  const double robust[] = {2.0 / 27, 2.0 / 27, 2.0 / 9, 2.0 / 9};
  const double poisson[] = {1.0 / 9, 2.0 / 9, 1.0 / 3, 4.0 / 3};
  for (std::size_t i = 0; i < 4; ++i) {
    CHECK(steps[i].mean == Approx(means[i]));
    CHECK(steps[i].robust_variance == Approx(robust[i]));
    CHECK(steps[i].poisson_variance == Approx(poisson[i]));
    CHECK(steps[i].events == 1);
    CHECK(steps[i].at_risk == (i < 3 ? 3 : 1));
  }
  CHECK(*steps[0].nelson_variance == Approx(1.0 / 9));
  CHECK(*steps[1].nelson_variance == Approx(1.0 / 9));
  CHECK(*steps[2].nelson_variance == Approx(1.0 / 3));
  CHECK_FALSE(steps[3].nelson_variance.has_value());
}

TEST_CASE("A system that enters late is at risk from then on, by hand") {
  // (0, 10] with an event at 2, (5, 10] with one at 8: 1 at risk at 2, 2 at 8: M = 1, 1.5.
  const auto steps = mean_cumulative_function(std::vector<SystemWatch>{{0, 10, {2}}, {5, 10, {8}}});
  REQUIRE(steps.size() == 2);
  CHECK(steps[0].at_risk == 1);
  CHECK(steps[0].mean == 1);
  CHECK(steps[1].at_risk == 2);
  CHECK(steps[1].mean == Approx(1.5));
  // Influence at 8: first (1-1)/1 + (0-1/2)/2 = -1/4, second (1-1/2)/2 = 1/4.
  CHECK(steps[1].robust_variance == Approx(1.0 / 8));
}

TEST_CASE("Without events there are no steps, two events of one day are two") {
  CHECK(mean_cumulative_function(std::vector<SystemWatch>{{0, 10, {}}}).empty());
  CHECK(mean_cumulative_function({}).empty());
  const auto steps = mean_cumulative_function(std::vector<SystemWatch>{{0, 9, {3, 3}}, {0, 9, {}}});
  REQUIRE(steps.size() == 1);
  CHECK(steps[0].events == 2);
  CHECK(steps[0].mean == 1);
}

TEST_CASE("Impossible watches are refused with the system's number") {
  const auto refused = [](SystemWatch system) {
    const std::vector<SystemWatch> systems{{0, 9, {}}, std::move(system)};
    CHECK_THROWS_AS(mean_cumulative_function(systems), InputError);
    CHECK_THROWS_WITH(mean_cumulative_function(systems), Catch::Contains("system 2"));
  };
  refused({5, 5, {}});
  refused({-1, 5, {}});
  refused({0, 5, {6}});
  refused({2, 5, {2}});
}

TEST_CASE("Watched to one end, the variances are those of the counts of the systems") {
  const unsigned seed = GENERATE(4u, 5u, 6u);
  INFO("seed " << seed);
  std::mt19937 random(seed);
  std::vector<SystemWatch> systems(7);
  for (SystemWatch& system : systems) {
    system.end = 100;
    for (auto k = random() % 6; k > 0; --k) {
      system.ages.push_back(1 + static_cast<double>(random() % 100));
    }
  }
  for (const McfStep& step : mean_cumulative_function(systems)) {
    double sum = 0;
    double squares = 0;
    for (const SystemWatch& system : systems) {
      const auto count = static_cast<double>(
          std::ranges::count_if(system.ages, [&](double age) { return age <= step.age; }));
      sum += count;
      squares += count * count;
    }
    const double variance = (squares - sum * sum / 7) / 6;
    CHECK(step.mean == Approx(sum / 7));
    CHECK(*step.nelson_variance == Approx(variance / 7).margin(1e-14));
    CHECK(step.robust_variance == Approx(variance / 7 * 6 / 7).margin(1e-14));
  }
}
