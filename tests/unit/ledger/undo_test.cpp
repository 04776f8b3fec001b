// Taking back: every kind of entry, and what depends on it.

#include <catch2/catch.hpp>

#include "shearpin/base/error.hpp"
#include "world.hpp"

namespace shearpin::ledger {

using namespace domain;
using Catch::Matchers::Contains;

namespace {

/// Everything a snapshot of today says, in words short enough to compare.
std::string picture(const World& world) {
  const Snapshot now = world.at("2026-05-25");
  std::string text;
  const auto add = [&text](auto... numbers) {
    ((text += std::to_string(numbers) + " "), ...);
    text += "\n";
  };
  for (const UnitLife& life : now.lives) {
    add(life.id.value, life.unit, life.end ? days_between(Date{}, life.end->date) : -1,
        life.end && life.end->fault ? life.end->fault->value : 0, life.repairs.size());
  }
  for (const OpenPlace& place : now.open_places) add(place.position.value, int(place.state));
  for (const TestResult& test : now.tests) add(test.position.value, int(test.passed));
  for (const MeterReading& reading : now.readings) add(reading.value);
  for (const ConditionPeriod& period : now.conditions) text += period.condition + "\n";
  for (const StockLine& line : now.stock) {
    add(line.lot.value, line.bin.value, line.quantity, int(line.quarantined));
  }
  add(now.usages.size(), now.losses.size(), now.faults.size(), world.ledger.trips().size());
  for (const Fault& fault : now.faults) add(fault.closed ? 1 : 0);
  for (const Order& order : now.orders) add(order.id.value, order.received, int(order.cancelled));
  add(now.policy.review_days);
  return text;
}

}  // namespace

TEST_CASE("Every kind of entry can be taken back, and the taking back too") {
  World world;
  world.record(world.receive(world.p13, 9, world.b1, "2024-01-01"));
  const LotId lot = world.made.lots.at(0);
  world.record(world.fit(world.l21, 1, world.p13, "2024-01-02"));
  const UnitId unit = world.made.units.at(0);
  EntryDraft opening = world.draft(EntryKind::fault_open, "2024-01-03");
  opening.faults.push_back({"old", world.l05, false, ""});
  world.record(opening);
  world.record(world.fit(world.l05, 1, world.p25, "2024-01-03"));
  const UnitId stem = world.made.units.at(0);
  world.record(world.fail_dead(stem, "2024-01-04"));
  EntryDraft order = world.draft(EntryKind::order, "2024-01-05");
  order.orders.push_back({"", world.p13, world.s1, 4, {}, {}, ""});
  world.record(order);
  const OrderId placed = world.made.orders.at(0);

  std::vector<EntryDraft> drafts;
  drafts.push_back(world.fail(unit, world.l21, 1, world.p13, lot, "2024-02-01"));
  drafts.push_back(world.fail_dead(unit, "2024-02-01"));
  EntryDraft repair = world.draft(EntryKind::fail, "2024-02-01");
  repair.repairs.push_back({unit, "", true});
  drafts.push_back(repair);
  EntryDraft open = world.draft(EntryKind::fail, "2024-02-01");
  open.opens.push_back({world.l05, 1, PlaceState::workaround, ""});
  drafts.push_back(open);
  EntryDraft renew = world.fail(unit, world.l21, 1, world.p13, lot, "2024-02-01");
  renew.kind = EntryKind::renew;
  renew.ends[0].kind = EndKind::renewed;
  renew.lots.push_back({world.p13, "", {}, {}, LotState::worn, 30.0, {}, false});
  renew.movements.push_back({NewLot{0}, 1, Outside::taken_off, world.b1});
  drafts.push_back(renew);
  drafts.push_back(world.fit(world.l05, 2, world.p25, "2024-02-01"));
  drafts.push_back(world.use(world.p13, lot, 2, world.b1, "2024-02-01"));
  EntryDraft lose = world.move(lot, 1, world.b1, Outside::lost, "2024-02-01", EntryKind::lose);
  lose.usages.push_back({world.p13, {}, 1, true});
  drafts.push_back(lose);
  drafts.push_back(world.move(lot, 1, world.b1, Outside::scrapped, "2024-02-01", EntryKind::scrap));
  EntryDraft test = world.draft(EntryKind::test, "2024-02-01");
  test.tests.push_back({world.l21, 1, true, ""});
  drafts.push_back(test);
  drafts.push_back(world.reading(world.km, 100, "2024-02-01"));
  EntryDraft stay = world.draft(EntryKind::stay, "2024-02-01");
  stay.stays.push_back({2, ""});
  stay.readings.push_back({world.nights, 2, false});
  drafts.push_back(stay);
  EntryDraft salt = world.draft(EntryKind::condition, "2024-02-01");
  salt.conditions.push_back({"salt", {}, day("2024-02-01"), {}});
  drafts.push_back(salt);
  EntryDraft fault = world.draft(EntryKind::fault_open, "2024-02-01");
  fault.faults.push_back({"new", world.l21, false, ""});
  drafts.push_back(fault);
  EntryDraft close = world.draft(EntryKind::fault_close, "2024-02-01");
  close.faults.push_back({"old", {}, true, ""});
  drafts.push_back(close);
  EntryDraft blame = world.draft(EntryKind::attribute, "2024-02-01");
  blame.attributions.push_back({"old", stem});
  drafts.push_back(blame);
  order.happened = day("2024-02-01");
  drafts.push_back(order);
  EntryDraft cancel = world.draft(EntryKind::cancel_order, "2024-02-01");
  cancel.receipts.push_back({placed, 0, true});
  drafts.push_back(cancel);
  EntryDraft receive = world.receive(world.p13, 4, world.b1, "2024-02-01");
  receive.receipts.push_back({placed, 4, false});
  drafts.push_back(receive);
  drafts.push_back(world.move(lot, 3, world.b1, world.b7, "2024-02-01"));
  drafts.push_back(
      world.move(lot, 3, Outside::count_difference, world.b1, "2024-02-01", EntryKind::count));
  EntryDraft aside = world.draft(EntryKind::quarantine, "2024-02-01");
  aside.quarantines.push_back({lot, true});
  drafts.push_back(aside);
  EntryDraft policy = world.draft(EntryKind::policy, "2024-02-01");
  policy.policies.push_back({"review-days", 45.0});
  drafts.push_back(policy);
  EntryDraft trip = world.draft(EntryKind::trip, "2024-02-01");
  trip.trips.push_back({"june", "June round", {}, {}});
  drafts.push_back(trip);

  for (const EntryDraft& draft : drafts) {
    INFO(to_text(draft.kind));
    const std::string before = picture(world);
    const EntryId entry = world.record(draft);
    const std::string after = picture(world);
    CHECK(before != after);
    const EntryId first = world.undo(entry);
    CHECK(picture(world) == before);
    const EntryId second = world.undo(first);
    CHECK(picture(world) == after);
    world.undo(second);
    CHECK(picture(world) == before);
    CHECK(world.ledger.verify().findings.empty());
  }
}

TEST_CASE("A receipt is not taken back while its pieces are used") {
  World world;
  const EntryId received = world.record(world.receive(world.p13, 5, world.b1, "2024-05-01"));
  const LotId lot = world.made.lots.at(0);
  const EntryId used = world.record(world.use(world.p13, lot, 1, world.b1, "2024-06-11"));
  const EntryId moved = world.record(world.move(lot, 1, world.b1, world.b7, "2024-06-12"));
  CHECK(world.undo_refusal(received) ==
        entry_words(received) + " (receive, 2024-05-01) cannot be taken back: " +
            entry_words(moved) + " (move, 2024-06-12) and " + entry_words(used) +
            " (use, 2024-06-11) depend on it. Take those back first, newest first: `undo " +
            std::to_string(moved.value) + "`.");
  world.undo(moved);
  world.undo(used);
  world.undo(received);
  CHECK(world.at("2026-05-25").stock.empty());
}

TEST_CASE("A move is not taken back while the pieces it brought are used") {
  World world;
  world.record(world.receive(world.p13, 5, world.b1, "2024-05-01"));
  const LotId lot = world.made.lots.at(0);
  const EntryId moved = world.record(world.move(lot, 2, world.b1, world.b7, "2024-05-02"));
  const EntryId used = world.record(world.use(world.p13, lot, 1, world.b7, "2024-05-03"));
  const EntryId other = world.record(world.use(world.p13, lot, 1, world.b1, "2024-05-03"));
  const std::string refusal = world.undo_refusal(moved);
  CHECK_THAT(refusal, Contains(entry_words(used)));
  CHECK_THAT(refusal, !Contains(entry_words(other)));
}

TEST_CASE("A fit is not taken back while its unit has ended, was repaired or tested") {
  World world;
  const EntryId fitted = world.record(world.fit(world.l05, 2, world.p25, "2024-05-01"));
  const UnitId unit = world.made.units.at(0);
  EntryDraft repair = world.draft(EntryKind::fail, "2024-05-02");
  repair.repairs.push_back({unit, "", false});
  const EntryId repaired = world.record(repair);
  EntryDraft test = world.draft(EntryKind::test, "2024-05-03");
  test.tests.push_back({world.l05, 2, true, ""});
  const EntryId tested = world.record(test);
  EntryDraft all = world.draft(EntryKind::test, "2024-05-03");
  all.tests.push_back({world.l05, std::nullopt, true, ""});
  const EntryId whole = world.record(all);
  const EntryId ended = world.record(world.fail_dead(unit, "2024-05-04"));
  const std::string refusal = world.undo_refusal(fitted);
  CHECK_THAT(refusal, Contains(entry_words(repaired)));
  CHECK_THAT(refusal, Contains(entry_words(tested)));
  CHECK_THAT(refusal, Contains(entry_words(ended)));
  CHECK_THAT(refusal, !Contains(entry_words(whole)));
}

TEST_CASE("A failure is not taken back while its place is filled again") {
  World world;
  const EntryId old = world.record(world.fit(world.l21, 1, world.p13, "2024-05-01"));
  const EntryId failed = world.record(world.fail_dead(world.made.units.at(0), "2024-05-10"));
  const EntryId filled = world.record(world.fit(world.l21, 1, world.p13, "2024-05-12"));
  const std::string refusal = world.undo_refusal(failed);
  CHECK_THAT(refusal, Contains(entry_words(filled)));
  CHECK_THAT(refusal, !Contains(entry_words(old)));
  world.undo(filled);
  world.undo(failed);
  CHECK(world.at("2026-05-25").open_places.empty());
}

TEST_CASE("A failure is not taken back while the unit it fitted has ended or it is blamed") {
  World world;
  world.record(world.receive(world.p13, 5, world.b1, "2024-01-01"));
  const LotId lot = world.made.lots.at(0);
  EntryDraft fault = world.draft(EntryKind::fault_open, "2024-01-01");
  fault.faults.push_back({"feed", world.l21, false, ""});
  const EntryId opened = world.record(fault);
  world.record(world.fit(world.l21, 1, world.p13, "2024-01-02"));
  const UnitId first = world.made.units.at(0);
  const EntryId one = world.record(world.fail(first, world.l21, 1, world.p13, lot, "2024-02-01"));
  const EntryId two =
      world.record(world.fail(world.made.units.at(0), world.l21, 1, world.p13, lot, "2024-03-01"));
  EntryDraft blame = world.draft(EntryKind::attribute, "2024-03-02");
  blame.attributions.push_back({"feed", first});
  const EntryId blamed = world.record(blame);
  const std::string refusal = world.undo_refusal(one);
  CHECK_THAT(refusal, Contains(entry_words(two)));
  CHECK_THAT(refusal, Contains(entry_words(blamed)));
  CHECK_THAT(world.undo_refusal(opened), Contains(entry_words(blamed)));
  CHECK_THAT(world.undo_refusal(opened), !Contains(entry_words(two)));
}

TEST_CASE("An order is not taken back while something of it came") {
  World world;
  EntryDraft order = world.draft(EntryKind::order, "2024-05-01");
  order.orders.push_back({"", world.p13, world.s1, 5, {}, {}, ""});
  const EntryId ordered = world.record(order);
  EntryDraft came = world.receive(world.p13, 2, world.b1, "2024-05-03");
  came.receipts.push_back({world.made.orders.at(0), 2, false});
  const EntryId received = world.record(came);
  CHECK_THAT(world.undo_refusal(ordered), Contains(entry_words(received)));
  world.undo(received);
  world.undo(ordered);
}

TEST_CASE("An entry is taken back once, and an unknown one not at all") {
  World world;
  const EntryId entry = world.record(world.reading(world.km, 5, "2024-05-01"));
  const EntryId undone = world.undo(entry);
  CHECK_THAT(world.undo_refusal(entry), Contains("already taken back by " + entry_words(undone)));
  CHECK_THAT(world.undo_refusal(EntryId{999}), Contains("there is no entry 999"));
}

}  // namespace shearpin::ledger
