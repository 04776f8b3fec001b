// Expected ages are worked by hand in the comments from dates and dated readings.
#include "shearpin/domain/life_records.hpp"

#include <catch2/catch.hpp>

#include "small_world.hpp"

using namespace shearpin;
using namespace shearpin::domain;
using shearpin::domain::test::day;
using shearpin::domain::test::World;
using Kind = AgeRecord::Kind;

namespace {

/// A part that ages in days at one position.
struct Days {
  World world;
  PartId part;
  PositionId position;

  explicit Days(std::string_view as_of = "2026-05-25", int units = 1, bool hidden = false)
      : world(as_of) {
    ComponentClass& kind = world.component_class("thing", Basis::days);
    kind.hidden = hidden;
    kind.life_median = 1000;
    part = world.part("thing", kind.id);
    position = world.position("place", part, units).id;
  }
  std::vector<AgeRecord> records() const { return world.records(part); }
  AgeRecord only() const {
    const std::vector<AgeRecord> all = records();
    REQUIRE(all.size() == 1);
    return all.front();
  }
};

void fault(World& world, const std::string& key, std::string_view opened, std::string_view closed) {
  Fault fault;
  fault.id = {static_cast<std::int64_t>(world.snapshot.faults.size()) + 1};
  fault.key = key;
  fault.position = {1};
  fault.opened = day(opened);
  if (!closed.empty()) {
    fault.closed = day(closed);
  }
  world.snapshot.faults.push_back(fault);
}

}  // namespace

TEST_CASE("a heater pin known by hours: entered at its age, failed at its age") {
  World world("2026-05-25");
  const ClassId kind = world.component_class("glow-pin", Basis::run_hours).id;
  const PartId pin = world.part("pin", kind);
  const MeterId hours = world.meter("heater-h", "h",
                                    {{"2023-04-01", 310},
                                     {"2023-09-01", 402},
                                     {"2023-11-20", 655},
                                     {"2025-08-03", 1184},
                                     {"2025-11-14", 1402},
                                     {"2026-05-24", 1460}});
  const PositionId place = world.position("heater-pin", pin).id;
  world.position("x", pin).meter = hours;
  world.catalogue().positions[0].meter = hours;
  world.life(place, "2023-04-01", "2023-11-03").age_at_fit = 310;
  world.life(place, "2023-11-03", "2025-10-03");
  world.fit(place, "2025-10-03");
  const auto records = world.records(pin);
  REQUIRE(records.size() == 3);
  // 253 h in the 80 days from 2023-09-01, of which 63: 402 + 199.24 = 601.24
  CHECK(records[0].kind == Kind::failed);
  CHECK(records[0].entry == Approx(310));
  CHECK(records[0].exit == Approx(402 + 253.0 * 63 / 80));
  CHECK(records[0].exit == Approx(601).margin(0.5));
  // 218 h in the 103 days from 2025-08-03, of which 61: 1184 + 129.11 - 601.24 = 711.87
  CHECK(records[1].entry == 0);
  CHECK(records[1].exit == Approx(712).margin(0.5));
  // still there: 1460 - 1313.106796 = 146.893204 h, and the day after the last reading at the mean
  // of the year before it, (529 * 71 / 622 + 218 + 58) / 365 = 0.921601 h
  CHECK(records[2].kind == Kind::alive);
  CHECK(records[2].exit == Approx(147.814805).epsilon(1e-8));
  CHECK(records[2].assumed_exposure);
  CHECK_FALSE(records[2].class_rate);
  CHECK_FALSE(records[0].assumed_exposure);
}

TEST_CASE("a trailer bearing failed at about 19330 km") {
  World world("2026-05-25");
  const PartId set = world.part("set", world.component_class("bearing", Basis::distance_km).id);
  const MeterId km = world.meter(
      "trailer-km", "km", {{"2023-04-10", 0}, {"2024-06-30", 15600}, {"2024-09-05", 20700}}, 2);
  const PositionId place = world.position("bearing", set).id;
  world.catalogue().positions[0].meter = km;
  world.life(place, "2023-04-10", "2024-08-18");
  const auto records = world.records(set);
  REQUIRE(records.size() == 1);
  // 15600 + 5100 * 49 / 67 = 19329.85
  CHECK(records[0].exit == Approx(19329.85).margin(0.01));
}

TEST_CASE("batteries withdrawn while good are two lower bounds of 1410 days") {
  Days days("2026-05-25", 2);
  days.world.life(days.position, "2022-06-10", "2026-04-20", EndKind::renewed, 1);
  days.world.life(days.position, "2022-06-10", "2026-04-20", EndKind::renewed, 2);
  for (const AgeRecord& record : days.records()) {
    CHECK(record.kind == Kind::alive);
    CHECK(record.entry == 0);
    CHECK(record.exit == 1410);
  }
}

TEST_CASE("lost, expired and withdrawn units had lived so long") {
  for (const EndKind end :
       {EndKind::lost, EndKind::expired, EndKind::renewed, EndKind::stand_in_removed}) {
    Days days;
    days.world.life(days.position, "2024-01-01", "2024-01-31", end);
    CHECK(days.only().kind == Kind::alive);
    CHECK(days.only().exit == 30);
  }
}

TEST_CASE("a switch found dead on a test failed between the last pass and that test") {
  Days days("2026-05-25", 1, true);
  World& world = days.world;
  for (const char* pass : {"2023-09-02", "2024-04-12", "2024-09-10"}) {
    world.test(days.position, pass, true);
  }
  world.test(days.position, "2025-04-06", false);
  UnitLife& life = world.life(days.position, "2023-04-10", "2025-04-16", EndKind::failed_on_test);
  life.end->test_date = day("2025-04-06");
  SECTION("by the tests in the ledger") {}
  SECTION("by the day the person gave") { life.end->last_good = day("2024-09-10"); }
  // 2023-04-10 to 2024-09-10 is 519 days, to 2025-04-06 it is 727: 208 days apart. The ten days to
  // the replacement do not count.
  const AgeRecord record = days.only();
  CHECK(record.kind == Kind::interval);
  CHECK(record.entry == 0);
  CHECK(record.lower == 519);
  CHECK(record.exit == 727);
  CHECK(record.to == day("2025-04-06"));
}

TEST_CASE("without a test since the fit the interval begins at the fit") {
  Days days;
  days.world.test(days.position, "2023-01-01", true);  // of the unit before
  UnitLife& life =
      days.world.life(days.position, "2024-01-01", "2024-03-01", EndKind::failed_on_test);
  life.age_at_fit = 100;
  const AgeRecord record = days.only();
  CHECK(record.kind == Kind::interval);
  CHECK(record.entry == 100);
  CHECK(record.lower == 100);
  CHECK(record.exit == 160);  // 31 + 29 days
}

TEST_CASE("an interval in which the meter stood still is a failure at that age") {
  World world("2024-12-31");
  const PartId part = world.part("part", world.component_class("c", Basis::engine_hours).id);
  const MeterId hours = world.meter(
      "h", "h", {{"2024-01-01", 0}, {"2024-02-01", 31}, {"2024-04-01", 31}, {"2024-05-01", 61}});
  const PositionId place = world.position("p", part).id;
  world.catalogue().positions[0].meter = hours;
  UnitLife& life = world.life(place, "2024-01-01", "2024-03-20", EndKind::failed_on_test);
  life.end->last_good = day("2024-02-10");
  SECTION("at its age") {
    const auto records = world.records(part);
    CHECK(records[0].kind == Kind::failed);
    CHECK(records[0].exit == Approx(31));
  }
  SECTION("at least half an hour after the fit") {
    life.fitted = day("2024-02-05");
    const auto records = world.records(part);
    CHECK(records[0].kind == Kind::failed);
    CHECK(records[0].exit == 0.5);
  }
}

TEST_CASE("a failure on the day of the fit counts half a day") {
  Days days;
  UnitLife& life = days.world.life(days.position, "2024-02-29", "2024-02-29");
  CHECK(days.only().kind == Kind::failed);
  CHECK(days.only().exit == 0.5);
  life.age_at_fit = 310;
  CHECK(days.only().entry == 310);
  CHECK(days.only().exit == 310.5);
  life.end->date = day("2024-03-01");
  CHECK(days.only().exit == 311);
}

TEST_CASE("a hidden unit is known good at its last passed test since the fit, else at its fit") {
  Days days("2026-05-25", 2, true);
  World& world = days.world;
  world.fit(days.position, "2025-01-01", 1);
  world.fit(days.position, "2025-03-01", 2);
  CHECK(days.records()[0].exit == 0);
  CHECK(days.records()[0].kind == Kind::alive);
  world.test(days.position, "2025-01-31", true);      // both places, but unit 2 came later
  world.test(days.position, "2025-06-01", false, 2);  // a failed test is no good news
  CHECK(days.records()[0].exit == 30);
  CHECK(days.records()[1].exit == 0);
  world.test(days.position, "2025-03-11", true, 2);
  CHECK(days.records()[0].exit == 30);
  CHECK(days.records()[1].exit == 10);
}

TEST_CASE("a worn or used unit is watched from its age") {
  Days days("2024-12-31");
  UnitLife& life = days.world.life(days.position, "2024-01-01", "2024-02-04");
  SECTION("age known") {
    life.age_at_fit = 738;
    CHECK(days.only().entry == 738);
    CHECK(days.only().exit == 772);
    CHECK_FALSE(days.only().assumed_age);
  }
  SECTION("age not known: half of the class's median life, said so") {
    life.age_unknown = true;
    CHECK(days.only().entry == 500);
    CHECK(days.only().exit == 534);
    CHECK(days.only().assumed_age);
    CHECK_FALSE(days.only().note.empty());
  }
  SECTION("a share of one's own") {
    life.age_unknown = true;
    days.world.snapshot.policy.set("unknown-age-share", 0.25);
    CHECK(days.only().entry == 250);
  }
  SECTION("from the worn lot it came out of") {
    life.lot = LotId{4};
    StockLine line;
    line.lot = {4};
    line.part = days.part;
    line.quantity = 1;
    line.state = LotState::worn;
    line.age = 90;
    days.world.snapshot.stock.push_back(line);
    CHECK(days.only().entry == 90);
    days.world.snapshot.stock.back().age.reset();
    CHECK(days.only().assumed_age);
  }
}

TEST_CASE("a part of no class of unknown age takes the vague life") {
  World world("2024-12-31");
  const PartId part = world.part("gadget", {});
  world.fit(world.position("p", part).id, "2024-12-01").age_unknown = true;
  CHECK(world.records(part)[0].entry == Approx(1095.75 / 2));
}

TEST_CASE("a repair adds its own record and the life goes on") {
  Days days("2024-12-31");
  UnitLife& life = days.world.life(days.position, "2024-01-01", "2024-04-10");
  life.age_at_fit = 10;
  life.repairs = {day("2024-01-01"), day("2024-01-31")};
  life.repair_took_part = {false, true};
  const auto records = days.records();
  REQUIRE(records.size() == 3);
  CHECK(records[0].kind == Kind::repaired);
  CHECK(records[0].exit == 10.5);
  CHECK_FALSE(records[0].took_part);
  CHECK(records[1].kind == Kind::repaired);
  CHECK(records[1].entry == 40);
  CHECK(records[1].exit == 40);
  CHECK(records[1].took_part);
  CHECK(records[2].kind == Kind::failed);
  CHECK(records[2].entry == 10);
  CHECK(records[2].exit == 110);
}

TEST_CASE("of a set replaced together one failed and the others were alive") {
  Days days("2024-12-31", 4);
  for (int unit = 1; unit <= 4; ++unit) {
    days.world.life(days.position, "2024-01-01", "2024-04-10",
                    unit == 3 ? EndKind::failed : EndKind::renewed, unit);
  }
  int failed = 0;
  for (const AgeRecord& record : days.records()) {
    CHECK(record.exit == 100);
    failed += record.kind == Kind::failed ? 1 : 0;
  }
  CHECK(failed == 1);
}

TEST_CASE("two units that fail on the same day are two failures") {
  Days days("2024-12-31", 2);
  days.world.life(days.position, "2024-01-01", "2024-04-10", EndKind::failed, 1);
  days.world.life(days.position, "2024-01-01", "2024-04-10", EndKind::failed, 2);
  CHECK(days.records()[0].kind == Kind::failed);
  CHECK(days.records()[1].kind == Kind::failed);
}

TEST_CASE("failures through a fault count as failures until it is closed") {
  Days days("2024-08-01");
  World& world = days.world;
  world.life(days.position, "2024-05-28", "2024-06-05").end->fault = FaultId{1};
  SECTION("open") {
    fault(world, "chafed-feed", "2024-06-05", "");
    CHECK(days.only().kind == Kind::failed);
    CHECK(days.only().exit == 8);
    CHECK(days.only().note.find("chafed-feed") != std::string::npos);
  }
  SECTION("closed later than the day asked about") {
    fault(world, "chafed-feed", "2024-06-05", "2024-08-02");
    CHECK(days.only().kind == Kind::failed);
  }
  SECTION("closed") {
    fault(world, "chafed-feed", "2024-06-05", "2024-07-14");
    CHECK(days.only().kind == Kind::alive);
    CHECK(days.only().exit == 8);
    CHECK(days.only().fault == FaultId{1});
  }
  SECTION("closed, found on a test: alive when last known good") {
    fault(world, "chafed-feed", "2024-06-05", "2024-07-14");
    LifeEnd& end = *world.snapshot.lives[0].end;
    end.kind = EndKind::failed_on_test;
    end.last_good = day("2024-05-30");
    CHECK(days.only().kind == Kind::alive);
    CHECK(days.only().exit == 2);
  }
}

TEST_CASE("a stand-in and a unit of no part number are no lives of the part") {
  Days days("2024-12-31");
  World& world = days.world;
  world.life(days.position, "2023-04-10", "2024-07-19");
  UnitLife& bolt = world.life(days.position, "2024-07-19", "2024-07-31", EndKind::stand_in_removed);
  bolt.part.reset();
  bolt.stand_in = true;
  bolt.no_part = "plain graded bolt";
  world.fit(days.position, "2024-07-31");
  CHECK(days.records().size() == 2);

  const ExposureReader exposure(world.snapshot);
  const ClassId kind = world.catalogue().classes[0].id;
  CHECK(life_records_of_class_without_part(world.snapshot, exposure, kind).empty());
  UnitLife& shop = world.life(days.position, "2022-01-01", "2023-04-10");
  shop.part.reset();
  shop.no_part = "fitted by the shop";
  const auto without = life_records_of_class_without_part(world.snapshot, exposure, kind);
  REQUIRE(without.size() == 1);
  CHECK(without[0].exit == 464);
  CHECK(days.records().size() == 2);
}

TEST_CASE("a part is followed over all its positions, in the basis of its own class") {
  World world("2024-12-31");
  const PartId rubber = world.part("rubber", world.component_class("rubber", Basis::days).id);
  const PartId metal = world.part("metal", world.component_class("metal", Basis::days).id);
  const PositionId left = world.position("left", rubber).id;
  const PositionId right = world.position("right", rubber).id;
  world.life(left, "2024-01-01", "2024-01-25");
  world.fit(left, "2024-01-25").part = metal;
  world.life(right, "2024-01-01", "2024-02-20");
  CHECK(world.records(rubber).size() == 2);
  REQUIRE(world.records(metal).size() == 1);
  CHECK(world.records(metal)[0].exit == 341);  // 2024-01-25 to 12-31
}

TEST_CASE("what stands at each place now") {
  Days days("2024-12-31", 4);
  World& world = days.world;
  world.fit(days.position, "2024-12-01", 1).age_at_fit = 5;
  world.life(days.position, "2024-01-01", "2024-11-01", EndKind::failed, 2);
  world.life(days.position, "2024-01-01", "2024-11-01", EndKind::failed, 3);
  UnitLife& bolt = world.fit(days.position, "2024-11-01", 3);
  bolt.part.reset();
  bolt.stand_in = true;
  world.snapshot.open_places.push_back({days.position, 2, PlaceState::dead, day("2024-11-01"), ""});
  world.snapshot.open_places.push_back(
      {days.position, 3, PlaceState::stand_in, day("2024-11-01"), "bolt"});
  const ExposureReader exposure(world.snapshot);
  const auto now = fitted_now(world.snapshot, exposure);
  REQUIRE(now.size() == 4);
  CHECK(now[0].state == PlaceState::fitted);
  CHECK(now[0].age == 35);
  CHECK(now[0].untested == 0);
  CHECK(now[0].part == days.part);
  CHECK(now[1].state == PlaceState::dead);
  CHECK(now[1].age == 0);
  CHECK(now[1].part == days.part);
  CHECK(now[2].state == PlaceState::stand_in);
  CHECK(now[3].state == PlaceState::empty);
  world.catalogue().positions[0].retired = true;
  CHECK(fitted_now(world.snapshot, exposure).empty());
}

TEST_CASE("a hidden unit stands at its tested age with the untested days apart") {
  Days days("2024-12-31", 1, true);
  days.world.fit(days.position, "2024-01-01");
  days.world.test(days.position, "2024-04-10", true);
  const ExposureReader exposure(days.world.snapshot);
  const auto now = fitted_now(days.world.snapshot, exposure);
  REQUIRE(now.size() == 1);
  CHECK(now[0].age == 100);
  CHECK(now[0].untested == 265);
}

TEST_CASE("the age of a unit on a day, unless nobody knows it") {
  Days days("2024-12-31");
  days.world.life(days.position, "2024-01-01", "2024-04-10").age_at_fit = 7;
  const ExposureReader exposure(days.world.snapshot);
  const LifeReader reader(days.world.snapshot, exposure);
  UnitLife life = days.world.snapshot.lives[0];
  CHECK(reader.age(life, day("2024-01-31")) == 37.0);
  CHECK(reader.age(life, day("2024-12-31")) == 107.0);
  life.age_unknown = true;
  life.age_at_fit.reset();
  CHECK_FALSE(reader.age(life, day("2024-01-31")));
}

TEST_CASE("tests fall due an interval after the last pass, else after the fit") {
  Days days("2026-06-07", 4, true);
  World& world = days.world;
  world.catalogue().classes[0].test_interval_days = 30;
  for (int unit = 1; unit <= 4; ++unit) {
    world.fit(days.position, "2025-04-16", unit);
  }
  SECTION("all units alike are one line") {
    world.test(days.position, "2026-04-08", true);
    const auto due = tests_due(world.snapshot);
    REQUIRE(due.size() == 1);
    CHECK_FALSE(due[0].unit);
    CHECK(due[0].tested);
    CHECK(due[0].last_good == day("2026-04-08"));
    CHECK(due[0].due == day("2026-05-08"));
  }
  SECTION("a unit tested apart is a line of its own") {
    world.test(days.position, "2026-06-01", true, 2);
    const auto due = tests_due(world.snapshot);
    REQUIRE(due.size() == 4);
    CHECK(due[0].unit == 1);
    CHECK_FALSE(due[0].tested);
    CHECK(due[0].due == day("2025-05-16"));
    CHECK(due[3].unit == 2);
    CHECK(due[3].due == day("2026-07-01"));
  }
  SECTION("nothing is due for a retired position, or a class without an interval") {
    world.catalogue().classes[0].test_interval_days.reset();
    CHECK(tests_due(world.snapshot).empty());
    world.catalogue().classes[0].test_interval_days = 30;
    world.catalogue().positions[0].retired = true;
    CHECK(tests_due(world.snapshot).empty());
  }
}

TEST_CASE("condition factors make ages effective") {
  Days days("2024-12-31");
  days.world.catalogue().classes[0].sensitivity = {{"salt", 3}};
  days.world.condition("salt", "2024-01-11", "2024-01-20");
  days.world.life(days.position, "2024-01-01", "2024-01-31");
  // 20 days once, 10 days three times
  CHECK(days.only().exit == Approx(50));
}

TEST_CASE("no lives at all give no records") {
  Days days;
  CHECK(days.records().empty());
  const ExposureReader exposure(days.world.snapshot);
  CHECK(fitted_now(days.world.snapshot, exposure).size() == 1);
  CHECK(tests_due(days.world.snapshot).empty());
}

TEST_CASE("a part's lives as units of another class age by that class's factors and basis") {
  Days days("2024-12-31");
  auto& snapshot = days.world.snapshot;
  editable_catalogue(snapshot).classes[0].sensitivity = {{"salt", 3}};
  days.world.condition("salt", "2024-01-11", "2024-01-20");
  days.world.life(days.position, "2024-01-01", "2024-01-31");
  const ExposureReader exposure(snapshot);
  const LifeReader reader(snapshot, exposure);
  const PartId part = snapshot.catalogue->parts.front().id;
  ComponentClass as_if = snapshot.catalogue->classes[0];
  as_if.id = ClassId{};
  SECTION("its own class again gives its own lives") {
    CHECK(reader.of_part(part, as_if).at(0).exit == reader.of_part(part).at(0).exit);
  }
  SECTION("another factor counts those days another time") {
    as_if.sensitivity = {{"salt", 5}};
    // 20 days once, 10 days five times
    CHECK(reader.of_part(part, as_if).at(0).exit == Approx(70));
    CHECK(reader.of_part(part, as_if).at(0).plain == Approx(30));
    CHECK(reader.of_part(part).at(0).exit == Approx(50));
  }
  SECTION("without factors it is the calendar") {
    as_if.sensitivity.clear();
    CHECK(reader.of_part(part, as_if).at(0).exit == Approx(30));
  }
  SECTION("an unknown age is half of that class's life") {
    snapshot.lives[0].age_unknown = true;
    as_if.life_median = 1000;
    CHECK(LifeReader(snapshot, exposure).of_part(part, as_if).at(0).entry == Approx(500));
  }
  SECTION("another basis counts at that class's usual rate") {
    as_if.basis = Basis::run_hours;
    as_if.usual_per_day = 2;
    as_if.sensitivity.clear();
    CHECK(reader.of_part(part, as_if).at(0).exit == Approx(60));
  }
}

TEST_CASE("a condition holds from its first day to its last, on its rig or on all") {
  World world("2024-12-31");
  world.condition("salt", "2024-01-11", "2024-01-20");
  ConditionPeriod open;
  open.condition = "frost";
  open.rig = RigId{2};
  open.from = day("2024-12-01");
  world.snapshot.conditions.push_back(open);
  const auto holds = [&](const char* name, std::int64_t rig, const char* on) {
    return condition_holds(world.snapshot, RigId{rig}, name, day(on));
  };
  CHECK_FALSE(holds("salt", 1, "2024-01-10"));
  CHECK(holds("salt", 1, "2024-01-11"));
  CHECK(holds("salt", 1, "2024-01-20"));
  CHECK_FALSE(holds("salt", 1, "2024-01-21"));
  CHECK_FALSE(holds("dust", 1, "2024-01-15"));
  CHECK(holds("frost", 2, "2030-01-01"));
  CHECK_FALSE(holds("frost", 1, "2024-12-15"));
  CHECK_FALSE(holds("frost", 2, "2024-11-30"));
}
