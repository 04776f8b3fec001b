// Undo of undo, and of whole imports.

#include <catch2/catch.hpp>

#include "shearpin/base/error.hpp"
#include "world.hpp"

namespace shearpin::ledger {

using namespace domain;
using Catch::Matchers::Contains;

TEST_CASE("What came back is taken back at the top of its chain") {
  World world;
  const EntryId entry = world.record(world.reading(world.km, 5, "2024-05-01"));
  for (int round = 0; round < 3; ++round) {
    world.undo(entry);
    CHECK(world.at("2026-05-25").readings.empty());
    const std::vector<JournalRow> rows = world.ledger.journal({});
    world.undo(rows.front().id);
    CHECK(world.at("2026-05-25").readings.size() == 1);
  }
  CHECK(world.ledger.verify().findings.empty());
}

TEST_CASE("What was taken back cannot come back into a place filled meanwhile") {
  World world;
  const EntryId first = world.record(world.fit(world.l21, 1, world.p13, "2024-05-01"));
  const EntryId undone = world.undo(first);
  world.record(world.fit(world.l21, 1, world.p13, "2024-05-02"));
  CHECK_THAT(world.undo_refusal(undone), Contains("l21 would hold two units"));
}

TEST_CASE("What was taken back cannot come back below zero") {
  World world;
  world.record(world.receive(world.p13, 2, world.b1, "2024-05-01"));
  const LotId lot = world.made.lots.at(0);
  const EntryId first = world.record(world.use(world.p13, lot, 2, world.b1, "2024-05-02"));
  const EntryId undone = world.undo(first);
  world.record(world.use(world.p13, lot, 1, world.b1, "2024-05-03"));
  CHECK_THAT(world.undo_refusal(undone), Contains("p13 in b1 would fall to -1"));
  CHECK(world.ledger.verify().findings.empty());
}

TEST_CASE("What was taken back cannot come back without the lot it used") {
  World world;
  const EntryId received = world.record(world.receive(world.p13, 2, world.b1, "2024-05-01"));
  const EntryId used =
      world.record(world.use(world.p13, world.made.lots.at(0), 1, world.b1, "2024-05-02"));
  const EntryId undone = world.undo(used);
  world.undo(received);
  CHECK_THAT(world.undo_refusal(undone), Contains("cannot come back"));
}

TEST_CASE("A whole import is taken back, and brought back, by its name") {
  World world;
  {
    Ledger::Transaction transaction = world.ledger.begin(stamp_on("2026-05-25"));
    EntryDraft add = world.draft(EntryKind::add, "2024-01-01");
    add.masters.push_back({std::nullopt, Bin{{"b9", "Nine"}, {}, {}}});
    transaction.record(add, "batch-1");
    const BinId b9{transaction.created().masters.at(0)};
    transaction.record(world.receive(world.p13, 5, b9, "2024-05-01"), "batch-1");
    const LotId lot = transaction.created().lots.at(0);
    transaction.record(world.use(world.p13, lot, 2, b9, "2024-05-02"), "batch-1");
    transaction.commit();
  }
  CHECK(world.at("2026-05-25").stock.at(0).quantity == 3);
  std::vector<EntryId> reversals;
  {
    Ledger::Transaction transaction = world.ledger.begin(stamp_on("2026-05-25"));
    reversals = transaction.undo_batch("batch-1", "wrong file");
    transaction.commit();
  }
  CHECK(reversals.size() == 3);
  CHECK(world.at("2026-05-25").stock.empty());
  CHECK(world.ledger.catalogue().bins.size() == 2);
  CHECK(world.ledger.journal({}).front().draft.note == "wrong file");
  {
    Ledger::Transaction transaction = world.ledger.begin(stamp_on("2026-05-25"));
    CHECK_THROWS_AS(transaction.undo_batch("batch-1"), InputError);
    CHECK_THROWS_AS(transaction.undo_batch("nothing"), InputError);
    CHECK_THROWS_AS(transaction.undo_batch(""), InputError);
    CHECK(transaction.undo_batch("undo-batch-1").size() == 3);
    transaction.commit();
  }
  CHECK(world.at("2026-05-25").stock.at(0).quantity == 3);
  CHECK(world.ledger.verify().findings.empty());
}

TEST_CASE("An import that something else depends on stays whole") {
  World world;
  EntryId outside{0};
  {
    Ledger::Transaction transaction = world.ledger.begin(stamp_on("2026-05-25"));
    transaction.record(world.receive(world.p13, 5, world.b1, "2024-05-01"), "batch-1");
    const LotId lot = transaction.created().lots.at(0);
    transaction.record(world.reading(world.km, 5, "2024-05-02"), "batch-1");
    outside = transaction.record(world.use(world.p13, lot, 2, world.b1, "2024-05-02"));
    transaction.commit();
  }
  const std::vector<std::string> before = dump(world.path());
  {
    Ledger::Transaction transaction = world.ledger.begin(stamp_on("2026-05-25"));
    CHECK_THROWS_WITH(transaction.undo_batch("batch-1"),
                      Contains("entry " + std::to_string(outside.value)));
    transaction.commit();
  }
  CHECK(dump(world.path()) == before);
}

}  // namespace shearpin::ledger
