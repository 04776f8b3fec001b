#include "domain/plan_exposure.hpp"

#include <catch2/catch.hpp>

#include "plan_world.hpp"
#include "shearpin/base/error.hpp"

using namespace shearpin;
using namespace shearpin::domain;
using namespace shearpin::domain::testing;
using Catch::Matchers::Contains;

namespace {

ReadingRequest reading(const SnapshotBuilder& rig, const std::string& meter, Date on,
                       double value) {
  ReadingRequest request;
  request.when = when(on);
  request.meter = rig.meter(meter);
  request.value = value;
  return request;
}

}  // namespace

TEST_CASE("A meter does not run backwards unless it was replaced") {
  SnapshotBuilder rig = field_rig();
  rig.add_meter("truck-km", "km");
  rig.add_reading("truck-km", day(2024, 4, 8), 162450);
  const Date on = day(2024, 6, 30);
  REQUIRE_NOTHROW(plan_reading(rig.build(), reading(rig, "truck-km", on, 162450)));
  REQUIRE_THROWS_WITH(plan_reading(rig.build(), reading(rig, "truck-km", on, 162449)),
                      Contains("162450 km on 2024-04-08") && Contains("--replaced"));
  ReadingRequest request = reading(rig, "truck-km", on, 0);
  request.replaced = true;
  CHECK(plan_reading(rig.build(), request).entries[0].readings.at(0).replaced);
  request.value = -1;
  REQUIRE_THROWS_AS(plan_reading(rig.build(), request), InputError);
  // An earlier day compares with the readings before it only.
  REQUIRE_NOTHROW(plan_reading(rig.build(), reading(rig, "truck-km", day(2024, 4, 7), 1)));
}

TEST_CASE("Miles are stored as kilometres") {
  SnapshotBuilder rig = field_rig();
  rig.add_meter("odo", "mi");
  const Plan plan = plan_reading(rig.build(), reading(rig, "odo", day(2024, 6, 30), 1000));
  // One international mile is 1609.344 m exactly (1959 agreement).
  CHECK(plan.entries[0].readings[0].value == Approx(1609.344).epsilon(1e-12));
  rig.add_reading("odo", day(2024, 6, 30), 1609.344);
  REQUIRE_NOTHROW(plan_reading(rig.build(), reading(rig, "odo", day(2024, 7, 1), 1000)));
  REQUIRE_THROWS_WITH(plan_reading(rig.build(), reading(rig, "odo", day(2024, 7, 1), 999)),
                      Contains("1000 mi"));
}

// The mistyped odometer of the scenario: 176,800 for 167,800 on 2024-06-30.
TEST_CASE("A slip of the pen is hinted at, an ordinary stretch is not") {
  SnapshotBuilder rig = field_rig();
  rig.add_meter("truck-km", "km");
  rig.add_reading("truck-km", day(2023, 4, 1), 148200);
  rig.add_reading("truck-km", day(2024, 4, 8), 162450);
  const Date on = day(2024, 6, 30);
  CHECK(plan_reading(rig.build(), reading(rig, "truck-km", on, 176800)).outcome.hints.size() == 1);
  CHECK(plan_reading(rig.build(), reading(rig, "truck-km", on, 167800)).outcome.hints.empty());
}

TEST_CASE("A stay counts nights on the meter of nights") {
  SnapshotBuilder rig = field_rig();
  StayRequest request;
  request.when = when(day(2026, 5, 25));
  request.nights = 3;
  request.place = "Tarrow Lake";
  Plan plan = plan_stay(rig.build(), request);
  CHECK(plan.entries.size() == 1);
  CHECK_THAT(plan.outcome.notes.at(0), Contains("no meter of nights"));

  rig.add_meter("nights", "nights");
  plan = plan_stay(rig.build(), request);
  REQUIRE(plan.entries.size() == 2);
  CHECK(plan.entries[0].happened == day(2026, 5, 22));
  CHECK(plan.entries[0].readings.at(0).value == 0);
  CHECK(plan.entries[1].readings.at(0).value == 3);
  CHECK(plan.entries[1].stays.at(0).place == "Tarrow Lake");

  rig.add_reading("nights", day(2026, 5, 22), 578);
  plan = plan_stay(rig.build(), request);
  REQUIRE(plan.entries.size() == 1);
  CHECK(plan.entries[0].readings[0].value == 581);

  request.nights = 4;
  REQUIRE_THROWS_WITH(plan_stay(rig.build(), request), Contains("at most 3"));
  request.nights = 0;
  REQUIRE_THROWS_AS(plan_stay(rig.build(), request), InputError);
  request.nights = 1;
  rig.add_meter("nights-b", "nights");
  REQUIRE_THROWS_WITH(plan_stay(rig.build(), request), Contains("nights and nights-b"));
}

TEST_CASE("A condition holds once at a time on a rig") {
  SnapshotBuilder rig = field_rig();
  rig.catalogue().classes[0].sensitivity["smoke-dust"] = 2;
  ConditionPeriod past;
  past.condition = "smoke-dust";
  past.rig = RigId{1};
  past.from = day(2026, 4, 1);
  past.to = day(2026, 4, 20);
  past.entry = EntryId{77};
  rig.edit().conditions.push_back(past);
  ConditionRequest request;
  request.when = when(day(2026, 4, 21));
  request.condition = "smoke-dust";
  request.rig = RigId{1};
  Plan plan = plan_condition(rig.build(), request);
  REQUIRE(plan.entries[0].conditions.size() == 1);
  CHECK_FALSE(plan.entries[0].conditions[0].to);
  CHECK(plan.outcome.notes.empty());
  request.when = when(day(2026, 4, 20));
  REQUIRE_THROWS_WITH(plan_condition(rig.build(), request),
                      Contains("2026-04-01 to 2026-04-20") && Contains("undo entry 77"));
  request.condition = "locusts";
  plan = plan_condition(rig.build(), request);
  CHECK_THAT(plan.outcome.notes.at(0), Contains("known are smoke-dust") && !Contains("nearest"));
  for (const char* slip : {"dust", "smokedust", "smoke-dsut", "sand"}) {
    INFO(slip);
    request.condition = slip;
    CHECK_THAT(plan_condition(rig.build(), request).outcome.notes.at(0),
               Contains("nearest: smoke-dust"));
  }
  request.condition = "locusts";
  request.to = day(2026, 4, 19);
  REQUIRE_THROWS_AS(plan_condition(rig.build(), request), InputError);
  request.to = day(2026, 5, 26);
  REQUIRE_THROWS_AS(plan_condition(rig.build(), request), InputError);
}
