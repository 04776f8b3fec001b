// The list of entries.

#include <catch2/catch.hpp>

#include "world.hpp"

namespace shearpin::ledger {

using namespace domain;

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
  CHECK(rows[0].draft.kind == EntryKind::undo);
  CHECK(rows[0].reverses == entry);
  CHECK(rows[1].written == "2026-05-25T18:03:07.123Z");
  CHECK(rows[1].draft.recorded == day("2024-07-02"));
  CHECK(rows[1].draft.happened == day("2024-06-30"));
  CHECK(rows[1].who == "driver");
  CHECK(rows[1].draft.note == "evening");
  CHECK(rows[1].reversed_by == undone);
  CHECK_FALSE(rows[1].live);
  CHECK(rows[0].live);
  CHECK(rows[1].draft.readings.at(0).value == 167800);
  world.undo(undone);
  query.id = entry;
  CHECK(world.ledger.journal(query).at(0).live);
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
