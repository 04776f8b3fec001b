#include <catch2/catch.hpp>

#include "domain/plan_fit.hpp"
#include "plan_world.hpp"
#include "shearpin/base/error.hpp"

using namespace shearpin;
using namespace shearpin::domain;
using namespace shearpin::domain::testing;
using Catch::Matchers::Contains;

namespace {

RenewRequest renewing(const SnapshotBuilder& rig, const std::string& position) {
  RenewRequest request;
  request.when = when(kToday);
  request.position = rig.position(position);
  return request;
}

}  // namespace

TEST_CASE("Renewing ends a good unit and fits a spare") {
  SnapshotBuilder rig = field_rig();
  const UnitId unit = rig.add_life("l21", 1, kFitted).id;
  rig.add_stock("p13", "b1", 2);
  const Plan plan = plan_renew(rig.build(), renewing(rig, "l21"));
  const EntryDraft& entry = plan.entries.front();
  CHECK(entry.kind == EntryKind::renew);
  CHECK(entry.ends.at(0).unit == unit);
  CHECK(entry.ends[0].kind == EndKind::renewed);
  CHECK(entry.ends[0].left == PlaceState::empty);
  CHECK(entry.fits.size() == 1);
  CHECK(moved_to(entry, Outside::scrapped) == 1);
  CHECK(plan.outcome.left_aboard == 1);
}

TEST_CASE("Kept as a worn spare: a lot of its own with its age") {
  SnapshotBuilder rig = field_rig();
  rig.add_life("l05", 1, kFitted);
  UnitLife& second = rig.add_life("l05", 2, day(2024, 1, 1));
  second.lot = LotId{1};
  StockLine& sisters = rig.add_stock("p25", "b4", 5);
  sisters.batch = "VB-11";
  sisters.made = day(2022, 1, 1);
  RenewRequest request = renewing(rig, "l05");
  request.count = 2;
  request.keep = rig.bin("b1");
  request.age_of = [](const UnitLife& life) -> std::optional<double> {
    return life.unit == 1 ? std::optional(1141.0) : std::nullopt;
  };
  const Plan plan = plan_renew(rig.build(), request);
  const EntryDraft& entry = plan.entries.front();
  REQUIRE(entry.lots.size() == 2);
  CHECK(entry.lots[0].state == LotState::worn);
  CHECK(entry.lots[0].age == 1141.0);
  CHECK_FALSE(entry.lots[1].age);
  CHECK(entry.lots[1].batch == "VB-11");
  CHECK(entry.lots[1].made == day(2022, 1, 1));
  CHECK(bin_changes(plan, rig.build()) ==
        std::map<std::string, std::int64_t>{{"b1", 2}, {"b4", -2}});
  CHECK(moved_to(entry, Outside::taken_off) == 2);
  CHECK(moved_to(entry, Outside::scrapped) == 0);
  CHECK(plan.outcome.kept_in == rig.bin("b1"));
  CHECK(plan.outcome.left_aboard == 5);
  CHECK_THAT(plan.outcome.notes.at(0), Contains("age of what came off l05/2 is not known"));
}

TEST_CASE("Kept and replaced from outside: two lots that are not mixed up") {
  SnapshotBuilder rig = field_rig();
  rig.add_life("l12", 1, kFitted);
  RenewRequest request = renewing(rig, "l12");
  request.keep = rig.bin("b4");
  request.age_of = [](const UnitLife&) { return std::optional(1141.0); };
  request.pick.from_outside = true;
  const Plan plan = plan_renew(rig.build(), request);
  const EntryDraft& entry = plan.entries.front();
  REQUIRE(entry.lots.size() == 2);
  CHECK(entry.lots[0].state == LotState::worn);
  CHECK(entry.lots[1].state == LotState::fresh);
  CHECK(std::get<NewLot>(*entry.fits[0].lot).index == 1);
  CHECK(bin_changes(plan, rig.build()) == std::map<std::string, std::int64_t>{{"b4", 1}});
}

TEST_CASE("Past its marked end a unit ends as expired and is no spare") {
  SnapshotBuilder rig = field_rig();
  rig.add_life("l25", 1, kFitted).marked_end = kToday;
  rig.add_stock("p39", "b1", 1).ends = day(2031, 1, 1);
  RenewRequest request = renewing(rig, "l25");
  Plan plan = plan_renew(rig.build(), request);
  CHECK(plan.entries[0].ends[0].kind == EndKind::expired);
  CHECK_THAT(plan.outcome.notes.at(0), Contains("reached its marked end"));
  request.keep = rig.bin("b1");
  REQUIRE_THROWS_WITH(plan_renew(rig.build(), request), Contains("--keep"));

  rig.edit().lives[0].marked_end = day(2026, 5, 26);
  request.keep.reset();
  CHECK(plan_renew(rig.build(), request).entries[0].ends[0].kind == EndKind::renewed);
  request.expired = true;
  CHECK(plan_renew(rig.build(), request).entries[0].ends[0].kind == EndKind::expired);
}

// The shackle bolt of the scenario: a plain bolt stood in on one of four for 12 days.
TEST_CASE("A stand-in is what renewing takes out first") {
  SnapshotBuilder rig = field_rig();
  rig.add_life("l05", 1, kFitted);
  UnitLife& bolt = rig.add_life("l05", 2, day(2026, 5, 13));
  bolt.stand_in = true;
  bolt.part.reset();
  bolt.lot.reset();
  rig.add_stock("p25", "b4", 1);
  const Plan plan = plan_renew(rig.build(), renewing(rig, "l05"));
  CHECK(plan.outcome.units == std::vector<int>{2});
  CHECK(plan.outcome.unit_why == "on a stand-in");
  CHECK(plan.entries[0].ends[0].kind == EndKind::stand_in_removed);
  CHECK(moved_to(plan.entries[0], Outside::scrapped) == 0);
}

TEST_CASE("Units named are renewed together") {
  SnapshotBuilder rig = field_rig();
  for (int unit = 1; unit <= 4; ++unit) {
    rig.add_life("l05", unit, kFitted);
  }
  rig.add_stock("p26", "b4", 2);
  RenewRequest request = renewing(rig, "l05");
  request.units = {4, 2};
  request.pick.part = rig.part("p26");
  const Plan plan = plan_renew(rig.build(), request);
  CHECK(plan.outcome.units == std::vector<int>{2, 4});
  CHECK(plan.outcome.left_aboard == 0);
}

TEST_CASE("Renewing needs a unit and a spare") {
  SnapshotBuilder rig = field_rig();
  REQUIRE_THROWS_WITH(plan_renew(rig.build(), renewing(rig, "l12")),
                      Contains("nothing to renew") && Contains("fit l12"));
  rig.add_life("l12", 1, kFitted);
  rig.add_stock("p30", "b7", 2);
  REQUIRE_THROWS_WITH(plan_renew(rig.build(), renewing(rig, "l12")),
                      Contains("no sound spare for l12") && Contains("2 p30 ashore in b7"));
  rig.add_life("t12", 1, kFitted);
  RenewRequest request = renewing(rig, "t12");
  REQUIRE_THROWS_WITH(plan_renew(rig.build(), request), Contains("--no-part"));
  request.pick.no_part = "spring from the shop";
  REQUIRE_NOTHROW(plan_renew(rig.build(), request));
  request.keep = rig.bin("b1");
  REQUIRE_THROWS_WITH(plan_renew(rig.build(), request), Contains("no part number"));
}
