// What is refused, with what is in the way; World::refusal compares the file before and after.

#include <catch2/catch.hpp>

#include "shearpin/base/error.hpp"
#include "world.hpp"

namespace shearpin::ledger {

using namespace domain;
using Catch::Matchers::Contains;

TEST_CASE("A bin cannot fall below zero today") {
  World world;
  world.record(world.receive(world.p13, 2, world.b1, "2024-05-01"));
  const LotId lot = world.made.lots.at(0);
  CHECK(world.refusal(world.use(world.p13, lot, 3, world.b1, "2024-06-11")) ==
        "p13 in b1 would fall to -1 on 2024-06-11: 2 there, 3 asked. Count first, or name another "
        "bin.");
}

TEST_CASE("A late entry cannot take what a later one has taken") {
  World world;
  world.record(world.receive(world.p13, 2, world.b1, "2024-05-01"));
  const LotId lot = world.made.lots.at(0);
  const EntryId use = world.record(world.use(world.p13, lot, 1, world.b1, "2024-06-11"));
  CHECK(world.refusal(world.use(world.p13, lot, 2, world.b1, "2024-05-20")) ==
        "p13 in b1 would fall to -1 on 2024-06-11: 2 there on 2024-05-20, 2 asked; " +
            entry_words(use) +
            " (use, 2024-06-11) takes 1 of them. Count first, or name another bin.");
  world.record(world.use(world.p13, lot, 1, world.b1, "2024-05-20"));
}

TEST_CASE("Pieces cannot be taken before the day they came") {
  World world;
  world.record(world.receive(world.p13, 2, world.b1, "2024-05-01", "VB-07"));
  const LotId lot = world.made.lots.at(0);
  CHECK_THAT(world.refusal(world.use(world.p13, lot, 1, world.b1, "2024-04-30")),
             Contains("p13 of batch VB-07 in b1 would fall to -1 on 2024-04-30"));
}

TEST_CASE("A position gives back only what it took") {
  World world;
  world.record(world.receive(world.p13, 2, world.b1, "2024-05-01"));
  const LotId lot = world.made.lots.at(0);
  EntryDraft off = world.move(lot, 1, world.l21, Outside::scrapped, "2024-05-02", EntryKind::scrap);
  CHECK_THAT(world.refusal(off), Contains("p13 at l21 would fall to -1"));
}

TEST_CASE("A unit that has ended is named before the pieces it would take with it") {
  World world;
  world.record(world.receive(world.p13, 4, world.b1, "2024-05-01"));
  const LotId lot = world.made.lots.at(0);
  world.record(world.fit(world.l21, 1, world.p13, "2024-05-02"));
  world.record(world.fail(world.made.units.at(0), world.l21, 1, world.p13, lot, "2024-05-10"));
  EntryDraft again = world.fail(world.made.units.at(0), world.l21, 1, world.p13, lot, "2024-05-20");
  // What fails goes, and one of the same lot takes its place: the day ends with as many as before.
  again.movements.insert(again.movements.begin(), {lot, 1, world.l21, Outside::scrapped});
  const EntryId first = world.record(again);
  CHECK_THAT(world.refusal(again),
             Contains("the unit at l21 has ended already: " + entry_words(first)));
}

TEST_CASE("Nothing happens after today or is recorded before it happened") {
  World world;
  EntryDraft late = world.reading(world.km, 1, "2024-06-02");
  CHECK_THAT(world.refusal(late, "2024-06-01"), Contains("2024-06-02 is after today (2024-06-01)"));
  EntryDraft odd = world.reading(world.km, 1, "2024-06-02");
  odd.recorded = day("2024-06-01");
  CHECK_THAT(world.refusal(odd), Contains("before it happened"));
  odd.recorded = day("2026-05-26");
  CHECK_THAT(world.refusal(odd), Contains("after today"));
}

TEST_CASE("A place holds one unit at a time") {
  World world;
  const EntryId first = world.record(world.fit(world.l21, 1, world.p13, "2024-05-01"));
  const UnitId unit = world.made.units.at(0);
  const std::string refusal = world.refusal(world.fit(world.l21, 1, world.p13, "2024-06-01"));
  CHECK_THAT(refusal, Contains("l21 would hold two units from 2024-06-01 on"));
  CHECK_THAT(refusal, Contains(entry_words(first)));
  // Also before it.
  CHECK_THAT(world.refusal(world.fit(world.l21, 1, world.p13, "2024-04-01")),
             Contains("from 2024-05-01 on"));
  world.record(world.fail_dead(unit, "2024-07-01"));
  CHECK_THAT(world.refusal(world.fit(world.l21, 1, world.p13, "2024-06-30")),
             Contains("stays until 2024-07-01"));
  world.record(world.fit(world.l21, 1, world.p13, "2024-07-01"));
}

TEST_CASE("A unit ends once, not before it was fitted") {
  World world;
  world.record(world.fit(world.l21, 1, world.p13, "2024-05-01"));
  const UnitId unit = world.made.units.at(0);
  CHECK_THAT(world.refusal(world.fail_dead(unit, "2024-04-30")),
             Contains("was fitted on 2024-05-01"));
  const EntryId end = world.record(world.fail_dead(unit, "2024-06-01"));
  const std::string again = world.refusal(world.fail_dead(unit, "2024-06-02"));
  CHECK_THAT(again, Contains("has ended already"));
  CHECK_THAT(again, Contains(entry_words(end)));
  CHECK_THAT(world.refusal(world.fail_dead(UnitId{99}, "2024-06-02")),
             Contains("no fitted unit of number 99"));
}

TEST_CASE("Mends and declared states need a fitting life") {
  World world;
  world.record(world.fit(world.l21, 1, world.p13, "2024-05-01"));
  const UnitId unit = world.made.units.at(0);
  EntryDraft repair = world.draft(EntryKind::fail, "2024-04-01");
  repair.repairs.push_back({unit, "", false});
  CHECK_THAT(world.refusal(repair), Contains("outside its life"));
  EntryDraft open = world.draft(EntryKind::fail, "2024-06-01");
  open.opens.push_back({world.l21, 1, PlaceState::workaround, ""});
  CHECK_THAT(world.refusal(open), Contains("holds a sound unit on 2024-06-01"));
  world.record(world.fail_dead(unit, "2024-06-01"));
  world.record(open);
  repair.happened = day("2024-06-02");
  CHECK_THAT(world.refusal(repair), Contains("outside its life"));
}

TEST_CASE("Unit numbers are those of the position") {
  World world;
  CHECK(world.refusal(world.fit(world.l05, 5, world.p25, "2024-05-01")) ==
        "l05 has units 1 to 4; 5 is not one of them. Example: l05/1.");
  CHECK_THAT(world.refusal(world.fit(world.l21, 0, world.p13, "2024-05-01")),
             Contains("units 1 to 1"));
  EntryDraft test = world.draft(EntryKind::test, "2024-05-01");
  test.tests.push_back({world.l21, 2, true, ""});
  CHECK_THAT(world.refusal(test), Contains("2 is not one of them"));
}

TEST_CASE("Receipts keep to their order") {
  World world;
  EntryDraft order = world.draft(EntryKind::order, "2024-05-01");
  order.orders.push_back({"o48", world.p13, world.s1, 5, {}, {}, ""});
  world.record(order);
  const OrderId placed = world.made.orders.at(0);
  const auto receipt = [&](std::int64_t quantity, bool cancelled, std::string_view date) {
    EntryDraft entry = world.receive(world.p13, 1, world.b1, date);
    entry.receipts.push_back({placed, quantity, cancelled});
    return entry;
  };
  CHECK_THAT(world.refusal(receipt(6, false, "2024-05-02")),
             Contains("order o48 has 5 of 5 pieces still to come, not 6"));
  CHECK_THAT(world.refusal(receipt(1, false, "2024-04-30")), Contains("was placed on 2024-05-01"));
  world.record(receipt(2, false, "2024-05-02"));
  CHECK_THAT(world.refusal(receipt(4, false, "2024-05-03")), Contains("has 3 of 5 pieces"));
  const EntryId cancel = world.record(receipt(0, true, "2024-05-04"));
  CHECK_THAT(world.refusal(receipt(1, false, "2024-05-05")), Contains(entry_words(cancel)));
  CHECK_THAT(world.refusal(order), Contains("order number o48 is taken"));
}

TEST_CASE("Faults have keys of their own and are closed once") {
  World world;
  EntryDraft open = world.draft(EntryKind::fault_open, "2024-05-20");
  open.faults.push_back({"chafed-feed", world.l21, false, ""});
  const EntryId opened = world.record(open);
  CHECK_THAT(world.refusal(open),
             Contains("fault chafed-feed is there already (" + entry_words(opened)));
  EntryDraft close = world.draft(EntryKind::fault_close, "2024-05-19");
  close.faults.push_back({"chafed-feed", {}, true, ""});
  CHECK_THAT(world.refusal(close), Contains("cannot be closed on 2024-05-19"));
  close.happened = day("2024-05-21");
  const EntryId closed = world.record(close);
  CHECK_THAT(world.refusal(close), Contains("closed already by " + entry_words(closed)));
  EntryDraft unknown = world.draft(EntryKind::fault_close, "2024-05-21");
  unknown.faults.push_back({"nothing", {}, true, ""});
  CHECK_THAT(world.refusal(unknown), Contains("there is no fault \"nothing\""));
}

TEST_CASE("Only a failure can be put down to a fault") {
  World world;
  EntryDraft open = world.draft(EntryKind::fault_open, "2024-05-20");
  open.faults.push_back({"chafed-feed", world.l21, false, ""});
  world.record(open);
  world.record(world.fit(world.l21, 1, world.p13, "2024-05-21"));
  EntryDraft blame = world.draft(EntryKind::attribute, "2024-05-22");
  blame.attributions.push_back({"chafed-feed", world.made.units.at(0)});
  CHECK_THAT(world.refusal(blame), Contains("has no failure"));
}

TEST_CASE("A refusal in the middle leaves what the transaction wrote before and takes more") {
  World world;
  {
    Ledger::Transaction transaction = world.ledger.begin(stamp_on("2026-05-25"));
    transaction.record(world.receive(world.p13, 2, world.b1, "2024-05-01"));
    const LotId lot = transaction.created().lots.at(0);
    CHECK_THROWS_AS(transaction.record(world.use(world.p13, lot, 3, world.b1, "2024-05-02")),
                    InputError);
    CHECK(transaction.created().lots.size() == 1);
    transaction.record(world.use(world.p13, lot, 1, world.b1, "2024-05-02"));
    // What it wrote is seen from inside.
    CHECK(world.ledger.snapshot(day("2024-05-02")).stock.at(0).quantity == 1);
    transaction.commit();
  }
  CHECK(world.at("2024-05-02").stock.at(0).quantity == 1);
  CHECK(world.ledger.verify().findings.empty());
}

TEST_CASE("A transaction that is not committed leaves nothing") {
  World world;
  const std::vector<std::string> before = dump(world.path());
  {
    Ledger::Transaction transaction = world.ledger.begin(stamp_on("2026-05-25"));
    transaction.record(world.receive(world.p13, 2, world.b1, "2024-05-01"));
  }
  CHECK(dump(world.path()) == before);
}

TEST_CASE("An entry without lines of its kind is a bug, not an entry") {
  World world;
  Ledger::Transaction transaction = world.ledger.begin(stamp_on("2026-05-25"));
  for (const EntryKind kind : {EntryKind::add,          EntryKind::set,       EntryKind::retire,
                               EntryKind::policy,       EntryKind::fit,       EntryKind::fail,
                               EntryKind::renew,        EntryKind::use,       EntryKind::lose,
                               EntryKind::scrap,        EntryKind::test,      EntryKind::reading,
                               EntryKind::stay,         EntryKind::condition, EntryKind::fault_open,
                               EntryKind::fault_close,  EntryKind::attribute, EntryKind::order,
                               EntryKind::cancel_order, EntryKind::receive,   EntryKind::move,
                               EntryKind::quarantine,   EntryKind::trip,      EntryKind::undo}) {
    CHECK_THROWS_AS(transaction.record(world.draft(kind, "2024-05-01")), std::logic_error);
  }
}

}  // namespace shearpin::ledger
