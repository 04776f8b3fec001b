#include "report/svg.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <limits>
#include <stdexcept>

#include "shearpin/base/date.hpp"

using namespace shearpin;
using namespace shearpin::report;

namespace {

Date date(const char* text) { return parse_date(text, Date{}); }

}  // namespace

TEST_CASE("nice_step is 1, 2 or 5 times a power of ten, and the least that will do") {
  CHECK(nice_step(1) == 1);
  CHECK(nice_step(1.01) == 2);
  CHECK(nice_step(2) == 2);
  CHECK(nice_step(3) == 5);
  CHECK(nice_step(5.5) == 10);
  CHECK(nice_step(0.03) == Approx(0.05));
  CHECK(nice_step(1000) == Approx(1000));
  CHECK(nice_step(0.1 + 0.2) == Approx(0.5));
  // 0.1 * 3 / 3 is a hair above 0.1, and means 0.1.
  CHECK(nice_step(0.1 * 3 / 3) == Approx(0.1));
  for (int power = -12; power <= 12; ++power) {
    for (const double times : {1.0, 2.0, 5.0}) {
      const double step = times * std::pow(10.0, power);
      CHECK(nice_step(step) == Approx(step).epsilon(1e-9));
      CHECK(nice_step(step * 1.001) > step * 1.001);
      CHECK(nice_step(step * 1.001) <= step * 2.5001);
    }
  }
}

TEST_CASE("nice_step refuses what is no length") {
  for (const double bad : {0.0, -1.0, std::numeric_limits<double>::infinity(),
                           std::numeric_limits<double>::quiet_NaN()}) {
    CHECK_THROWS_AS(nice_step(bad), std::logic_error);
  }
}

TEST_CASE("a scale begins at zero, covers what is asked and has no more steps than asked") {
  CHECK(scale_to(12, 6).ticks == std::vector<double>{0, 2, 4, 6, 8, 10, 12});
  CHECK(scale_to(12.5, 6).ticks == std::vector<double>{0, 5, 10, 15});
  CHECK(scale_to(100, 4).ticks == std::vector<double>{0, 50, 100});
  CHECK(scale_to(0, 5).ticks == std::vector<double>{0, 1});
  CHECK(scale_to(2, 6, true).ticks == std::vector<double>{0, 1, 2});
  CHECK(scale_to(2, 6, false).ticks.size() == 5);
  CHECK(scale_to(0.3, 6, true).ticks == std::vector<double>{0, 1});
  for (int steps = 1; steps <= 8; ++steps) {
    for (double most = 1e-9; most < 1e12; most *= 1.7) {
      const Scale scale = scale_to(most, steps);
      INFO(most << " in " << steps);
      CHECK(scale.ticks.front() == 0);
      CHECK(scale.top == scale.ticks.back());
      CHECK(scale.top >= most * (1 - 1e-9));
      CHECK(scale.ticks.size() <= static_cast<std::size_t>(steps) + 1);
    }
  }
}

TEST_CASE("a share of a scale runs from 0 to 1 and is held there") {
  const Scale scale = scale_to(10, 5);
  CHECK(scale.share(0) == 0);
  CHECK(scale.share(5) == Approx(0.5));
  CHECK(scale.share(10) == 1);
  CHECK(scale.share(11) == 1);
  CHECK(scale.share(-1) == 0);
}

TEST_CASE("days along an axis: whole days, weeks, then twice as many") {
  const Date from = date("2026-06-01");
  CHECK(date_scale(from, from, 3).ticks == std::vector<Date>{from});
  CHECK(date_scale(from, from, 3).share(from) == 0);
  CHECK(date_scale(from, date("2026-06-04"), 3).ticks.size() == 4);
  const DateScale month = date_scale(from, date("2026-07-01"), 3);
  CHECK(month.ticks == std::vector<Date>{from, date("2026-06-15"), date("2026-06-29")});
  CHECK(month.share(date("2026-06-16")) == Approx(0.5));
  CHECK(month.share(date("2026-05-01")) == 0);
  for (int days = 0; days < 4000; days += 13) {
    const DateScale scale = date_scale(from, from + std::chrono::days(days), 3);
    CHECK(scale.ticks.size() <= 4);
    CHECK(scale.ticks.back() <= scale.to);
  }
  CHECK_THROWS_AS(date_scale(from, date("2026-05-31"), 3), std::logic_error);
}
