// Functional tests, and the failure that follows a failed one.

#include <catch2/catch.hpp>

#include "domain/plan_fail.hpp"
#include "plan_world.hpp"
#include "shearpin/base/error.hpp"

using namespace shearpin;
using namespace shearpin::domain;
using namespace shearpin::domain::testing;
using Catch::Matchers::Contains;

namespace {

TestRequest tested(const SnapshotBuilder& rig, const std::string& position, Date on, bool passed) {
  TestRequest request;
  request.when = when(on);
  request.position = rig.position(position);
  request.passed = passed;
  return request;
}

}  // namespace

TEST_CASE("A passed test is a line and changes nothing") {
  SnapshotBuilder rig = field_rig();
  rig.add_life("l12", 1, day(2023, 4, 10));
  const Plan plan = plan_test(rig.build(), tested(rig, "l12", day(2024, 4, 12), true));
  REQUIRE(plan.entries.size() == 1);
  CHECK(plan.entries[0].kind == EntryKind::test);
  REQUIRE(plan.entries[0].tests.size() == 1);
  CHECK(plan.entries[0].tests[0].unit == 1);
  CHECK(plan.entries[0].ends.empty());
  CHECK(plan.outcome.left_state == PlaceState::fitted);
}

// The breakaway switch of the scenario: passed 2023-09-02, 2024-04-12, 2024-09-10, failed
// 2025-04-06, replaced 2025-04-16; the failure lies within 208 days (the demo scenario).
TEST_CASE("A failed test ends a hidden unit between its last passed test and the test") {
  SnapshotBuilder rig = field_rig();
  const UnitId unit = rig.add_life("l12", 1, day(2023, 4, 10)).id;
  rig.add_test("l12", day(2023, 9, 2), true);
  rig.add_test("l12", day(2024, 4, 12), true);
  rig.add_test("l12", day(2024, 9, 10), true);
  TestRequest request = tested(rig, "l12", day(2025, 4, 6), false);
  request.cause = "corrosion";
  const Plan plan = plan_test(rig.build(), request);
  const EntryDraft& entry = plan.entries.front();
  REQUIRE(entry.ends.size() == 1);
  CHECK(entry.ends[0].unit == unit);
  CHECK(entry.ends[0].kind == EndKind::failed_on_test);
  CHECK(days_between(*entry.ends[0].last_good, *entry.ends[0].test_date) == 208);
  CHECK(entry.ends[0].left == PlaceState::dead);
  CHECK(entry.ends[0].cause == "corrosion");
  CHECK_FALSE(entry.tests.at(0).passed);
  CHECK(plan.outcome.left_open == std::vector<int>{1});
}

TEST_CASE("Without a passed test the unit was last good at its fit or a repair") {
  SnapshotBuilder rig = field_rig();
  rig.add_life("l12", 1, day(2025, 4, 16));
  rig.add_test("l12", day(2024, 9, 10), true);  // of the unit before
  const TestRequest request = tested(rig, "l12", day(2026, 4, 8), false);
  CHECK(plan_test(rig.build(), request).entries[0].ends[0].last_good == day(2025, 4, 16));
  rig.edit().lives[0].repairs = {day(2025, 8, 1)};
  CHECK(plan_test(rig.build(), request).entries[0].ends[0].last_good == day(2025, 8, 1));
}

TEST_CASE("A class whose failure shows failed on the day of the test") {
  SnapshotBuilder rig = field_rig();
  rig.add_life("l21", 1, day(2023, 4, 10));
  const Plan plan = plan_test(rig.build(), tested(rig, "l21", day(2024, 4, 12), false));
  CHECK(plan.entries[0].ends[0].kind == EndKind::failed);
  CHECK_FALSE(plan.entries[0].ends[0].last_good);
}

TEST_CASE("After a failed test a logged failure only fits the new unit") {
  SnapshotBuilder rig = field_rig();
  rig.add_life("l12", 1, day(2023, 4, 10));
  LifeEnd& end = rig.end_life(day(2025, 4, 6), EndKind::failed_on_test);
  end.entry = rig.add_test("l12", day(2025, 4, 6), false).entry;
  rig.add_stock("p30", "b4", 1);
  FailRequest request;
  request.when = when(day(2025, 4, 16));
  request.position = rig.position("l12");
  request.cause = "corrosion";
  const Plan plan = plan_fail(rig.build(), request);
  const EntryDraft& entry = plan.entries.front();
  CHECK(entry.kind == EntryKind::fit);
  CHECK(entry.ends.empty());
  REQUIRE(entry.fits.size() == 1);
  CHECK(entry.note == "cause: corrosion");
  CHECK_THAT(plan.outcome.notes.at(0), Contains("test of 2025-04-06"));
  CHECK(plan.outcome.left_state == PlaceState::fitted);

  rig.edit().stock[0].quantity = 0;
  REQUIRE_THROWS_WITH(plan_fail(rig.build(), request), Contains("l12 is dead since 2025-04-06"));
}

TEST_CASE("Where several are fitted a failed test names its unit, a pass speaks of all") {
  SnapshotBuilder rig = field_rig();
  rig.add_life("l05", 1, day(2023, 4, 10));
  rig.add_life("l05", 2, day(2023, 4, 10));
  TestRequest request = tested(rig, "l05", day(2024, 4, 12), false);
  REQUIRE_THROWS_WITH(plan_test(rig.build(), request), Contains("which one failed"));
  request.unit = 2;
  CHECK(plan_test(rig.build(), request).outcome.units == std::vector<int>{2});
  request.passed = true;
  request.unit.reset();
  const Plan plan = plan_test(rig.build(), request);
  CHECK_FALSE(plan.entries[0].tests[0].unit);
  CHECK(plan.outcome.units == std::vector<int>{1, 2});
}

TEST_CASE(
    "A unit dead since a test must be named before another failure of its position is logged") {
  SnapshotBuilder rig = field_rig();
  rig.add_life("l05", 1, day(2023, 4, 10));
  LifeEnd& end = rig.end_life(day(2025, 4, 6), EndKind::failed);
  end.entry = rig.add_test("l05", day(2025, 4, 6), false).entry;
  rig.add_life("l05", 2, day(2023, 4, 10));
  rig.add_stock("p25", "b4", 2);
  FailRequest request;
  request.when = when(day(2025, 4, 16));
  request.position = rig.position("l05");
  REQUIRE_THROWS_WITH(plan_fail(rig.build(), request), Contains("l05/1"));
  request.units = {2};
  CHECK(plan_fail(rig.build(), request).entries[0].ends.size() == 1);
  request.units = {1};
  CHECK(plan_fail(rig.build(), request).entries[0].ends.empty());
}

TEST_CASE("What is not there cannot be tested") {
  SnapshotBuilder rig = field_rig();
  REQUIRE_THROWS_AS(plan_test(rig.build(), tested(rig, "l12", day(2024, 4, 12), true)), InputError);
  rig.add_life("l12", 1, day(2023, 4, 10));
  rig.end_life(day(2024, 1, 1), EndKind::failed);
  REQUIRE_THROWS_WITH(plan_test(rig.build(), tested(rig, "l12", day(2024, 4, 12), true)),
                      Contains("is dead since 2024-01-01"));
}
