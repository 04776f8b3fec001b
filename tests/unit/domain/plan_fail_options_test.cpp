// What the options of `fail` change, and places that are dead already.

#include <algorithm>
#include <catch2/catch.hpp>

#include "base/text.hpp"
#include "domain/plan_fail.hpp"
#include "plan_world.hpp"
#include "shearpin/base/error.hpp"

using namespace shearpin;
using namespace shearpin::domain;
using namespace shearpin::domain::testing;
using Catch::Matchers::Contains;

namespace {

FailRequest failed(const SnapshotBuilder& rig, const std::string& position, Remedy remedy) {
  FailRequest request;
  request.when = when(kToday);
  request.position = rig.position(position);
  request.remedy = remedy;
  return request;
}

}  // namespace

TEST_CASE("A part named is taken though another would come first") {
  SnapshotBuilder rig = field_rig();
  rig.add_life("l05", 1, kFitted);
  rig.add_stock("p25", "b4", 2);
  rig.add_stock("p26", "b4", 2);
  FailRequest request = failed(rig, "l05", Remedy::spare);
  request.pick.part = rig.part("p26");
  const Plan plan = plan_fail(rig.build(), request);
  CHECK(plan.outcome.part_used == rig.part("p26"));
  CHECK(plan.outcome.stock_of == rig.part("p26"));
  CHECK(plan.outcome.left_aboard == 1);

  request.pick.part = rig.part("p30");
  REQUIRE_THROWS_WITH(plan_fail(rig.build(), request), Contains("not declared to fit"));
}

TEST_CASE("Where a place calls for no part, no larger fuse follows the one that was in") {
  SnapshotBuilder rig = field_rig();
  rig.add_position("spare-slot", "").component_class = rig.catalogue().classes.front().id;
  UnitLife& life = rig.add_life("spare-slot", 1, kFitted);
  life.part = rig.part("p13");
  FailRequest request = failed(rig, "spare-slot", Remedy::spare);
  request.pick.from_outside = true;
  request.pick.part = rig.part("p14");
  REQUIRE_THROWS_WITH(plan_fail(rig.build(), request),
                      Contains("p14 is 20 A and p13 is 15 A") && Contains("position set"));
  request.pick.part = rig.part("p25");  // no fuse at all
  REQUIRE_THROWS_WITH(plan_fail(rig.build(), request), Contains("a fuse may only be replaced"));
  request.pick.part = rig.part("p12");
  CHECK(plan_fail(rig.build(), request).outcome.part_used == rig.part("p12"));

  // One of no part number was in last: the last known rating still rules.
  rig.end_life(day(2026, 5, 1), EndKind::failed);
  UnitLife& unknown = rig.add_life("spare-slot", 1, day(2026, 5, 1));
  unknown.part = std::nullopt;
  unknown.no_part = "fuse from the toolbox";
  request.pick.part = rig.part("p14");
  REQUIRE_THROWS_WITH(plan_fail(rig.build(), request), Contains("p14 is 20 A and p13 is 15 A"));
  request.pick = {};
  request.pick.no_part = "another fuse";
  request.pick.from_outside = true;
  CHECK_THAT(join_words(plan_fail(rig.build(), request).outcome.notes), Contains("takes 15 A"));
}

TEST_CASE("A bin that holds too few is named with what it holds and where more lie") {
  SnapshotBuilder rig = field_rig();
  for (int unit = 1; unit <= 4; ++unit) {
    rig.add_life("l05", unit, kFitted);
  }
  rig.catalogue().substitutes.clear();
  rig.add_stock("p25", "b1", 2);
  rig.add_stock("p25", "b4", 1);
  rig.add_stock("p25", "b7", 4);
  FailRequest request = failed(rig, "l05", Remedy::spare);
  request.count = 3;
  request.pick.from = rig.bin("b1");
  REQUIRE_THROWS_WITH(plan_fail(rig.build(), request),
                      Contains("b1 holds 2 of p25, 3 asked") && Contains("1 in b4") &&
                          Contains("4 ashore in b7") && Contains("count p25"));
  request.pick.from.reset();
  request.pick.part = rig.part("p25");
  request.count = 4;
  REQUIRE_THROWS_WITH(plan_fail(rig.build(), request),
                      Contains("3 of p25 are sound and aboard, 4 asked"));
}

TEST_CASE("A bin named is taken at its word, sound pieces first and doubt said") {
  SnapshotBuilder rig = field_rig();
  rig.add_life("l05", 1, kFitted);
  StockLine& bad = rig.add_stock("p25", "b4", 3);
  bad.quarantined = true;
  bad.batch = "VB-07";
  rig.add_stock("p25", "b4", 1).received = day(2025, 1, 1);
  FailRequest request = failed(rig, "l05", Remedy::spare);
  request.pick.from = rig.bin("b4");
  Plan plan = plan_fail(rig.build(), request);
  CHECK(plan.outcome.taken.front().lot == LotId{2});
  CHECK(plan.outcome.notes.empty());

  request.pick.batch = "VB-07";
  plan = plan_fail(rig.build(), request);
  CHECK(plan.outcome.taken.front().lot == LotId{1});
  REQUIRE(plan.outcome.notes.size() == 1);
  CHECK_THAT(plan.outcome.notes[0], Contains("quarantined") && Contains("VB-07"));

  rig.add_stock("p25", "b7", 1);
  request.pick.batch.clear();
  request.pick.from = rig.bin("b7");
  plan = plan_fail(rig.build(), request);
  CHECK(plan.outcome.from == rig.bin("b7"));
  CHECK_THAT(plan.outcome.notes.at(0), Contains("ashore"));
}

TEST_CASE("A worn take-off can be asked for by its state") {
  SnapshotBuilder rig = field_rig();
  rig.add_life("l12", 1, kFitted);
  rig.add_stock("p30", "b4", 1);
  StockLine& worn = rig.add_stock("p30", "b4", 1);
  worn.state = LotState::worn;
  worn.age = 372;
  FailRequest request = failed(rig, "l12", Remedy::spare);
  request.pick.state = LotState::worn;
  const Plan plan = plan_fail(rig.build(), request);
  CHECK(plan.outcome.taken.front().lot == LotId{2});
  CHECK(plan.outcome.age_taken_over == 372.0);
}

TEST_CASE("Bought and fitted at once: a lot from the supplier, no bin") {
  SnapshotBuilder rig = field_rig();
  rig.add_life("l05", 1, kFitted);
  rig.add_life("l05", 2, kFitted);
  FailRequest request = failed(rig, "l05", Remedy::spare);
  request.pick.from_outside = true;
  request.count = 2;
  const Plan plan = plan_fail(rig.build(), request);
  const EntryDraft& entry = plan.entries.front();
  REQUIRE(entry.lots.size() == 1);
  CHECK(entry.lots[0].part == rig.part("p25"));
  CHECK(bin_changes(plan, rig.build()).empty());
  CHECK(entry.fits.size() == 2);
  const auto bought =
      std::find_if(entry.movements.begin(), entry.movements.end(),
                   [](const MovementLine& line) { return line.from == Place{Outside::supplier}; });
  REQUIRE(bought != entry.movements.end());
  CHECK(bought->quantity == 2);
  CHECK_FALSE(plan.outcome.from);
}

TEST_CASE("Repaired in place: the unit lives on, a plug is used up") {
  SnapshotBuilder rig = field_rig();
  const UnitId unit = rig.add_life("l05", 1, kFitted).id;
  rig.add_part("p23");
  rig.add_stock("p23", "b4", 10);
  rig.add_stock("p25", "b4", 1);
  FailRequest request = failed(rig, "l05", Remedy::repaired);
  request.cause = "shock";
  Plan plan = plan_fail(rig.build(), request);
  CHECK(plan.entries[0].ends.empty());
  CHECK(plan.entries[0].fits.empty());
  REQUIRE(plan.entries[0].repairs.size() == 1);
  CHECK(plan.entries[0].repairs[0].unit == unit);
  CHECK_FALSE(plan.entries[0].repairs[0].took_part);
  CHECK(plan.entries[0].movements.empty());

  request.pick.part = rig.part("p23");
  request.repair_pieces = 2;
  plan = plan_fail(rig.build(), request);
  CHECK_FALSE(plan.entries[0].repairs[0].took_part);
  REQUIRE(plan.entries[0].usages.size() == 1);
  CHECK(plan.entries[0].usages[0].quantity == 2);
  CHECK(plan.entries[0].usages[0].position == rig.position("l05"));
  CHECK(plan.outcome.left_aboard == 8);

  request.pick.part = rig.part("p25");
  request.repair_pieces = 1;
  plan = plan_fail(rig.build(), request);
  CHECK(plan.entries[0].repairs[0].took_part);
  CHECK(plan.entries[0].usages.empty());
  CHECK(moved_to(plan.entries[0], Outside::consumed) == 1);
}

TEST_CASE("A repair ends no life, so it has neither test nor fault") {
  SnapshotBuilder rig = field_rig();
  rig.add_life("l05", 1, kFitted);
  FailRequest request = failed(rig, "l05", Remedy::repaired);
  request.found_on_test = true;
  REQUIRE_THROWS_AS(plan_fail(rig.build(), request), InputError);
}

TEST_CASE("On a workaround: its words are the declared ones unless others are given") {
  SnapshotBuilder rig = field_rig();
  rig.add_life("l05", 1, kFitted);
  rig.add_life("l12", 1, kFitted);
  rig.add_stock("p25", "b4", 3);
  Plan plan = plan_fail(rig.build(), failed(rig, "l05", Remedy::workaround));
  CHECK(plan.entries[0].ends[0].left == PlaceState::workaround);
  CHECK(plan.entries[0].ends[0].note == "spare wheel");
  CHECK(plan.outcome.left_state == PlaceState::workaround);
  CHECK(plan.outcome.left_aboard == 3);

  FailRequest request = failed(rig, "l12", Remedy::workaround);
  REQUIRE_THROWS_WITH(plan_fail(rig.build(), request), Contains("no workaround"));
  request.when.note = "stand still";
  CHECK(plan_fail(rig.build(), request).entries[0].ends[0].note == "stand still");
}

TEST_CASE("A stand-in is a life of its own under no part") {
  SnapshotBuilder rig = field_rig();
  rig.add_life("l05", 1, kFitted);
  FailRequest request = failed(rig, "l05", Remedy::stand_in);
  REQUIRE_THROWS_WITH(plan_fail(rig.build(), request), Contains("--stand-in"));
  request.remedy_text = "plain bolt";
  const Plan plan = plan_fail(rig.build(), request);
  const EntryDraft& entry = plan.entries.front();
  CHECK(entry.ends[0].left == PlaceState::stand_in);
  REQUIRE(entry.fits.size() == 1);
  CHECK(entry.fits[0].stand_in);
  CHECK_FALSE(entry.fits[0].part);
  CHECK_FALSE(entry.fits[0].lot);
  CHECK(entry.fits[0].no_part == "plain bolt");
  CHECK(plan.outcome.left_state == PlaceState::stand_in);
}

TEST_CASE("A stand-in that fails ends as failed and takes no stock with it") {
  SnapshotBuilder rig = field_rig();
  UnitLife& bolt = rig.add_life("l12", 1, kFitted);
  bolt.stand_in = true;
  bolt.part.reset();
  bolt.lot.reset();
  rig.add_stock("p30", "b4", 1);
  const Plan plan = plan_fail(rig.build(), failed(rig, "l12", Remedy::spare));
  CHECK(plan.entries[0].ends[0].kind == EndKind::failed);
  CHECK(moved_to(plan.entries[0], Outside::scrapped) == 0);
  CHECK(plan.entries[0].fits[0].part == rig.part("p30"));
}

TEST_CASE("Options that contradict each other are refused") {
  SnapshotBuilder rig = field_rig();
  rig.add_life("l05", 1, kFitted);
  FailRequest request = failed(rig, "l05", Remedy::left_dead);
  request.pick.part = rig.part("p25");
  REQUIRE_THROWS_WITH(plan_fail(rig.build(), request), Contains("--left-dead"));
  request = failed(rig, "l05", Remedy::spare);
  request.last_good = day(2026, 1, 1);
  REQUIRE_THROWS_WITH(plan_fail(rig.build(), request), Contains("--found-on-test"));
  request.found_on_test = true;
  request.last_good = day(2026, 5, 26);
  REQUIRE_THROWS_AS(plan_fail(rig.build(), request), InputError);
  request.last_good = day(2023, 4, 9);
  REQUIRE_THROWS_WITH(plan_fail(rig.build(), request), Contains("fitted on 2023-04-10"));
}

TEST_CASE("Found on a test: the failure lies between the last good day and the test") {
  SnapshotBuilder rig = field_rig();
  rig.add_life("l12", 1, kFitted);
  FailRequest request = failed(rig, "l12", Remedy::spare);
  CHECK_THAT(plan_fail(rig.build(), request).outcome.hints.at(0), Contains("--found-on-test"));
  request.found_on_test = true;
  Plan plan = plan_fail(rig.build(), request);
  CHECK(plan.entries[0].ends[0].kind == EndKind::failed_on_test);
  CHECK(plan.entries[0].ends[0].last_good == kFitted);
  CHECK(plan.entries[0].ends[0].test_date == kToday);
  CHECK(plan.outcome.hints.empty());

  rig.add_test("l12", day(2024, 9, 10), true);
  rig.add_test("l12", day(2025, 4, 6), false);
  plan = plan_fail(rig.build(), request);
  CHECK(plan.entries[0].ends[0].last_good == day(2024, 9, 10));

  request.last_good = day(2025, 1, 1);
  plan = plan_fail(rig.build(), request);
  CHECK(plan.entries[0].ends[0].last_good == day(2025, 1, 1));
}

TEST_CASE("A position of no part number takes what is named or stays dead") {
  SnapshotBuilder rig = field_rig();
  UnitLife& spring = rig.add_life("t12", 1, kFitted);
  spring.no_part = "original";
  FailRequest request = failed(rig, "t12", Remedy::spare);
  Plan plan = plan_fail(rig.build(), request);
  CHECK(plan.outcome.left_state == PlaceState::dead);
  CHECK(plan.outcome.gets_by == "block and chain");
  CHECK_FALSE(plan.outcome.stock_of);

  request.pick.no_part = "spring from the shop";
  plan = plan_fail(rig.build(), request);
  CHECK(plan.entries[0].fits.at(0).no_part == "spring from the shop");
  CHECK_FALSE(plan.entries[0].fits[0].stand_in);
  CHECK(plan.entries[0].movements.empty());
  CHECK(plan.outcome.left_state == PlaceState::fitted);

  request.pick = {};
  request.pick.from = rig.bin("b1");
  REQUIRE_THROWS_WITH(plan_fail(rig.build(), request), Contains("has no part number"));
}

TEST_CASE("What is dead fails no second time, unless what gets you by changes") {
  SnapshotBuilder rig = field_rig();
  rig.add_life("l12", 1, kFitted);
  rig.end_life(day(2026, 5, 1), EndKind::failed);
  rig.add_stock("p30", "b4", 1);
  REQUIRE_THROWS_WITH(plan_fail(rig.build(), failed(rig, "l12", Remedy::spare)),
                      Contains("l12 is dead since 2026-05-01") && Contains("fit l12"));
  REQUIRE_THROWS_AS(plan_fail(rig.build(), failed(rig, "l12", Remedy::repaired)), InputError);
  REQUIRE_THROWS_AS(plan_fail(rig.build(), failed(rig, "l12", Remedy::left_dead)), InputError);

  FailRequest request = failed(rig, "l12", Remedy::stand_in);
  request.remedy_text = "switch off another trailer";
  const Plan plan = plan_fail(rig.build(), request);
  const EntryDraft& entry = plan.entries.front();
  CHECK(entry.ends.empty());
  REQUIRE(entry.opens.size() == 1);
  CHECK(entry.opens[0].state == PlaceState::stand_in);
  CHECK(entry.fits.at(0).stand_in);
  CHECK_THAT(plan.outcome.notes.at(0), Contains("no new failure"));
}

TEST_CASE("A failure under an upstream cause, open on that day") {
  SnapshotBuilder rig = field_rig();
  rig.add_life("l21", 1, kFitted);
  const FaultId fault = rig.add_fault("chafed-feed", "l21", day(2026, 5, 1)).id;
  FailRequest request = failed(rig, "l21", Remedy::left_dead);
  request.fault = fault;
  CHECK(plan_fail(rig.build(), request).entries[0].ends[0].fault == fault);
  rig.edit().faults[0].closed = day(2026, 5, 20);
  REQUIRE_THROWS_WITH(plan_fail(rig.build(), request),
                      Contains("chafed-feed was closed on 2026-05-20"));
}
