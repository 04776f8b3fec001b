#include "stats/kaplan_meier.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <random>

#include "shearpin/base/error.hpp"

using namespace shearpin;
using namespace shearpin::stats;

namespace {

LifeRecord failed(double exit, double entry = 0) { return {LifeKind::failed, entry, 0, exit}; }
LifeRecord alive(double exit, double entry = 0) { return {LifeKind::alive, entry, 0, exit}; }

}  // namespace

TEST_CASE("Ties, a tie with a censoring, a lone failure and a lone censoring, by hand") {
  // Six lives: two fail at 2; at 3 one fails and one is taken off good; one is taken off at 4; one
  // fails at 5.
  //   age 2: 6 at risk, 2 fail: S = 4/6 = 2/3,     var = (2/3)^2 (2/(6*4))            = 1/27
  //   age 3: 4 at risk, 1 fails: S = 2/3 3/4 = 1/2, var = (1/2)^2 (1/12 + 1/(4*3))     = 1/24
  //   age 5: 1 at risk, 1 fails: S = 0, no variance
  const std::vector<LifeRecord> records{alive(3), failed(2), failed(5),
                                        alive(4), failed(2), failed(3)};
  const auto steps = kaplan_meier(records);
  REQUIRE(steps.size() == 3);
  CHECK(steps[0].age == 2);
  CHECK(steps[0].at_risk == 6);
  CHECK(steps[0].failures == 2);
  CHECK(steps[0].survival == Approx(2.0 / 3));
  CHECK(*steps[0].standard_error == Approx(std::sqrt(1.0 / 27)));
  CHECK(steps[1].at_risk == 4);
  CHECK(steps[1].survival == Approx(0.5));
  CHECK(*steps[1].standard_error == Approx(std::sqrt(1.0 / 24)));
  CHECK(steps[2].at_risk == 1);
  CHECK(steps[2].survival == 0);
  CHECK_FALSE(steps[2].standard_error.has_value());
  CHECK_FALSE(survival_interval(steps[2], 0.9).has_value());
}

TEST_CASE("Units that enter late are at risk only from then on, by hand") {
  // (0, 4], (3, 6], (5, 8], all failing: 2 at risk at 4, 2 at 6, 1 at 8; one enters at 4 itself and
  // is not at risk there.
  const std::vector<LifeRecord> records{failed(4), failed(6, 3), failed(8, 5), alive(5, 4)};
  const auto steps = kaplan_meier(records);
  REQUIRE(steps.size() == 3);
  CHECK(steps[0].at_risk == 2);
  CHECK(steps[0].survival == Approx(0.5));
  CHECK(steps[1].at_risk == 2);
  CHECK(steps[1].survival == Approx(0.25));
  CHECK(steps[2].survival == 0);
}

TEST_CASE("A gap with one unit at risk takes the estimate to 0 for good") {
  const auto steps = kaplan_meier(std::vector<LifeRecord>{failed(2), failed(9, 5), alive(12, 6)});
  REQUIRE(steps.size() == 2);
  CHECK(steps[0].survival == 0);
  CHECK(steps[1].at_risk == 2);
  CHECK(steps[1].survival == 0);
  CHECK_FALSE(steps[1].standard_error.has_value());
}

TEST_CASE("Without failures there is no step, a life of no length counts nowhere") {
  CHECK(kaplan_meier({}).empty());
  CHECK(kaplan_meier(std::vector<LifeRecord>{alive(7)}).empty());
  const auto steps = kaplan_meier(std::vector<LifeRecord>{failed(4), alive(4, 4), alive(0)});
  REQUIRE(steps.size() == 1);
  CHECK(steps[0].at_risk == 1);
}

TEST_CASE("Limits stay inside 0 and 1 and widen with the level") {
  const auto steps =
      kaplan_meier(std::vector<LifeRecord>{failed(2), alive(3), alive(4), failed(5), alive(6)});
  for (const auto scale : {SurvivalScale::plain, SurvivalScale::log, SurvivalScale::log_log}) {
    for (const KaplanMeierStep& step : steps) {
      const SurvivalInterval narrow = survival_interval(step, 0.5, scale).value();
      const SurvivalInterval wide = survival_interval(step, 0.99, scale).value();
      CHECK(wide.lower >= 0);
      CHECK(wide.lower <= narrow.lower);
      CHECK(narrow.lower < step.survival);
      CHECK(step.survival < narrow.upper);
      CHECK(narrow.upper <= wide.upper);
      CHECK(wide.upper <= 1);
    }
  }
  CHECK_THROWS_AS(survival_interval(steps[0], 1.0), InputError);
}

TEST_CASE("Records without an age of failure are refused by number") {
  const std::vector<LifeRecord> records{failed(4), {LifeKind::interval, 0, 3, 5}};
  CHECK_THROWS_AS(kaplan_meier(records), InputError);
  CHECK_THROWS_WITH(kaplan_meier(records), Catch::Contains("life record 2"));
  CHECK_THROWS_AS(kaplan_meier(std::vector<LifeRecord>{{LifeKind::repaired, 0, 0, 5}}), InputError);
  CHECK_THROWS_AS(kaplan_meier(std::vector<LifeRecord>{failed(3, 4)}), InputError);
}

TEST_CASE("Order does not matter, and without censoring the estimate is the share still alive") {
  const unsigned seed = GENERATE(1u, 2u, 3u);
  INFO("seed " << seed);
  std::mt19937 random(seed);
  std::vector<LifeRecord> records;
  for (int i = 0; i < 40; ++i) {
    records.push_back(failed(1 + static_cast<double>(random() % 30)));
  }
  const auto steps = kaplan_meier(records);
  std::shuffle(records.begin(), records.end(), random);
  const auto shuffled = kaplan_meier(records);
  REQUIRE(steps.size() == shuffled.size());
  for (std::size_t i = 0; i < steps.size(); ++i) {
    CHECK(steps[i].survival == shuffled[i].survival);
    const auto left = static_cast<double>(std::ranges::count_if(
        records, [&](const LifeRecord& record) { return record.exit > steps[i].age; }));
    CHECK(steps[i].survival == Approx(left / 40).margin(1e-14));
    if (steps[i].standard_error) {  // Greenwood is then the binomial S (1 - S) / n
      CHECK(*steps[i].standard_error == Approx(std::sqrt(left / 40 * (1 - left / 40) / 40)));
    }
  }
}
