// What to do before a failure: replacing in time, testing what fails unseen, and what a condition
// does to a life.

#include <catch2/catch.hpp>

#include "advice/advice_world.hpp"

using namespace shearpin;
using namespace shearpin::advice;
using shearpin::advice::testing::AdviceWorld;
using shearpin::advice::testing::day;

namespace {

/// All but sure that lives are Weibull with this scale and shape, in days.
domain::ComponentClass& sure_class(AdviceWorld& world, const char* key, double scale,
                                   double shape) {
  world.edit().policy.set("shape-log-sd", 0.01);
  auto& one = world.add_class(key);
  one.life_median = scale;
  one.life_low = scale * 0.999;
  one.life_high = scale * 1.001;
  one.shape = shape;
  return one;
}

domain::ConditionPeriod& add_condition(AdviceWorld& world, const char* name, Date from,
                                       std::optional<Date> to) {
  domain::ConditionPeriod period;
  period.condition = name;
  period.from = from;
  period.to = to;
  world.edit().conditions.push_back(period);
  return world.edit().conditions.back();
}

/// One place of a part, a unit failing and replaced after so many days each from 2024-01-01 on, up
/// to the day of the last.
void add_run(AdviceWorld& world, const char* key, const char* class_key,
             const std::vector<int>& lives) {
  world.add_part(key, class_key);
  world.add_position(key, key);
  Date fitted = day(2024, 1, 1);
  for (const int days : lives) {
    world.add_life(key, 1, fitted);
    fitted += std::chrono::days(days);
    world.end_life(fitted, domain::EndKind::failed, domain::PlaceState::fitted);
  }
  world.add_life(key, 1, fitted);
  world.edit().as_of = fitted;
}

}  // namespace

TEST_CASE("The replacement age of a known wear-out") {
  // Barlow & Hunter 1960, policy I: shape 3, scale 1000, 20 planned against 110 at failure; R 4.2.2
  // uniroot on h(T) int_0^T R - F(T) = 20/90: T = 482.98 days, 48.9 % saved.
  AdviceWorld world;
  sure_class(world, "belt", 1000, 3);
  world.add_part("belt", "belt").price = Money{1000};
  auto& position = world.add_position("belt", "belt");
  position.cost_of_day = Money{10000};
  const auto line = rate(world, "belt").replacement;
  REQUIRE(line);
  CHECK(line->cost_planned == 20);   // 10 for the part, a tenth of a day without at 100
  CHECK(line->cost_failure == 110);  // and a whole day
  REQUIRE(line->age);
  CHECK(*line->age == Approx(482.98).epsilon(0.01));
  CHECK(line->gain == Approx(0.4887).margin(0.005));
  CHECK(line->belief);  // no failure on record yet, however sure the class's shape
}

TEST_CASE("With three failures on record a replacement age is more than a belief") {
  AdviceWorld world;
  sure_class(world, "belt", 100, 3);
  add_run(world, "belt", "belt", {100, 90});
  world.catalogue().parts.back().price = Money{1000};
  CHECK(rate(world, "belt").replacement.value().belief);

  AdviceWorld third;
  sure_class(third, "belt", 100, 3);
  add_run(third, "belt", "belt", {100, 90, 95});
  third.catalogue().parts.back().price = Money{1000};
  const auto line = rate(third, "belt").replacement;
  REQUIRE(line);
  CHECK(line->chance_wears_out > 0.9);
  CHECK_FALSE(line->belief);
}

TEST_CASE("Replacing what does not age never pays") {
  // A constant rate has no best age (Barlow & Proschan 1965, from memory).
  AdviceWorld world;
  world.add_fitted("fuse", Money{40}, 1);
  const auto line = rate(world, "fuse").replacement;
  REQUIRE(line);
  CHECK_FALSE(line->age);
}

TEST_CASE("No replacement age where nothing calls for the part, it fails unseen, or has no price") {
  AdviceWorld world;
  world.add_fitted("fuse", Money{40}, 1);
  world.add_part("spare", "rare").price = Money{40};
  CHECK_FALSE(rate(world, "spare").replacement);
  world.catalogue().parts.front().price.reset();
  CHECK_FALSE(rate(world, "fuse").replacement);
  world.catalogue().parts.front().price = Money{40};
  world.catalogue().classes.front().hidden = true;
  CHECK_FALSE(rate(world, "fuse").replacement);
  CHECK(rate(world, "fuse").test_interval);
}

TEST_CASE("The test interval of a known constant rate does not mind the age") {
  // 1 - (1 - e^-x)/x = 0.01 at x = 56.376/2800 (R 4.2.2 uniroot); the rule of thumb, 2 x 0.01 x
  // 2800 = 56, is a little short.
  AdviceWorld world;
  auto& alarm = sure_class(world, "alarm", 2800, 1);
  alarm.hidden = true;
  alarm.test_interval_days = 7;
  world.add_part("alarm", "alarm");
  world.add_position("alarm", "alarm");
  const auto unfitted = rate(world, "alarm").test_interval;
  REQUIRE(unfitted);
  CHECK(unfitted->availability == 0.99);
  CHECK(unfitted->age == 0);
  CHECK(unfitted->interval == Approx(56.376).epsilon(0.005));
  CHECK(unfitted->class_days == 7);
  REQUIRE(unfitted->days);
  CHECK(*unfitted->days == Approx(unfitted->interval));
  world.add_life("alarm", 1, day(2024, 1, 1));
  world.add_test("alarm", day(2026, 1, 1), true);
  CHECK(rate(world, "alarm").test_interval->interval == Approx(56.376).epsilon(0.03));
}

TEST_CASE("A test renews nothing: what wears out is tested by the age of its oldest unit") {
  // Weibull 1.5, 1500 days, 99 %: new 128.92 days, good at 365 days 40.09, at 730 days 28.675 (R
  // 4.2.2 uniroot; the last also in tests/reference/stats/failure_finding.csv).
  AdviceWorld world;
  sure_class(world, "switch", 1500, 1.5).hidden = true;
  world.add_part("switch", "switch");
  world.add_position("switch", "switch", 2);
  CHECK(rate(world, "switch").test_interval->interval == Approx(128.92).epsilon(0.02));
  world.add_life("switch", 1, day(2025, 1, 1));
  world.add_test("switch", day(2026, 1, 1), true);
  const auto young = rate(world, "switch").test_interval;
  CHECK(young->age == 365);
  CHECK(young->interval == Approx(40.09).epsilon(0.02));
  world.add_life("switch", 2, day(2024, 1, 2));
  const auto old = rate(world, "switch").test_interval;
  CHECK(old->age == 730);
  CHECK(old->interval == Approx(28.675).epsilon(0.02));
}

TEST_CASE("A failure that shows itself has no test interval") {
  AdviceWorld world;
  world.add_fitted("fuse", Money{40}, 1);
  CHECK_FALSE(rate(world, "fuse").test_interval);
}

TEST_CASE("A condition's factor is learnt from exposure with and without it") {
  AdviceWorld world;
  auto& filter = world.add_class("filter");
  filter.life_median = 100;
  filter.life_low = 40;
  filter.life_high = 250;
  filter.shape = 2;
  filter.sensitivity = {{"dust", 2}, {"frost", 1.5}};
  // Five lives of 100 days in clean air, then ten of 20 in dust: five times as fast.
  add_run(world, "filter", "filter",
          {100, 100, 100, 100, 100, 20, 20, 20, 20, 20, 20, 20, 20, 20, 20});
  const Date dust = day(2024, 1, 1) + std::chrono::days(500);
  add_condition(world, "dust", dust, dust + std::chrono::days(200));
  const auto lines = rate(world, "filter").factors;
  REQUIRE(lines.size() == 1);  // nothing of it was ever seen in frost
  CHECK(lines[0].condition == "dust");
  CHECK(lines[0].believed == 2);
  CHECK(lines[0].factor.median > 3);
  CHECK(lines[0].factor.median < 5);  // the belief holds it back a little
  CHECK(lines[0].factor.low < lines[0].factor.median);
  CHECK(lines[0].chance_hurts > 0.99);
  CHECK(lines[0].chance_above_belief > 0.9);
  CHECK(lines[0].exposed == Approx(200).margin(1));
  CHECK(lines[0].share_learnt > 0.3);
}

TEST_CASE("Lives as long with a condition as without it speak against its harm") {
  AdviceWorld world;
  auto& filter = world.add_class("filter");
  filter.life_median = 100;
  filter.life_low = 40;
  filter.life_high = 250;
  filter.shape = 2;
  filter.sensitivity = {{"dust", 2}};
  add_run(world, "filter", "filter", {50, 50, 50, 50, 50, 50, 50, 50});
  const Date dust = day(2024, 1, 1) + std::chrono::days(200);
  add_condition(world, "dust", dust, dust + std::chrono::days(199));
  const auto lines = rate(world, "filter").factors;
  REQUIRE(lines.size() == 1);
  CHECK(lines[0].factor.median < 1.7);
  CHECK(lines[0].chance_above_belief < 0.3);
}

TEST_CASE("No factor is learnt from exposure all with, all without, or at the cap") {
  AdviceWorld world;
  auto& filter = world.add_class("filter");
  filter.sensitivity = {{"dust", 2}};
  add_run(world, "filter", "filter", {100, 100});
  CHECK(rate(world, "filter").factors.empty());
  add_condition(world, "frost", day(2024, 3, 1), day(2024, 4, 1));  // it is not sensitive to that
  CHECK(rate(world, "filter").factors.empty());
  add_condition(world, "dust", day(2020, 1, 1), std::nullopt);
  CHECK(rate(world, "filter").factors.empty());
  world.edit().conditions.back().from = day(2024, 3, 1);
  CHECK(rate(world, "filter").factors.size() == 1);
  world.edit().policy.set("condition-cap", 2);
  CHECK(rate(world, "filter").factors.empty());
}

TEST_CASE("How unsure a factor is beforehand is the policy's") {
  const auto width = [](double log_sd) {
    AdviceWorld world;
    world.add_class("filter").sensitivity = {{"dust", 2}};
    add_run(world, "filter", "filter", {100, 100});
    add_condition(world, "dust", day(2024, 3, 1), day(2024, 4, 1));
    world.edit().policy.set("factor-log-sd", log_sd);
    const auto factor = rate(world, "filter").factors.at(0).factor;
    return factor.high / factor.low;
  };
  // 80 % of a lognormal lie within exp(+-1.2816 sd), here hardly moved by the record.
  CHECK(width(0.1) == Approx(std::exp(2 * 1.2816 * 0.1)).epsilon(0.02));
  CHECK(width(0.5) > width(0.1));
}
