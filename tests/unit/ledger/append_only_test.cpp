// The file itself refuses to change what was written, whoever asks.

#include <catch2/catch.hpp>

#include "world.hpp"

namespace shearpin::ledger {
namespace {

using namespace domain;

/// A ledger with a row in every table of lines.
void fill_every_table(World& world) {
  world.record(world.receive(world.p13, 5, world.b1, "2024-05-01"));
  const LotId lot = world.made.lots.at(0);
  world.record(world.fit(world.l21, 1, world.p13, "2024-05-02"));
  const UnitId first = world.made.units.at(0);
  EntryDraft fault = world.draft(EntryKind::fault_open, "2024-05-03");
  fault.faults.push_back({"chafed-feed", world.l21, false, "drawbar"});
  world.record(fault);
  world.record(world.fail(first, world.l21, 1, world.p13, lot, "2024-05-28"));
  EntryDraft attribute = world.draft(EntryKind::attribute, "2024-06-01");
  attribute.attributions.push_back({"chafed-feed", first});
  world.record(attribute);
  EntryDraft close = world.draft(EntryKind::fault_close, "2024-06-02");
  close.faults.push_back({"chafed-feed", {}, true, ""});
  world.record(close);
  const UnitId second = UnitId{2};
  EntryDraft repair = world.draft(EntryKind::fail, "2024-06-03");
  repair.repairs.push_back({second, "loose", false});
  world.record(repair);
  world.record(world.fail_dead(second, "2024-06-04"));
  EntryDraft open = world.draft(EntryKind::fail, "2024-06-05");
  open.opens.push_back({world.l21, 1, PlaceState::workaround, "ice box"});
  world.record(open);
  EntryDraft test = world.draft(EntryKind::test, "2024-06-06");
  test.tests.push_back({world.l21, std::nullopt, true, "22 min"});
  world.record(test);
  world.record(world.reading(world.km, 167800, "2024-06-30"));
  EntryDraft stay = world.draft(EntryKind::stay, "2024-07-01");
  stay.stays.push_back({3, "Tarrow Lake"});
  world.record(stay);
  EntryDraft dust = world.draft(EntryKind::condition, "2024-07-01");
  dust.conditions.push_back({"smoke-dust", world.rig, day("2024-07-01"), day("2024-09-05")});
  world.record(dust);
  EntryDraft order = world.draft(EntryKind::order, "2024-07-02");
  order.orders.push_back({"", world.p13, world.s1, 10, day("2024-07-10"), Money{400}, "b1"});
  world.record(order);
  const OrderId placed = world.made.orders.at(0);
  EntryDraft receipt = world.receive(world.p13, 4, world.b1, "2024-07-09");
  receipt.receipts.push_back({placed, 4, false});
  world.record(receipt);
  world.record(world.use(world.p13, lot, 1, world.b1, "2024-07-10"));
  EntryDraft aside = world.draft(EntryKind::quarantine, "2024-07-11");
  aside.quarantines.push_back({lot, true});
  world.record(aside);
  EntryDraft policy = world.draft(EntryKind::policy, "2024-07-12");
  policy.policies.push_back({"review-days", 45.0});
  world.record(policy);
  EntryDraft trip = world.draft(EntryKind::trip, "2024-07-13");
  TripLine plan{"june", "June round", {}, {}};
  plan.legs.push_back(
      {1, day("2026-06-08"), day("2026-06-10"), "out", {{world.km, 620.0}}, {"heat"}, true});
  plan.stops.push_back({day("2026-06-10"), "Velkin Crossing", {"class:tyre-truck"}, false, 0});
  trip.trips.push_back(plan);
  world.record(trip);
}

const std::vector<std::string> kLines = {
    "change",     "lot",   "movement", "unit_begin",  "unit_end",    "repair",
    "open_place", "test",  "reading",  "stay",        "condition",   "order_line",
    "receipt",    "usage", "fault",    "fault_close", "attribution", "quarantine",
    "policy",     "trip",  "trip_leg", "trip_use",    "trip_stop"};
const std::vector<std::string> kMasters = {"rig",   "class", "supplier", "bin",
                                           "meter", "part",  "position"};

}  // namespace

TEST_CASE("No entry and no line can be changed or removed by any program") {
  World world;
  fill_every_table(world);
  const std::vector<std::string> before = dump(world.path());
  RawFile file(world.path());
  for (const std::string& table : kLines) {
    INFO(table);
    REQUIRE(file.one("SELECT count(*) > 0 FROM " + table) == "1");
    CHECK(file.run("UPDATE " + table + " SET entry = 1") == "lines are never changed");
    CHECK(file.run("UPDATE " + table + " SET id = id + 1000") == "lines are never changed");
    CHECK(file.run("DELETE FROM " + table) == "lines are never removed");
    // REPLACE would remove rows without a DELETE.
    CHECK(file.run("INSERT OR REPLACE INTO " + table + " SELECT * FROM " + table) ==
          "lines are added with their entry only");
  }
  CHECK(file.run("UPDATE entry SET note = 'x'") == "entries are never changed");
  CHECK(file.run("DELETE FROM entry") == "entries are never removed");
  CHECK(file.run("INSERT OR REPLACE INTO entry SELECT * FROM entry") ==
        "entries are only ever added at the end");
  CHECK(dump(world.path()) == before);
  CHECK(world.ledger.verify().findings.empty());
}

TEST_CASE("Lines cannot be added to an entry once another follows") {
  World world;
  fill_every_table(world);
  RawFile file(world.path());
  CHECK(file.run("INSERT INTO stay (entry, nights, place) VALUES (1, 1, '')") ==
        "lines are added with their entry only");
}

TEST_CASE("A line repeats the day of its entry and the part of its lot, and nothing else") {
  World world;
  world.record(world.receive(world.p13, 5, world.b1, "2024-05-01"));
  RawFile file(world.path());
  const auto move = [&file](const std::string& part_and_day) {
    return file.run(
        "INSERT INTO movement (entry, lot, part, happened, quantity, from_bin, to_outside) SELECT"
        " max(id), 1, " +
        part_and_day + ", 1, 1, 'consumed' FROM entry");
  };
  CHECK(move("2, '2024-05-01'") == "lines are added with their entry only");
  CHECK(move("1, '2024-05-02'") == "lines are added with their entry only");
  CHECK(move("1, '2024-05-01'") == "");
}

TEST_CASE("Master data cannot be removed, nor changed without its change lines") {
  World world;
  const std::vector<std::string> before = dump(world.path());
  RawFile file(world.path());
  for (const std::string& table : kMasters) {
    INFO(table);
    REQUIRE(file.one("SELECT count(*) > 0 FROM " + table) == "1");
    CHECK(file.run("DELETE FROM " + table) == "master data is never removed");
    CHECK(file.run("UPDATE " + table + " SET name = 'x'") ==
          "master data changes only beside its change lines");
    CHECK(file.run("UPDATE " + table + " SET gone = 1") ==
          "only the reversal of its adding takes master data away");
    CHECK(file.run("INSERT OR REPLACE INTO " + table + " SELECT * FROM " + table) ==
          "master data is added with its entry only");
  }
  CHECK(dump(world.path()) == before);
}

TEST_CASE("The file refuses a movement that would take a place below zero") {
  World world;
  world.record(world.receive(world.p13, 5, world.b1, "2024-05-01"));
  RawFile file(world.path());
  const std::string take =
      "INSERT INTO movement (entry, lot, part, happened, quantity, from_bin, to_outside)"
      " SELECT max(id), 1, 1, '2024-05-01', 6, 1, 'consumed' FROM entry";
  CHECK(file.run(take) == "a place inside cannot fall below zero");
  CHECK(file.run("UPDATE balance SET quantity = -1") != "");
}

TEST_CASE("The file refuses values of another type, dates that are none and unknown words") {
  World world;
  RawFile file(world.path());
  const std::string head =
      "INSERT INTO entry (uuid, written, recorded, happened, kind, who, note, batch, depth) VALUES"
      " ('019a0000-0000-7000-8000-000000000000', '2026-05-25T00:00:00Z', ";
  CHECK(file.run(head + "'2024-02-30', '2024-02-01', 'stay', '', '', '', 0)") != "");
  CHECK(file.run(head + "'abc', '2024-02-01', 'stay', '', '', '', 0)") != "");
  CHECK(file.run(head + "'2024-03-01', '2024-03-02', 'stay', '', '', '', 0)") != "");
  CHECK(file.run(head + "'2024-03-01', '2024-03-01', 'vanish', '', '', '', 0)") != "");
  CHECK(file.run(head + "'2024-03-01', '2024-03-01', 'stay', '', '', '', 'x')") != "");
  CHECK(file.run(head + "'2024-03-01', '2024-03-01', 'stay', NULL, '', '', 0)") != "");
  CHECK(file.run(head + "'2024-03-01', '2024-03-01', 'stay', '', '', '', 0)") == "");
}

}  // namespace shearpin::ledger
