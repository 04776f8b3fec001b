// The list of entries and what each did, in words.

#include <catch2/catch.hpp>

#include "world.hpp"

namespace shearpin::ledger {

using namespace domain;

namespace {

std::string summary(const World& world, EntryId entry) {
  JournalQuery query;
  query.id = entry;
  const std::vector<JournalRow> rows = world.ledger.journal(query);
  REQUIRE(rows.size() == 1);
  return rows[0].summary;
}

}  // namespace

TEST_CASE("A journal row carries who, when and what") {
  World world;
  EntryDraft late = world.reading(world.km, 167800, "2024-06-30");
  late.recorded = day("2024-07-02");
  late.note = "evening";
  const EntryId entry = world.record(late);
  const EntryId undone = world.undo(entry);
  JournalQuery query;
  query.limit = 2;
  const std::vector<JournalRow> rows = world.ledger.journal(query);
  REQUIRE(rows.size() == 2);
  CHECK(rows[0].id == undone);
  CHECK(rows[0].kind == EntryKind::undo);
  CHECK(rows[0].reverses == entry);
  CHECK(rows[0].summary == "took back entry " + std::to_string(entry.value));
  CHECK(rows[1].written == "2026-05-25T18:03:07.123Z");
  CHECK(rows[1].recorded == day("2024-07-02"));
  CHECK(rows[1].happened == day("2024-06-30"));
  CHECK(rows[1].who == "driver");
  CHECK(rows[1].note == "evening");
  CHECK(rows[1].reversed_by == undone);
  CHECK_FALSE(rows[1].live);
  CHECK(rows[0].live);
  CHECK(rows[1].summary == "truck-km reads 167800 km");
  world.undo(undone);
  query.id = entry;
  CHECK(world.ledger.journal(query).at(0).live);
}

TEST_CASE("Summaries say in words what an entry did") {
  World world;
  const EntryId received = world.record(world.receive(world.p13, 5, world.b1, "2024-05-01"));
  const LotId lot = world.made.lots.at(0);
  CHECK(summary(world, received) == "5 x p13 from supplier to b1");
  const EntryId fitted = world.record(world.fit(world.l21, 1, world.p13, "2024-05-02"));
  CHECK(summary(world, fitted) == "fitted: Sample fridge fuse 15 A (l21) unit 1, p13");
  const EntryId failed =
      world.record(world.fail(world.made.units.at(0), world.l21, 1, world.p13, lot, "2024-05-28"));
  CHECK(summary(world, failed) ==
        "failed: Sample fridge fuse 15 A (l21) unit 1, cause overload; fitted: Sample fridge fuse "
        "15 A (l21) unit 1, p13; 1 x p13 from b1 to l21");
  CHECK(summary(world, EntryId{1}) == "rig truck added");
  EntryDraft order = world.draft(EntryKind::order, "2024-05-01");
  order.orders.push_back({"", world.p13, world.s1, 5, {}, {}, ""});
  CHECK(summary(world, world.record(order)) == "o1: 5 x p13 from s1");
  EntryDraft test = world.draft(EntryKind::test, "2024-05-01");
  test.tests.push_back({world.l05, 2, false, "6 min"});
  CHECK(summary(world, world.record(test)) == "test FAILED: Valve stems (l05) unit 2, 6 min");
  EntryDraft policy = world.draft(EntryKind::policy, "2024-05-01");
  policy.policies.push_back({"review-days", 45.0});
  CHECK(summary(world, world.record(policy)) == "review-days = 45");
  EntryDraft many = world.draft(EntryKind::add, "2024-05-01");
  for (int i = 0; i < 9; ++i) {
    many.masters.push_back({std::nullopt, Bin{{"c" + std::to_string(i), ""}, {}, {}}});
  }
  CHECK(summary(world, world.record(many)) ==
        "bin c0 added; bin c1 added; bin c2 added; bin c3 added; and 5 more");
}

TEST_CASE("The journal is narrowed by position, part, days and import") {
  World world;
  world.record(world.receive(world.p13, 5, world.b1, "2024-05-01"));
  const LotId lot = world.made.lots.at(0);
  world.record(world.fit(world.l21, 1, world.p13, "2024-05-02"));
  const EntryId failed =
      world.record(world.fail(world.made.units.at(0), world.l21, 1, world.p13, lot, "2024-05-28"));
  const EntryId undone = world.undo(failed);
  world.record(world.fit(world.l05, 1, world.p25, "2024-05-03"));
  JournalQuery at;
  at.position = world.l21;
  const std::vector<JournalRow> there = world.ledger.journal(at);
  REQUIRE(there.size() == 4);  // its adding, the fit, the failure, and its taking back
  CHECK(there[0].id == undone);
  JournalQuery of;
  of.part = world.p13;
  CHECK(world.ledger.journal(of).size() == 5);
  JournalQuery days;
  days.from = day("2024-05-02");
  days.to = day("2024-05-03");
  CHECK(world.ledger.journal(days).size() == 2);
  {
    Ledger::Transaction transaction = world.ledger.begin(stamp_on("2026-05-25"));
    transaction.record(world.reading(world.km, 7, "2024-05-02"), "batch-7");
    transaction.commit();
  }
  JournalQuery import;
  import.batch = "batch-7";
  REQUIRE(world.ledger.journal(import).size() == 1);
  CHECK(world.ledger.journal(import)[0].batch == "batch-7");
}

}  // namespace shearpin::ledger
