// What the other parts of a class lend a belief.

#include <catch2/catch.hpp>

#include "advice/advice_world.hpp"
#include "advice/analyst.hpp"

using namespace shearpin;
using namespace shearpin::advice;
using shearpin::advice::testing::AdviceWorld;
using shearpin::advice::testing::day;

namespace {

/// A part that failed at its position each 60 days of 2024.
void add_six_failures(AdviceWorld& world, const std::string& key, const std::string& class_key) {
  world.add_part(key, class_key);
  world.add_position(key, key);
  Date fitted = day(2024, 1, 1);
  for (int i = 0; i < 6; ++i) {
    world.add_life(key, 1, fitted);
    fitted += std::chrono::days(60);
    world.end_life(fitted, domain::EndKind::failed, domain::PlaceState::fitted);
  }
  world.add_life(key, 1, fitted);
}

void check_alone(const RateAnswer& answer) {
  CHECK(answer.lenders.empty());
  CHECK(answer.prior.scale_median == answer.class_prior.scale_median);
  CHECK(answer.prior.scale_low == answer.class_prior.scale_low);
  CHECK(answer.prior.scale_high == answer.class_prior.scale_high);
  CHECK(answer.prior.shape_median == answer.class_prior.shape_median);
  CHECK(answer.prior.shape_log_sd == answer.class_prior.shape_log_sd);
}

}  // namespace

TEST_CASE("A part alone in its class keeps the class belief bit for bit") {
  AdviceWorld world;
  add_six_failures(world, "a", "rare");
  check_alone(rate(world, "a"));
  CHECK(rate(world, "a").class_prior.scale_median == 2800);
}

TEST_CASE("A part of the class that was never fitted lends nothing") {
  AdviceWorld world;
  add_six_failures(world, "a", "rare");
  world.add_part("shelf", "rare");
  check_alone(rate(world, "a"));
  // But it borrows.
  CHECK(rate(world, "shelf").lenders.size() == 1);
}

TEST_CASE("A part of another class, or of none, lends nothing") {
  AdviceWorld world;
  world.add_class("other");
  world.add_fitted("a", Money{40}, 1);
  add_six_failures(world, "b", "other");
  add_six_failures(world, "c", "");
  check_alone(rate(world, "a"));
}

TEST_CASE("A sister that fails often shortens the life believed of one without a record") {
  AdviceWorld world;
  world.add_fitted("calm", Money{40}, 1);
  const auto before = rate(world, "calm");
  add_six_failures(world, "bad", "rare");
  const auto after = rate(world, "calm");
  REQUIRE(after.lenders.size() == 1);
  CHECK(after.lenders[0].part == "bad");
  CHECK(after.lenders[0].failures == 6);
  CHECK(after.lenders[0].exposure == Approx(days_between(day(2024, 1, 1), day(2026, 5, 25))));
  CHECK(after.lenders[0].shift < 0);
  CHECK(after.prior.scale_median < after.class_prior.scale_median);
  // Heard, not taken over: the part's own belief stays nearer to the class's than to the sister's.
  CHECK(after.prior.scale_median > rate(world, "bad").life.scale.median);
  CHECK(after.life.scale.median < before.life.scale.median);
  CHECK(after.shared_share > 0);
  CHECK(after.shared_share < 1);
}

TEST_CASE("A sister that lasts lengthens it, and what a part saw itself is not lent to it") {
  AdviceWorld world;
  world.add_fitted("a", Money{40}, 1);
  world.add_fitted("b", Money{40}, 1);
  const auto calm = rate(world, "a");
  REQUIRE(calm.lenders.size() == 1);
  CHECK(calm.lenders[0].shift > 0);
  // More failures of its own leave what it was lent as it was.
  AdviceWorld other;
  add_six_failures(other, "a", "rare");
  other.add_fitted("b", Money{40}, 1);
  const auto failing = rate(other, "a");
  CHECK(failing.lenders.at(0).exposure == calm.lenders.at(0).exposure);
  CHECK(failing.lenders.at(0).failures == 0);
}

TEST_CASE("The policy's borrow 0 has each part stand alone") {
  AdviceWorld world;
  world.add_fitted("calm", Money{40}, 1);
  add_six_failures(world, "bad", "rare");
  CHECK_FALSE(rate(world, "calm").lenders.empty());
  world.edit().policy.set("borrow", 0);
  check_alone(rate(world, "calm"));
  AdviceWorld alone;
  alone.add_fitted("calm", Money{40}, 1);
  CHECK(rate(world, "calm").life.scale.median == rate(alone, "calm").life.scale.median);
}
