// Which of two lasts longer, from one belief.

#include <catch2/catch.hpp>
#include <cmath>

#include "advice/advice_world.hpp"
#include "shearpin/base/error.hpp"

using namespace shearpin;
using namespace shearpin::advice;
using shearpin::advice::testing::AdviceWorld;
using shearpin::advice::testing::day;

namespace {

/// A part with `units` places, all fitted on 2024-01-01; one fails and is replaced on each day.
void add_watched(AdviceWorld& world, const std::string& key, const std::string& class_key,
                 int units, const std::vector<Date>& failed) {
  world.add_part(key, class_key);
  world.add_position(key, key, units);
  for (int unit = 1; unit <= units; ++unit) {
    Date fitted = day(2024, 1, 1);
    if (static_cast<std::size_t>(unit) <= failed.size()) {
      world.add_life(key, unit, fitted);
      fitted = failed[static_cast<std::size_t>(unit) - 1];
      world.end_life(fitted, domain::EndKind::failed, domain::PlaceState::fitted);
    }
    world.add_life(key, unit, fitted);
  }
}

CompareAnswer compared(const AdviceWorld& world, const char* first, const char* second) {
  return advise_compare(world.build(), world.part(first), world.part(second));
}

const std::vector<Date> kFour{day(2024, 3, 1), day(2024, 8, 1), day(2025, 2, 1), day(2025, 9, 1)};

}  // namespace

TEST_CASE("Two parts with the same record are not proven apart") {
  AdviceWorld world;
  add_watched(world, "a", "rare", 6, kFour);
  add_watched(world, "b", "rare", 6, kFour);
  const auto answer = compared(world, "a", "b");
  CHECK(answer.lives.chance_first_longer == Approx(0.5).margin(1e-6));
  CHECK(answer.lives.ratio.median == Approx(1).epsilon(1e-5));
  CHECK(answer.lives.verdict == stats::LongerLife::not_proven);
  CHECK(answer.one_class);
  CHECK(answer.notes.empty());
}

TEST_CASE("Plenty of failures against none in the same time is proof, either way round") {
  AdviceWorld world;
  std::vector<Date> many(12, day(2024, 3, 1));
  add_watched(world, "bad", "rare", 12, many);
  add_watched(world, "good", "rare", 12, {});
  CHECK(compared(world, "bad", "good").lives.verdict == stats::LongerLife::second);
  CHECK(compared(world, "good", "bad").lives.verdict == stats::LongerLife::first);
  const auto ahead = compared(world, "good", "bad").lives;
  const auto back = compared(world, "bad", "good").lives;
  CHECK(ahead.chance_first_longer + back.chance_first_longer == Approx(1).margin(1e-6));
}

TEST_CASE("Unlike classes are judged from one belief, so only the records differ") {
  // The same record in a class believed to live four times as long, and hurt less by frost.
  AdviceWorld world;
  auto& metal = world.add_class("metal");
  metal.life_median = 11200;
  metal.life_low = 4000;
  metal.life_high = 32000;
  metal.shape = 1;
  metal.sensitivity = {{"frost", 1.5}};
  world.catalogue().classes.front().sensitivity = {{"frost", 6}};
  domain::ConditionPeriod frost;
  frost.condition = "frost";
  frost.from = day(2024, 11, 1);
  frost.to = day(2025, 2, 28);
  world.edit().conditions.push_back(frost);
  add_watched(world, "a", "rare", 6, kFour);
  add_watched(world, "b", "metal", 6, kFour);
  const auto answer = compared(world, "a", "b");
  CHECK_FALSE(answer.one_class);
  CHECK(answer.lives.chance_first_longer == Approx(0.5).margin(1e-6));
  CHECK(answer.first_life.exposure == Approx(answer.second_life.exposure));
  // Half way between: sqrt(6 x 1.5) = 3 times over the 120 days of frost, for six units of which
  // one in frost for its own part of them.
  CHECK(answer.first_life.exposure > answer.second.life.exposure);
  CHECK(answer.first_life.exposure < answer.first.life.exposure);
  // And of the belief, sqrt(2800 x 11200) = 5600 days.
  CHECK(answer.prior.scale_median == Approx(5600));
  CHECK_FALSE(answer.notes.empty());
  // What `rate` says of each still has its own class's belief.
  CHECK(answer.first.class_prior.scale_median == 2800);
  CHECK(answer.second.class_prior.scale_median == 11200);
}

TEST_CASE("What one part lends the other does not count in their comparison") {
  AdviceWorld world;
  add_watched(world, "a", "rare", 6, kFour);
  add_watched(world, "b", "rare", 6, {});
  const auto with = compared(world, "a", "b");
  CHECK_FALSE(with.first.lenders.empty());
  world.edit().policy.set("borrow", 0);
  const auto without = compared(world, "a", "b");
  CHECK(without.first.lenders.empty());
  CHECK(with.lives.chance_first_longer == without.lives.chance_first_longer);
}

TEST_CASE("A part of no class is compared by the vague belief") {
  AdviceWorld world;
  add_watched(world, "a", "", 4, kFour);
  add_watched(world, "b", "", 4, kFour);
  const auto answer = compared(world, "a", "b");
  CHECK(answer.one_class);
  CHECK(answer.prior.scale_median == 1095.75);
  CHECK(answer.lives.chance_first_longer == Approx(0.5).margin(1e-6));
}

TEST_CASE("A part against itself, and lives in different units, are refused") {
  AdviceWorld world;
  auto& tyre = world.add_class("tyre");
  tyre.basis = domain::Basis::distance_km;
  world.add_part("tyre", "tyre");
  world.add_fitted("fuse", Money{40}, 1);
  try {
    compared(world, "fuse", "fuse");
    FAIL("no error");
  } catch (const InputError& error) {
    CHECK(std::string(error.what()).find("fuse is compared with itself") != std::string::npos);
  }
  try {
    compared(world, "fuse", "tyre");
    FAIL("no error");
  } catch (const InputError& error) {
    CHECK(std::string(error.what()).find("days and tyre in km") != std::string::npos);
  }
}
