// A ledger is its drafts: read back and recorded again they make the same ledger.

#include "copy.hpp"

#include <catch2/catch.hpp>
#include <set>

#include "scribbler.hpp"

namespace shearpin::ledger {

using namespace domain;

namespace {

/// Every row of the file but for the names of the entries, which are new in each ledger.
std::vector<std::string> rows_of(const Ledger& ledger) {
  std::vector<std::string> rows = dump(ledger.path());
  for (std::string& row : rows) {
    if (row.compare(0, 7, "entry: ") != 0) continue;
    const std::size_t uuid = row.find('|');
    row.erase(uuid, row.find('|', uuid + 1) - uuid);
  }
  return rows;
}

void check_copy(const World& world) {
  Ledger copy = Ledger::create(world.file("copy.db"));
  record_again(world.ledger, copy);
  const auto before = rows_of(world.ledger);
  const auto after = rows_of(copy);
  REQUIRE(after.size() == before.size());
  for (std::size_t i = 0; i < before.size(); ++i) {
    if (after[i] != before[i]) CHECK(after[i] == before[i]);
  }
  CHECK(copy.verify().findings.empty());
}

}  // namespace

TEST_CASE("The drafts of a ledger with every kind of entry make the same ledger again") {
  std::set<EntryKind> kinds;  // of all seeds: compilers draw in another order, so one may lack one
  for (const unsigned seed : {1u, 2u, 3u, 4u, 5u, 6u}) {
    INFO("seed " << seed);
    World world;
    {
      Scribbler scribbler(world, seed);
      while (scribbler.kinds.size() < Scribbler::kEveryKind && scribbler.written < 600)
        scribbler.step();
      std::string seen;
      for (const EntryKind kind : scribbler.kinds) seen += std::string(to_text(kind)) + " ";
      INFO(seen << scribbler.written << " written");
      CHECK(scribbler.kinds.size() + 2 >= Scribbler::kEveryKind);
      CHECK(scribbler.refused > 20);
      scribbler.commit();
      kinds.insert(scribbler.kinds.begin(), scribbler.kinds.end());
    }
    check_copy(world);
  }
  CHECK(kinds.size() == Scribbler::kEveryKind);
}

TEST_CASE("An import taken back whole and brought back is recorded again as it was") {
  World world;
  {
    Ledger::Transaction transaction = world.ledger.begin(stamp_on("2026-05-25"));
    transaction.record(world.reading(world.km, 7, "2024-05-02"), "batch-7", 1234);
    transaction.record(world.reading(world.km, 9, "2024-05-03"), "batch-7", 1235);
    transaction.undo_batch("batch-7", "wrong file");
    transaction.undo_batch("undo-batch-7");
    transaction.commit();
  }
  check_copy(world);
}

TEST_CASE("A draft read back holds what was recorded and the numbers it was given") {
  World world;
  EntryDraft order = world.draft(EntryKind::order, "2024-05-01");
  order.orders.push_back({"", world.p13, world.s1, 5, day("2024-05-09"), Money{250}, "camp"});
  world.record(order);
  const OrderId placed = world.made.orders.at(0);
  EntryDraft came = world.receive(world.p13, 5, world.b1, "2024-05-08", "VB-07");
  came.receipts.push_back({placed, 5, false});
  came.note = "dented box";
  world.record(came);
  const auto rows = world.ledger.journal({});
  const JournalRow& received = rows.at(0);
  CHECK(received.draft.kind == EntryKind::receive);
  CHECK(received.draft.happened == day("2024-05-08"));
  CHECK(received.draft.recorded == day(World::kToday));
  CHECK(received.draft.note == "dented box");
  REQUIRE(received.draft.lots.size() == 1);
  CHECK(received.draft.lots[0].batch == "VB-07");
  CHECK(received.draft.lots[0].cost == Money{40});
  CHECK_FALSE(received.draft.lots[0].age);
  CHECK(received.made.lots == world.made.lots);
  REQUIRE(received.draft.movements.size() == 1);
  CHECK(std::get<NewLot>(received.draft.movements[0].lot).index == 0);
  CHECK(std::get<Outside>(received.draft.movements[0].from) == Outside::supplier);
  CHECK(std::get<BinId>(received.draft.movements[0].to) == world.b1);
  CHECK(received.draft.receipts.at(0).order == placed);
  CHECK(rows.at(1).draft.orders.at(0).number == "o1");
  CHECK(rows.at(1).made.order_numbers.at(0) == "o1");
  const Mentioned mentioned = world.ledger.mentioned(rows);
  CHECK(mentioned.orders.at(placed).to == "camp");
  CHECK(mentioned.catalogue.at(world.p13).key == "p13");
}

TEST_CASE("A change of master data is read back with the whole of the thing before and after") {
  World world;
  const Part was = world.ledger.catalogue().at(world.p13);
  Part is = was;
  is.price = Money{60};
  EntryDraft set = world.draft(EntryKind::set, "2024-05-01");
  set.masters.push_back({was, is});
  const EntryId changed = world.record(set);
  const Part later = world.ledger.catalogue().at(world.p13);
  Part last = later;
  last.pack = 10;
  set.masters = {{later, last}};
  world.record(set);
  JournalQuery query;
  query.id = changed;
  const MasterLine read = world.ledger.journal(query).at(0).draft.masters.at(0);
  CHECK(std::get<Part>(*read.before) == was);
  CHECK(std::get<Part>(read.after) == is);
  world.undo(EntryId{changed.value + 1});
  const EntryId undone = world.undo(changed);
  query.id = undone;
  const MasterLine back = world.ledger.journal(query).at(0).draft.masters.at(0);
  CHECK(std::get<Part>(*back.before) == is);
  CHECK(std::get<Part>(back.after) == was);
}

}  // namespace shearpin::ledger
