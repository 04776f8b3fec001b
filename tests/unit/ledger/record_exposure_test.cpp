// Readings, conditions, stays, policy and trips.

#include <catch2/catch.hpp>

#include "shearpin/base/error.hpp"
#include "shearpin/domain/trip.hpp"
#include "world.hpp"

namespace shearpin::ledger {

using namespace domain;
using Catch::Matchers::Contains;

TEST_CASE("Readings come back by meter and day, a late one in its place") {
  World world;
  world.record(world.reading(world.km, 174300, "2024-09-05"));
  world.record(world.reading(world.km, 167800, "2024-06-30"));
  world.record(world.reading(world.nights, 255, "2024-06-30"));
  world.record(world.reading(world.km, 12, "2024-10-01", true));
  const Snapshot now = world.at("2024-12-31");
  REQUIRE(now.readings.size() == 4);
  CHECK(now.readings[0].value == 167800);
  CHECK(now.readings[1].value == 174300);
  CHECK(now.readings[2].replaced);
  CHECK(now.readings[3].meter == world.nights);
  CHECK(world.at("2024-07-01").readings.size() == 2);
}

TEST_CASE("A meter that runs backwards is refused with the reading it contradicts") {
  World world;
  const EntryId typo = world.record(world.reading(world.km, 176800, "2024-06-30"));
  const std::string refusal = world.refusal(world.reading(world.km, 174300, "2024-09-05"));
  CHECK_THAT(refusal, Contains("truck-km would run backwards"));
  CHECK_THAT(refusal, Contains("176800 on 2024-06-30 (entry " + std::to_string(typo.value)));
  CHECK_THAT(refusal, Contains("undo"));
  // A late reading above the next one.
  world.record(world.reading(world.km, 180000, "2024-10-01"));
  CHECK_THAT(world.refusal(world.reading(world.km, 181000, "2024-09-01")),
             Contains("180000 on 2024-10-01"));
  // The correction: the wrong one is taken back.
  world.undo(typo);
  world.record(world.reading(world.km, 167800, "2024-06-30"));
  world.record(world.reading(world.km, 174300, "2024-09-05"));
  CHECK(world.at("2024-12-31").readings.size() == 3);
}

TEST_CASE("Taking back the reading of a new meter is refused while later ones need it") {
  World world;
  world.record(world.reading(world.km, 100000, "2024-01-01"));
  const EntryId fresh = world.record(world.reading(world.km, 0, "2024-02-01", true));
  const EntryId later = world.record(world.reading(world.km, 500, "2024-03-01"));
  CHECK_THAT(world.undo_refusal(fresh), Contains("entry " + std::to_string(later.value)));
  world.undo(later);
  world.undo(fresh);
}

TEST_CASE("Conditions and stays are stored as declared") {
  World world;
  EntryDraft dust = world.draft(EntryKind::condition, "2024-07-01");
  dust.conditions.push_back({"smoke-dust", world.rig, day("2024-07-01"), day("2024-09-05")});
  dust.conditions.push_back({"salt", std::nullopt, day("2024-08-01"), std::nullopt});
  world.record(dust);
  EntryDraft stay = world.draft(EntryKind::stay, "2024-07-04");
  stay.stays.push_back({3, "Tarrow Lake"});
  stay.readings.push_back({world.nights, 258, false});
  world.record(stay);
  const Snapshot now = world.at("2024-07-04");
  REQUIRE(now.conditions.size() == 2);
  CHECK(now.conditions[0].condition == "smoke-dust");
  CHECK(now.conditions[0].rig == world.rig);
  CHECK(now.conditions[0].from == day("2024-07-01"));
  CHECK(now.conditions[0].to == day("2024-09-05"));
  CHECK_FALSE(now.conditions[1].rig);
  CHECK_FALSE(now.conditions[1].to);
  CHECK(now.readings.size() == 1);
  EntryDraft wrong = world.draft(EntryKind::condition, "2024-07-01");
  wrong.conditions.push_back({"salt", std::nullopt, day("2024-08-02"), day("2024-08-01")});
  CHECK_THAT(world.refusal(wrong), Contains("before it begins"));
}

TEST_CASE("The latest policy number holds until it is taken back") {
  World world;
  const auto set = [&world](std::optional<double> value) {
    EntryDraft entry = world.draft(EntryKind::policy, "2024-07-01");
    entry.policies.push_back({"review-days", value});
    return entry;
  };
  const double shipped = world.at("2024-07-01").policy.review_days;
  const EntryId first = world.record(set(45));
  const EntryId second = world.record(set(60));
  CHECK(world.at("2024-01-01").policy.review_days == 60);
  CHECK_THAT(world.undo_refusal(first), Contains("entry " + std::to_string(second.value)));
  world.undo(second);
  CHECK(world.at("2024-07-01").policy.review_days == 45);
  world.undo(first);
  CHECK(world.at("2024-07-01").policy.review_days == shipped);
  world.record(set(10));
  world.record(set(std::nullopt));
  CHECK_FALSE(world.at("2024-07-01").policy.is_own("review-days"));
  EntryDraft odd = world.draft(EntryKind::policy, "2024-07-01");
  odd.policies.push_back({"no-such-number", 1.0});
  CHECK_THAT(world.refusal(odd), Contains("no-such-number"));
  EntryDraft far = set(1e9);
  CHECK_THAT(world.refusal(far), Contains("review-days"));
}

TEST_CASE("Trip plans come back as stored, the newest of each key") {
  World world;
  TripLine plan{"june", "June round", {}, {}};
  plan.legs.push_back({1,
                       day("2026-06-08"),
                       day("2026-06-10"),
                       "out",
                       {{world.km, 620.0}, {world.nights, 3.0}},
                       {"heat", "rough-road"},
                       true});
  plan.legs.push_back({2, day("2026-06-11"), day("2026-06-19"), "in", {}, {}, false});
  plan.stops.push_back(
      {day("2026-06-10"), "Velkin Crossing", {"class:tyre-truck", "supplier:s1"}, false, 0});
  plan.stops.push_back({day("2026-06-24"), "Hollin Spur", {}, true, 2});
  EntryDraft entry = world.draft(EntryKind::trip, "2026-05-01");
  entry.trips.push_back(plan);
  world.record(entry);
  const auto check_stored = [&] {
    const std::vector<TripLine> trips = world.ledger.trips();
    REQUIRE(trips.size() == 1);
    CHECK(trips[0].key == "june");
    CHECK(trips[0].name == "June round");
    REQUIRE(trips[0].legs.size() == 2);
    CHECK(trips[0].legs[0].from == day("2026-06-08"));
    CHECK(trips[0].legs[0].to == day("2026-06-10"));
    CHECK(trips[0].legs[0].use == plan.legs[0].use);
    CHECK(trips[0].legs[0].conditions == plan.legs[0].conditions);
    CHECK(trips[0].legs[0].signal);
    CHECK(trips[0].legs[1].number == 2);
    REQUIRE(trips[0].stops.size() == 2);
    CHECK(trips[0].stops[0].sold == plan.stops[0].sold);
    CHECK(trips[0].stops[1].sold.empty());
    CHECK(trips[0].stops[1].parcels);
    CHECK(trips[0].stops[1].extra_days == 2);
  };
  check_stored();
  entry.trips[0].name = "Other round";
  const EntryId second = world.record(entry);
  CHECK(world.ledger.trips().at(0).name == "Other round");
  world.undo(second);
  check_stored();
}

TEST_CASE("A plan of nothing stands for a removed trip: it hides the key until it is taken back") {
  World world;
  EntryDraft entry = world.draft(EntryKind::trip, "2026-05-01");
  entry.trips.push_back({"june", "June round", {}, {}});
  entry.trips.push_back({"july", "July round", {}, {}});
  world.record(entry);
  EntryDraft removal = world.draft(EntryKind::trip, "2026-05-02");
  removal.trips.push_back({"june", "", {}, {}});
  const EntryId removed = world.record(removal);
  REQUIRE(world.ledger.trips().size() == 1);
  CHECK(world.ledger.trips()[0].key == "july");
  CHECK(is_removed(world.ledger.journal({}).front().draft.trips.at(0)));
  CHECK(world.ledger.verify().findings.empty());
  world.undo(removed);
  CHECK(world.ledger.trips().size() == 2);
}

}  // namespace shearpin::ledger
