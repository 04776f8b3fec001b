// What a plain `fail` takes from aboard, and what it says when nothing is there.

#include "domain/plan_fail.hpp"

#include <catch2/catch.hpp>

#include "plan_world.hpp"
#include "shearpin/base/error.hpp"

using namespace shearpin;
using namespace shearpin::domain;
using namespace shearpin::domain::testing;
using Catch::Matchers::Contains;

namespace {

FailRequest failed(const SnapshotBuilder& rig, const std::string& position, Date on = kToday) {
  FailRequest request;
  request.when = when(on);
  request.position = rig.position(position);
  return request;
}

}  // namespace

TEST_CASE("A failure takes the spare from aboard, fits it and counts what is left") {
  SnapshotBuilder rig = field_rig();
  const UnitLife life = rig.add_life("l21", 1, kFitted);
  rig.add_stock("p13", "b1", 8);
  rig.add_stock("p13", "b7", 5);
  const Plan plan = plan_fail(rig.build(), failed(rig, "l21"));

  REQUIRE(plan.entries.size() == 1);
  const EntryDraft& entry = plan.entries.front();
  CHECK(entry.kind == EntryKind::fail);
  CHECK(entry.happened == kToday);
  REQUIRE(entry.ends.size() == 1);
  CHECK(entry.ends[0].unit == life.id);
  CHECK(entry.ends[0].kind == EndKind::failed);
  CHECK(entry.ends[0].left == PlaceState::empty);
  REQUIRE(entry.fits.size() == 1);
  CHECK(entry.fits[0].part == rig.part("p13"));
  CHECK_FALSE(entry.fits[0].age);
  CHECK(bin_changes(plan, rig.build()) == std::map<std::string, std::int64_t>{{"b1", -1}});
  CHECK(moved_to(entry, Outside::scrapped) == 1);

  const Outcome& told = plan.outcome;
  CHECK(told.part_used == rig.part("p13"));
  CHECK(told.pieces_used == 1);
  CHECK(told.from == rig.bin("b1"));
  CHECK(told.chosen_why == "only lot");
  CHECK(told.left_aboard == 7);
  CHECK(told.left_ashore == 5);
  CHECK(told.left_state == PlaceState::fitted);
  CHECK(told.hints.empty());
}

TEST_CASE("First to expire goes before the oldest lot, worn ones after new") {
  SnapshotBuilder rig = field_rig();
  rig.add_life("l05", 1, kFitted);
  StockLine& worn = rig.add_stock("p25", "b4", 1);
  worn.state = LotState::worn;
  worn.received = day(2020, 1, 1);
  worn.age = 400;
  rig.add_stock("p25", "b4", 2).received = day(2022, 1, 1);
  StockLine& dated = rig.add_stock("p25", "b1", 1);
  dated.received = day(2025, 1, 1);
  dated.ends = day(2027, 1, 1);
  FailRequest request = failed(rig, "l05");

  Plan plan = plan_fail(rig.build(), request);
  CHECK(plan.outcome.taken.front().lot == LotId{3});
  CHECK(plan.outcome.chosen_why == "first to expire");

  rig.edit().stock[2].quantity = 0;
  plan = plan_fail(rig.build(), request);
  CHECK(plan.outcome.taken.front().lot == LotId{2});
  CHECK(plan.outcome.chosen_why == "new before worn");

  rig.edit().stock[1].quantity = 0;
  plan = plan_fail(rig.build(), request);
  CHECK(plan.outcome.taken.front().lot == LotId{1});
  CHECK(plan.outcome.chosen_why == "worn spare");
  CHECK(plan.entries[0].fits[0].age == 400.0);
}

TEST_CASE("The oldest lot goes first where nothing expires") {
  SnapshotBuilder rig = field_rig();
  rig.add_life("l21", 1, kFitted);
  rig.add_stock("p13", "b1", 2).received = day(2025, 6, 1);
  rig.add_stock("p13", "b4", 2).received = day(2024, 6, 1);
  const Plan plan = plan_fail(rig.build(), failed(rig, "l21"));
  CHECK(plan.outcome.from == rig.bin("b4"));
  CHECK(plan.outcome.chosen_why == "oldest lot");
}

TEST_CASE("Pieces ashore, quarantined or expired are not taken, and are told of") {
  SnapshotBuilder rig = field_rig();
  rig.add_life("l05", 1, kFitted);
  rig.catalogue().substitutes.clear();
  rig.add_stock("p25", "b7", 5);
  StockLine& bad = rig.add_stock("p25", "b4", 3);
  bad.batch = "VB-07";
  bad.quarantined = true;
  rig.add_stock("p25", "b1", 2).ends = kToday;
  const Plan plan = plan_fail(rig.build(), failed(rig, "l05"));

  const EntryDraft& entry = plan.entries.front();
  CHECK(entry.fits.empty());
  REQUIRE(entry.ends.size() == 1);
  CHECK(entry.ends[0].left == PlaceState::dead);
  const Outcome& told = plan.outcome;
  CHECK(told.left_state == PlaceState::dead);
  CHECK(told.left_open == std::vector<int>{1});
  CHECK_FALSE(told.part_used);
  CHECK(told.left_aboard == 0);
  CHECK(told.left_ashore == 5);
  CHECK(told.gets_by == "spare wheel");
  REQUIRE(told.elsewhere.size() == 3);
  CHECK(told.elsewhere[0].why == Unusable::ashore);
  CHECK(told.elsewhere[0].pieces == 5);
  CHECK(told.elsewhere[1].why == Unusable::quarantined);
  CHECK(told.elsewhere[2].why == Unusable::expired);
  CHECK(told.elsewhere[2].expired_on == kToday);
}

TEST_CASE("A spare good until tomorrow is taken today") {
  SnapshotBuilder rig = field_rig();
  rig.add_life("l25", 1, kFitted);
  rig.add_stock("p39", "b1", 1).ends = day(2026, 5, 26);
  const Plan plan = plan_fail(rig.build(), failed(rig, "l25"));
  CHECK(plan.outcome.part_used == rig.part("p39"));
  CHECK(plan.entries[0].fits[0].marked_end == day(2026, 5, 26));
}

TEST_CASE("A substitute is taken only when the part itself is gone, a temporary one last") {
  SnapshotBuilder rig = field_rig();
  rig.add_part("stem-odd", "valve-stem");
  rig.catalogue().substitutes.clear();
  rig.add_substitute("stem-odd", "p25").temporary = true;
  rig.add_substitute("p26", "p25");
  rig.add_life("l05", 1, kFitted);
  rig.add_stock("stem-odd", "b1", 1);
  rig.add_stock("p26", "b4", 1);
  rig.add_stock("p25", "b4", 1);
  const FailRequest request = failed(rig, "l05");

  Plan plan = plan_fail(rig.build(), request);
  CHECK(plan.outcome.part_used == rig.part("p25"));
  CHECK_FALSE(plan.outcome.substitute);

  rig.edit().stock[2].quantity = 0;
  plan = plan_fail(rig.build(), request);
  CHECK(plan.outcome.part_used == rig.part("p26"));
  CHECK(plan.outcome.substitute);
  CHECK_FALSE(plan.outcome.temporary);
  CHECK(plan.entries[0].fits[0].part == rig.part("p26"));

  rig.edit().stock[1].quantity = 0;
  plan = plan_fail(rig.build(), request);
  CHECK(plan.outcome.part_used == rig.part("stem-odd"));
  CHECK(plan.outcome.temporary);
  REQUIRE(plan.outcome.notes.size() == 1);
  CHECK_THAT(plan.outcome.notes[0], Contains("for the time being"));
}

TEST_CASE("A larger fuse stays in its box although nothing else is aboard") {
  SnapshotBuilder rig = field_rig();
  rig.add_substitute("p14", "p13");
  rig.add_life("l21", 1, kFitted);
  rig.add_stock("p14", "b1", 9);
  const Plan plan = plan_fail(rig.build(), failed(rig, "l21"));
  CHECK(plan.outcome.left_state == PlaceState::dead);
  CHECK(bin_changes(plan, rig.build()).empty());
  CHECK(plan.outcome.gets_by == "borrow the same rating");
}

TEST_CASE("Without a unit the longest fitted one is meant, and it is said") {
  SnapshotBuilder rig = field_rig();
  rig.add_life("l05", 1, day(2024, 6, 9));
  const UnitId oldest = rig.add_life("l05", 2, day(2024, 4, 20)).id;
  rig.add_life("l05", 3, day(2024, 6, 22));
  rig.add_life("l05", 4, day(2024, 4, 21));
  rig.add_stock("p25", "b4", 2);
  FailRequest request = failed(rig, "l05");
  Plan plan = plan_fail(rig.build(), request);
  CHECK(plan.outcome.units == std::vector<int>{2});
  CHECK(plan.outcome.unit_why == "longest fitted of 4");
  CHECK(plan.entries[0].ends[0].unit == oldest);

  request.units = {3};
  plan = plan_fail(rig.build(), request);
  CHECK(plan.outcome.units == std::vector<int>{3});
  CHECK(plan.outcome.unit_why.empty());

  request.units = {5};
  REQUIRE_THROWS_WITH(plan_fail(rig.build(), request), Contains("l05/5") && Contains("4 units"));
}

TEST_CASE("Several at once: the longest fitted ones, each with its own piece") {
  SnapshotBuilder rig = field_rig();
  for (int unit = 1; unit <= 4; ++unit) {
    rig.add_life("l05", unit, kFitted);
  }
  rig.add_stock("p25", "b4", 1);
  FailRequest request = failed(rig, "l05");
  request.count = 3;
  const Plan plan = plan_fail(rig.build(), request);
  CHECK(plan.outcome.units == std::vector<int>{1, 2, 3});
  CHECK(plan.outcome.unit_why == "first of 4 fitted the same day");
  CHECK(plan.entries[0].ends.size() == 3);
  CHECK(plan.entries[0].fits.size() == 1);
  CHECK(plan.outcome.left_open == std::vector<int>{2, 3});
  CHECK(plan.outcome.left_state == PlaceState::dead);
  CHECK(plan.entries[0].ends[0].left == PlaceState::empty);
  CHECK(plan.entries[0].ends[1].left == PlaceState::dead);

  request.count = 5;
  REQUIRE_THROWS_AS(plan_fail(rig.build(), request), InputError);
  request.count = 0;
  REQUIRE_THROWS_AS(plan_fail(rig.build(), request), InputError);
}

TEST_CASE("A unit of several pieces takes them all and is followed by one") {
  SnapshotBuilder rig = field_rig();
  rig.add_life("l31", 1, kFitted);
  rig.add_stock("p44", "b1", 4).ends = day(2027, 3, 1);
  rig.add_stock("p44", "b4", 5).ends = day(2029, 3, 1);
  Plan plan = plan_fail(rig.build(), failed(rig, "l31"));
  CHECK(plan.outcome.pieces_used == 6);
  CHECK(plan.outcome.left_aboard == 3);
  CHECK(bin_changes(plan, rig.build()) ==
        std::map<std::string, std::int64_t>{{"b1", -4}, {"b4", -2}});
  CHECK(moved_to(plan.entries[0], Outside::consumed) == 5);
  CHECK(moved_to(plan.entries[0], Outside::scrapped) == 1);
  CHECK(plan.entries[0].usages.empty());
  CHECK(std::get<LotId>(*plan.entries[0].fits[0].lot) == LotId{1});
  // A shelf date of what is not dated in use ends with the fit.
  CHECK_FALSE(plan.entries[0].fits[0].marked_end);

  rig.edit().stock[1].quantity = 1;
  plan = plan_fail(rig.build(), failed(rig, "l31"));
  CHECK(plan.outcome.left_state == PlaceState::dead);
  CHECK(plan.outcome.left_aboard == 5);
}

TEST_CASE("A worn spare of unknown age is fitted as such") {
  SnapshotBuilder rig = field_rig();
  rig.add_life("l12", 1, kFitted);
  rig.add_stock("p30", "b4", 1).state = LotState::worn;
  const Plan plan = plan_fail(rig.build(), failed(rig, "l12"));
  CHECK(plan.entries[0].fits[0].age_unknown);
  CHECK(plan.outcome.age_unknown);
}

TEST_CASE("A failure on the same or the day before is likely the same one") {
  SnapshotBuilder rig = field_rig();
  rig.add_life("l21", 1, kFitted);
  rig.end_life(day(2026, 5, 24), EndKind::failed, PlaceState::fitted);
  rig.add_life("l21", 1, day(2026, 5, 24));
  rig.add_stock("p13", "b1", 8);
  Plan plan = plan_fail(rig.build(), failed(rig, "l21"));
  REQUIRE(plan.outcome.hints.size() == 1);
  CHECK_THAT(plan.outcome.hints[0], Contains("2026-05-24") && Contains("undo"));

  rig.edit().lives[0].end->date = day(2026, 5, 23);
  CHECK(plan_fail(rig.build(), failed(rig, "l21")).outcome.hints.empty());
  rig.edit().lives[0].end->date = day(2026, 5, 24);
  rig.edit().lives[0].end->kind = EndKind::renewed;
  CHECK(plan_fail(rig.build(), failed(rig, "l21")).outcome.hints.empty());
}

TEST_CASE("A failure before the fit or in the future is refused") {
  SnapshotBuilder rig = field_rig();
  rig.add_life("l21", 1, kFitted);
  REQUIRE_THROWS_WITH(
      plan_fail(rig.build(), failed(rig, "l21", day(2023, 4, 9))),
      Contains("by 2023-04-09 no unit is recorded as fitted") && Contains("fit l21"));
  REQUIRE_THROWS_WITH(plan_fail(rig.build(), failed(rig, "l21", day(2026, 5, 26))),
                      Contains("2026-05-26") && Contains("2026-05-25"));
  // It may fail on the day it was fitted (model, edges).
  REQUIRE_NOTHROW(plan_fail(rig.build(), failed(rig, "l21", kFitted)));
}
