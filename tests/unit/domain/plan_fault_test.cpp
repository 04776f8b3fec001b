#include "domain/plan_fault.hpp"

#include <catch2/catch.hpp>

#include "plan_world.hpp"
#include "shearpin/base/error.hpp"

using namespace shearpin;
using namespace shearpin::domain;
using namespace shearpin::domain::testing;
using Catch::Matchers::Contains;

namespace {

// The fuse of the scenario that blew six times in 45 days for a chafed feed.
SnapshotBuilder blowing_rig() {
  SnapshotBuilder rig = field_rig();
  const Date blows[] = {day(2023, 5, 9),  day(2024, 5, 28), day(2024, 6, 5), day(2024, 6, 11),
                        day(2024, 6, 30), day(2024, 7, 6),  day(2024, 7, 12)};
  Date fitted = day(2023, 4, 10);
  for (const Date blow : blows) {
    rig.add_life("l21", 1, fitted);
    rig.end_life(blow, EndKind::failed, PlaceState::fitted);
    fitted = blow;
  }
  rig.add_life("l21", 1, fitted);
  rig.add_stock("p13", "b1", 3);
  return rig;
}

}  // namespace

TEST_CASE("Opening a fault sets earlier failures down to it in an entry of its own") {
  SnapshotBuilder rig = blowing_rig();
  FaultOpenRequest request;
  request.when = when(day(2024, 7, 14));
  request.key = "Chafed-Feed";
  request.position = rig.position("l21");
  Plan plan = plan_fault_open(rig.build(), request);
  REQUIRE(plan.entries.size() == 1);
  CHECK(plan.entries[0].kind == EntryKind::fault_open);
  CHECK(plan.entries[0].faults.at(0).key == "chafed-feed");

  request.since = day(2024, 5, 28);
  plan = plan_fault_open(rig.build(), request);
  REQUIRE(plan.entries.size() == 2);
  CHECK(plan.entries[1].kind == EntryKind::attribute);
  CHECK(plan.entries[1].attributions.size() == 6);
  CHECK(plan.entries[1].attributions[0].fault == "chafed-feed");
  CHECK_THAT(plan.outcome.notes.at(0), Contains("6 failures since 2024-05-28"));

  request.since = day(2024, 7, 13);
  plan = plan_fault_open(rig.build(), request);
  CHECK(plan.entries.size() == 1);
  request.since = day(2024, 7, 15);
  REQUIRE_THROWS_AS(plan_fault_open(rig.build(), request), InputError);
}

TEST_CASE("A key names one fault") {
  SnapshotBuilder rig = blowing_rig();
  rig.add_fault("chafed-feed", "l21", day(2024, 6, 1));
  FaultOpenRequest request;
  request.when = when(day(2024, 7, 14));
  request.key = "chafed-feed";
  request.position = rig.position("l21");
  REQUIRE_THROWS_WITH(plan_fault_open(rig.build(), request), Contains("opened on 2024-06-01"));
  request.key = "chafed feed!";
  REQUIRE_THROWS_AS(plan_fault_open(rig.build(), request), InputError);
}

TEST_CASE("An upstream repair closes the fault and fits a fresh unit") {
  SnapshotBuilder rig = blowing_rig();
  rig.add_fault("chafed-feed", "l21", day(2024, 6, 11));
  FaultCloseRequest request;
  request.when = when(day(2024, 7, 14), "feed re-sleeved");
  request.fault = FaultId{1};
  Plan plan = plan_fault_close(rig.build(), request);
  REQUIRE(plan.entries.size() == 1);
  CHECK(plan.entries[0].kind == EntryKind::fault_close);
  CHECK(plan.entries[0].faults.at(0).closes);

  RenewRequest renew;
  renew.when = request.when;
  renew.position = rig.position("l21");
  request.renew = renew;
  plan = plan_fault_close(rig.build(), request);
  REQUIRE(plan.entries.size() == 2);
  CHECK(plan.entries[0].kind == EntryKind::fault_close);
  CHECK(plan.entries[1].kind == EntryKind::renew);
  CHECK(plan.outcome.part_used == rig.part("p13"));
  CHECK(plan.outcome.left_aboard == 2);

  rig.edit().faults[0].closed = day(2024, 7, 14);
  REQUIRE_THROWS_WITH(plan_fault_close(rig.build(), request), Contains("closed on 2024-07-14"));
}

TEST_CASE("A fault cannot be closed before it was opened") {
  SnapshotBuilder rig = blowing_rig();
  rig.add_fault("chafed-feed", "l21", day(2024, 6, 11));
  FaultCloseRequest request;
  request.when = when(day(2024, 6, 10));
  request.fault = FaultId{1};
  REQUIRE_THROWS_AS(plan_fault_close(rig.build(), request), InputError);
}

TEST_CASE("Failures are set down to one fault only, and renewals never") {
  SnapshotBuilder rig = blowing_rig();
  rig.add_fault("chafed-feed", "l21", day(2024, 6, 11));
  rig.edit().lives[1].end->fault = FaultId{9};
  rig.edit().lives[2].end->kind = EndKind::renewed;
  AttributeRequest request;
  request.when = when(day(2024, 7, 14));
  request.fault = FaultId{1};
  request.position = rig.position("l21");
  request.since = day(2024, 5, 28);
  const Plan plan = plan_attribute(rig.build(), request);
  CHECK(plan.entries[0].attributions.size() == 4);
  request.since = day(2024, 7, 13);
  REQUIRE_THROWS_WITH(plan_attribute(rig.build(), request),
                      Contains("no failure since 2024-07-13"));
}
