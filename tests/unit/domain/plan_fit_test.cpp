// Fitting and renewing.

#include "domain/plan_fit.hpp"

#include <catch2/catch.hpp>

#include "plan_world.hpp"
#include "shearpin/base/error.hpp"

using namespace shearpin;
using namespace shearpin::domain;
using namespace shearpin::domain::testing;
using Catch::Matchers::Contains;

namespace {

FitRequest fitting(const SnapshotBuilder& rig, const std::string& position, Date on = kToday) {
  FitRequest request;
  request.when = when(on);
  request.position = rig.position(position);
  return request;
}

}  // namespace

TEST_CASE("The first fit fills all places with what was there before the ledger") {
  SnapshotBuilder rig = field_rig();
  FitRequest request = fitting(rig, "l05", kFitted);
  request.age_unknown = true;
  const Plan plan = plan_fit(rig.build(), request);
  const EntryDraft& entry = plan.entries.front();
  CHECK(entry.kind == EntryKind::fit);
  REQUIRE(entry.fits.size() == 4);
  CHECK(entry.fits[3].unit == 4);
  CHECK(entry.fits[0].part == rig.part("p25"));
  CHECK(entry.fits[0].age_unknown);
  REQUIRE(entry.lots.size() == 1);
  CHECK(entry.lots[0].state == LotState::worn);
  REQUIRE(entry.movements.size() == 1);
  CHECK(entry.movements[0].from == Place{Outside::before});
  CHECK(entry.movements[0].quantity == 4);
  CHECK(plan.outcome.units == std::vector<int>{1, 2, 3, 4});
}

TEST_CASE("Only empty places are filled, later pieces come from a supplier") {
  SnapshotBuilder rig = field_rig();
  rig.add_life("l05", 1, kFitted);
  rig.add_life("l05", 2, kFitted);
  rig.end_life(day(2026, 5, 1), EndKind::failed);
  FitRequest request = fitting(rig, "l05");
  request.units = {2};
  Plan plan = plan_fit(rig.build(), request);
  CHECK(plan.entries[0].movements.at(0).from == Place{Outside::supplier});
  request.units = {};
  plan = plan_fit(rig.build(), request);
  CHECK(plan.outcome.units == std::vector<int>{2, 3, 4});
  request.units = {1};
  REQUIRE_THROWS_WITH(plan_fit(rig.build(), request), Contains("l05/1 is fitted since 2023-04-10"));
  request.units = {2, 2};
  REQUIRE_THROWS_WITH(plan_fit(rig.build(), request), Contains("twice"));
}

TEST_CASE("Nothing is fitted where all places are full") {
  SnapshotBuilder rig = field_rig();
  rig.add_life("l21", 1, kFitted);
  REQUIRE_THROWS_WITH(plan_fit(rig.build(), fitting(rig, "l21")),
                      Contains("fail l21") && Contains("renew l21"));
}

TEST_CASE("From a bin the unit takes over age and end of its lot") {
  SnapshotBuilder rig = field_rig();
  rig.add_life("l25", 1, kFitted);
  rig.end_life(day(2026, 5, 1), EndKind::failed);
  StockLine& hose = rig.add_stock("p39", "b1", 1);
  hose.made = day(2021, 7, 1);
  FitRequest request = fitting(rig, "l25");
  request.pick.from = rig.bin("b1");
  Plan plan = plan_fit(rig.build(), request);
  // Made 2021-07 and kept for five years: it runs out on 2026-07-01 (the demo scenario).
  CHECK(plan.entries[0].fits[0].marked_end == day(2026, 7, 1));
  CHECK(plan.outcome.marked_end == day(2026, 7, 1));
  CHECK(plan.outcome.chosen_why == "only lot");
  CHECK(bin_changes(plan, rig.build()) == std::map<std::string, std::int64_t>{{"b1", -1}});

  request.ends = day(2026, 1, 1);
  plan = plan_fit(rig.build(), request);
  CHECK(plan.entries[0].fits[0].marked_end == day(2026, 1, 1));
  CHECK_THAT(plan.outcome.notes.at(0), Contains("past its marked end"));
}

TEST_CASE("A worn piece goes on from its age, an age told goes before it") {
  SnapshotBuilder rig = field_rig();
  StockLine& worn = rig.add_stock("p30", "b4", 1);
  worn.state = LotState::worn;
  worn.age = 372;
  FitRequest request = fitting(rig, "l12");
  request.pick.from = rig.bin("b4");
  CHECK(plan_fit(rig.build(), request).entries[0].fits[0].age == 372.0);
  request.age = 400;
  CHECK(plan_fit(rig.build(), request).entries[0].fits[0].age == 400.0);
}

TEST_CASE("A date of making gives the end of what is dated, not of what only keeps on a shelf") {
  SnapshotBuilder rig = field_rig();
  FitRequest request = fitting(rig, "l25", kFitted);
  request.made = day(2023, 1, 1);
  CHECK(plan_fit(rig.build(), request).entries[0].fits[0].marked_end == day(2028, 1, 1));
  request = fitting(rig, "l31", kFitted);
  request.made = day(2023, 1, 1);
  CHECK_FALSE(plan_fit(rig.build(), request).entries[0].fits[0].marked_end);
}

TEST_CASE("What may be fitted: the part called for, a substitute, or something without a number") {
  SnapshotBuilder rig = field_rig();
  FitRequest request = fitting(rig, "l05");
  request.pick.part = rig.part("p26");
  CHECK(plan_fit(rig.build(), request).outcome.substitute);
  request.pick.part = rig.part("p30");
  REQUIRE_THROWS_WITH(plan_fit(rig.build(), request), Contains("part substitute"));

  request = fitting(rig, "t12");
  REQUIRE_THROWS_WITH(plan_fit(rig.build(), request), Contains("t12 has no part number"));
  request.pick.no_part = "original";
  const Plan plan = plan_fit(rig.build(), request);
  CHECK(plan.entries[0].fits[0].no_part == "original");
  CHECK(plan.entries[0].lots.empty());
  CHECK(plan.entries[0].movements.empty());
}

TEST_CASE("Fitting a place on a stand-in takes it out") {
  SnapshotBuilder rig = field_rig();
  UnitLife& bolt = rig.add_life("l12", 1, day(2026, 5, 1));
  bolt.stand_in = true;
  bolt.part.reset();
  bolt.lot.reset();
  rig.add_stock("p30", "b4", 1);
  FitRequest request = fitting(rig, "l12");
  request.pick.from = rig.bin("b4");
  const Plan plan = plan_fit(rig.build(), request);
  REQUIRE(plan.entries[0].ends.size() == 1);
  CHECK(plan.entries[0].ends[0].kind == EndKind::stand_in_removed);
  CHECK(plan.entries[0].ends[0].left == PlaceState::empty);
  CHECK_THAT(plan.outcome.notes.at(0), Contains("stand-in is taken out"));
}

TEST_CASE("Ages and dates that cannot be are refused") {
  SnapshotBuilder rig = field_rig();
  FitRequest request = fitting(rig, "l25");
  request.age = -1;
  REQUIRE_THROWS_AS(plan_fit(rig.build(), request), InputError);
  request.age = 10;
  request.age_unknown = true;
  REQUIRE_THROWS_AS(plan_fit(rig.build(), request), InputError);
  request = fitting(rig, "l25");
  request.made = day(2026, 5, 26);
  REQUIRE_THROWS_AS(plan_fit(rig.build(), request), InputError);
  request.made = day(2026, 5, 1);
  request.ends = day(2026, 4, 1);
  REQUIRE_THROWS_AS(plan_fit(rig.build(), request), InputError);
  REQUIRE_THROWS_WITH(plan_fit(rig.build(), fitting(rig, "l25", day(2026, 6, 1))),
                      Contains("after today"));
}

TEST_CASE("A bin with too few for all empty places is refused") {
  SnapshotBuilder rig = field_rig();
  rig.add_stock("p25", "b4", 3);
  FitRequest request = fitting(rig, "l05");
  request.pick.from = rig.bin("b4");
  request.pick.part = rig.part("p25");
  REQUIRE_THROWS_WITH(plan_fit(rig.build(), request), Contains("b4 holds 3 of p25, 4 asked"));
}
