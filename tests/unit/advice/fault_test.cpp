// Bad luck or a fault: what counts as a sign, and what is left out of it.

#include <boost/math/distributions/poisson.hpp>
#include <catch2/catch.hpp>
#include <cmath>

#include "advice/advice_world.hpp"

using namespace shearpin;
using namespace shearpin::advice;
using shearpin::advice::testing::AdviceWorld;
using shearpin::advice::testing::day;

namespace {

const Date kToday = day(2026, 5, 25);

Date ago(int days) { return kToday - std::chrono::days(days); }

/// A part of that name at a position of the same name: fitted on `first`, failed and replaced so
/// many days ago, in order, and working today.
void add_failing(AdviceWorld& world, const std::string& key, const std::vector<int>& failed_ago,
                 const std::string& class_key = "rare", Date first = day(2024, 1, 1)) {
  world.add_part(key, class_key);
  world.add_position(key, key);
  Date fitted = first;
  for (const int days : failed_ago) {
    world.add_life(key, 1, fitted);
    world.end_life(ago(days), domain::EndKind::failed, domain::PlaceState::fitted);
    fitted = ago(days);
  }
  world.add_life(key, 1, fitted);
}

/// `count` sound positions beside it, each with a unit of a part of no class.
void add_others(AdviceWorld& world, int count) {
  world.add_part("other");
  for (int i = 0; i < count; ++i) {
    const std::string key = "other-" + std::to_string(i);
    world.add_position(key, "other");
    world.add_life(key, 1, day(2024, 1, 1));
  }
}

std::optional<FaultSign> sign_at(const AdviceWorld& world, const std::string& key) {
  return advise_fault(world.build(), world.position(key));
}

/// All but sure that lives are exponential with a mean of 2,800 days.
void make_sure(AdviceWorld& world) {
  auto& rare = world.catalogue().classes.front();
  rare.life_low = 2799;
  rare.life_high = 2801;
  world.edit().policy.set("shape-log-sd", 0.01);
}

/// Puts every failure of the position down to a fault opened 60 days ago.
void attribute(AdviceWorld& world, const std::string& key, std::optional<Date> closed) {
  auto& fault = world.add_fault("feed", key, ago(60));
  fault.closed = closed;
  for (auto& life : world.edit().lives) {
    if (life.end && life.position == world.position(key)) {
      life.end->fault = fault.id;
    }
  }
}

}  // namespace

TEST_CASE("The third blow in days is a fault, the first is not") {
  AdviceWorld one;
  add_failing(one, "fuse", {0});
  add_others(one, 50);
  CHECK_FALSE(sign_at(one, "fuse"));

  AdviceWorld three;
  add_failing(three, "fuse", {14, 6, 0});
  add_others(three, 50);
  const auto sign = sign_at(three, "fuse");
  REQUIRE(sign);
  CHECK(sign->position == "fuse");
  CHECK(sign->part == "fuse");
  CHECK(sign->failures == 3);
  CHECK(sign->units.size() == 3);
  CHECK(sign->chance < 0.01);
  CHECK(sign->open_fault.empty());
}

TEST_CASE("The chance is Poisson's where the life is known and does not age") {
  // Exponential lives replaced at failure make a Poisson process (Barlow & Proschan 1965, from
  // memory): P(N >= 3) with mean window/2800, times the 51 positions watched.
  AdviceWorld world;
  make_sure(world);
  add_failing(world, "fuse", {14, 6, 0});
  add_others(world, 50);
  const auto sign = sign_at(world, "fuse");
  REQUIRE(sign);
  CHECK(sign->window_days == 30);  // all three lie in it; in the last ten days there are but two
  const boost::math::poisson seen(30.0 / 2800);
  const double chance = 51 * boost::math::cdf(boost::math::complement(seen, 2));
  CHECK(sign->chance == Approx(chance).epsilon(0.01));
}

TEST_CASE("A run as short as the last ten days is seen") {
  AdviceWorld world;
  make_sure(world);
  add_failing(world, "fuse", {9, 3, 0});
  const auto sign = sign_at(world, "fuse");
  REQUIRE(sign);
  CHECK(sign->window_days == 10);
  const boost::math::poisson seen(10.0 / 2800);
  CHECK(sign->chance == Approx(boost::math::cdf(boost::math::complement(seen, 2))).epsilon(0.01));
}

TEST_CASE("The window and the chance that make a sign are the policy's") {
  AdviceWorld world;
  make_sure(world);
  add_failing(world, "fuse", {14, 6, 0});
  world.edit().policy.set("fault-window-days", 300);
  const auto wide = sign_at(world, "fuse");
  REQUIRE(wide);
  CHECK(wide->window_days == 33);  // of 300, 100 and 33 days the one with the least chance
  world.edit().policy.set("fault-chance", 0.0001);
  CHECK(sign_at(world, "fuse"));
  add_others(world, 2000);
  CHECK_FALSE(sign_at(world, "fuse"));
}

TEST_CASE("Failures as many as a short life gives are no sign") {
  AdviceWorld world;
  auto& bulb = world.add_class("bulb");
  bulb.life_median = 20;
  bulb.life_low = 10;
  bulb.life_high = 40;
  bulb.shape = 1;
  add_failing(world, "bulb", {70, 52, 33, 15, 2}, "bulb", ago(88));
  CHECK_FALSE(sign_at(world, "bulb"));
  // After 800 days without a failure the same run is one, whatever the class says.
  AdviceWorld changed;
  changed.catalogue().classes = world.build().catalogue->classes;
  add_failing(changed, "bulb", {70, 52, 33, 15, 2}, "bulb");
  CHECK(sign_at(changed, "bulb"));
}

TEST_CASE("Failures put down to a closed fault do not count, one that is open always warns") {
  AdviceWorld open;
  add_failing(open, "fuse", {50});
  CHECK_FALSE(sign_at(open, "fuse"));
  attribute(open, "fuse", std::nullopt);
  const auto sign = sign_at(open, "fuse");
  REQUIRE(sign);
  CHECK(sign->open_fault == "feed");
  CHECK(sign->failures == 1);

  AdviceWorld closed;
  add_failing(closed, "fuse", {50, 44, 39});
  REQUIRE(sign_at(closed, "fuse"));
  attribute(closed, "fuse", ago(30));
  CHECK_FALSE(sign_at(closed, "fuse"));
  CHECK(advise_rate(closed.build(), closed.part("fuse")).life.failures == 0);
}

TEST_CASE("A fault closed after the day asked about is open on that day") {
  AdviceWorld world;
  add_failing(world, "fuse", {50, 44, 39});
  attribute(world, "fuse", kToday + std::chrono::days(1));
  const auto sign = sign_at(world, "fuse");
  REQUIRE(sign);
  CHECK(sign->open_fault == "feed");
}

TEST_CASE("A place that has not run is not judged by chance") {
  AdviceWorld world;
  auto& tyre = world.add_class("tyre");
  tyre.basis = domain::Basis::distance_km;
  tyre.life_median = 60000;
  tyre.life_low = 30000;
  tyre.life_high = 90000;
  add_failing(world, "tyre", {14, 6, 0}, "tyre");
  world.catalogue().positions.back().usual_per_day = 0;
  CHECK_FALSE(sign_at(world, "tyre"));
  world.catalogue().positions.back().usual_per_day = 100;
  CHECK(sign_at(world, "tyre"));
}

TEST_CASE("Of two positions of one part only the one that fails is named") {
  AdviceWorld world;
  add_failing(world, "fuse", {14, 6, 0});
  world.add_position("second", "fuse");
  world.add_life("second", 1, day(2024, 1, 1));
  const auto one = advise_rate(world.build(), world.part("fuse"));
  REQUIRE(one.signs.size() == 1);
  CHECK(one.signs.front().position == "fuse");
  CHECK_FALSE(sign_at(world, "second"));

  // When the second runs wild as well, both are told, the rarest first by `now`.
  for (const int days : {8, 5, 2, 0}) {
    world.end_life(ago(days), domain::EndKind::failed, domain::PlaceState::fitted);
    world.add_life("second", 1, ago(days));
  }
  CHECK(advise_rate(world.build(), world.part("fuse")).signs.size() == 2);
  const auto now = advise_now(world.build());
  REQUIRE(now.signs.size() == 2);
  CHECK(now.signs.front().chance <= now.signs.back().chance);
  CHECK(now.anything());
}

TEST_CASE("Trend tests from four failures on") {
  AdviceWorld three;
  add_failing(three, "fuse", {14, 6, 0});
  REQUIRE(sign_at(three, "fuse"));
  CHECK_FALSE(sign_at(three, "fuse")->laplace);

  AdviceWorld four;
  add_failing(four, "fuse", {20, 14, 6, 0});
  const auto sign = sign_at(four, "fuse");
  REQUIRE(sign);
  REQUIRE(sign->laplace);
  REQUIRE(sign->handbook);
  // Laplace, NIST/SEMATECH e-Handbook 8.2.3.4: times of mid-days in T = 876 days, from the fit on
  // 2024-01-01 to the end of 2026-05-25; U = (sum t - 4 T/2) / (T sqrt(4/12)) by hand.
  const double end = days_between(day(2024, 1, 1), kToday) + 1;
  CHECK(end == 876);
  const double u = (4 * (end - 0.5) - 40 - 2 * end) / (end * std::sqrt(4 / 12.0));
  CHECK(*sign->laplace == Approx(0.5 * std::erfc(u / std::sqrt(2.0))).epsilon(1e-9));
  // MIL-HDBK-189C: 2 sum ln(T/t) is chi-square with 8 degrees of freedom, whose lower tail is
  // 1 - e^-x (1 + x + x^2/2 + x^3/6), x half of it.
  double x = 0;
  for (const int days : {20, 14, 6, 0}) {
    x += std::log(end / (end - 0.5 - days));
  }
  const double tail = 1 - std::exp(-x) * (1 + x + x * x / 2 + x * x * x / 6);
  CHECK(*sign->handbook == Approx(tail).epsilon(1e-5));
}

TEST_CASE("Stand-ins say nothing of a fault") {
  AdviceWorld world;
  add_failing(world, "fuse", {14, 6, 0});
  for (auto& life : world.edit().lives) {
    life.stand_in = life.end.has_value();
  }
  CHECK_FALSE(sign_at(world, "fuse"));
}

TEST_CASE("More failures than can be counted are a sign, not an error") {
  AdviceWorld world;
  world.add_part("fuse", "rare");
  world.add_position("fuse", "fuse", 110);
  for (int unit = 1; unit <= 110; ++unit) {
    world.add_life("fuse", unit, day(2024, 1, 1));
    world.end_life(ago(1), domain::EndKind::failed, domain::PlaceState::fitted);
  }
  CHECK(sign_at(world, "fuse"));
}

TEST_CASE("The level with and without the failures that look like a fault") {
  AdviceWorld world;
  add_failing(world, "fuse", {40, 30, 22, 14, 6, 0});
  world.catalogue().parts.back().price = Money{2000};
  const auto answer = advise_explain(world.build(), world.part("fuse"), std::nullopt);
  REQUIRE(answer.rate.signs.size() == 1);
  REQUIRE(answer.level_without_signs);
  CHECK(*answer.level_without_signs < answer.reorder.level);

  AdviceWorld calm;
  calm.add_fitted("fuse", Money{2000}, 1);
  CHECK_FALSE(advise_explain(calm.build(), calm.part("fuse"), std::nullopt).level_without_signs);
}
