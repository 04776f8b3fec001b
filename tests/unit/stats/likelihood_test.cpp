#include <catch2/catch.hpp>
#include <cmath>

#include "shearpin/base/error.hpp"
#include "stats/weibull_likelihood.hpp"

using namespace shearpin;
using namespace shearpin::stats;

TEST_CASE("Each kind of record gives its closed form") {
  // Worked by hand with scale 100, shape 2: H(a) = (a/100)^2, h(a) = a/5000.
  const Weibull life{100, 2};
  const auto of = [&](LifeRecord record) { return log_likelihood(life, {&record, 1}); };
  CHECK(of({LifeKind::failed, 0, 0, 50}) == Approx(std::log(50.0 / 5000) - 0.25));
  CHECK(of({LifeKind::failed, 30, 0, 50}) == Approx(std::log(50.0 / 5000) - (0.25 - 0.09)));
  CHECK(of({LifeKind::alive, 0, 0, 50}) == Approx(-0.25));
  CHECK(of({LifeKind::alive, 30, 0, 50}) == Approx(-(0.25 - 0.09)));
  CHECK(of({LifeKind::interval, 0, 30, 50}) ==
        Approx(-0.09 + std::log(1 - std::exp(-(0.25 - 0.09)))));
  CHECK(of({LifeKind::repaired, 0, 0, 50}) == Approx(std::log(50.0 / 5000)));
  CHECK(log_likelihood(life, {}) == 0);
}

TEST_CASE("Nearly equal ages of an interval lose no digits") {
  const Weibull life{100, 2};
  const LifeRecord record{LifeKind::interval, 0, 50, 50 + 1e-9};
  // For a short interval the chance is h(50) times its length, times survival.
  CHECK(log_likelihood(life, {&record, 1}) ==
        Approx(std::log(50.0 / 5000 * 1e-9) - 0.25).epsilon(1e-6));
}

TEST_CASE("Impossible records are refused with their number") {
  const std::vector<LifeRecord> records{{LifeKind::alive, 0, 0, 5}, {LifeKind::failed, 0, 0, 0}};
  CHECK_THROWS_AS(check_records(records), InputError);
  CHECK_THROWS_WITH(check_records(records), Catch::Contains("2"));
  CHECK_THROWS_AS(log_likelihood({0, 1}, {}), InputError);
}

TEST_CASE("Failures and exposure are counted as the report shows them") {
  const std::vector<LifeRecord> records{{LifeKind::failed, 0, 0, 10},
                                        {LifeKind::alive, 5, 0, 20},
                                        {LifeKind::interval, 0, 10, 30},
                                        {LifeKind::repaired, 0, 0, 7}};
  CHECK(failure_count(records) == 3);
  CHECK(exposure_sum(records) == Approx(10 + 15 + 20));
}
