// Stock, orders, usage: written and read back.

#include <catch2/catch.hpp>

#include "shearpin/base/error.hpp"
#include "world.hpp"

namespace shearpin::ledger {

using namespace domain;

TEST_CASE("A received lot is read back with all it carries") {
  World world;
  EntryDraft entry = world.receive(world.p25, 5, world.b1, "2024-05-01", "VB-07");
  LotDraft& lot = entry.lots[0];
  lot.made = day("2024-01-01");
  lot.ends = day("2029-01-01");
  lot.state = LotState::worn;
  lot.age = 123.5;
  lot.cost = Money{120};
  const EntryId id = world.record(entry);
  const Snapshot now = world.at("2024-05-01");
  REQUIRE(now.stock.size() == 1);
  const StockLine& line = now.stock[0];
  CHECK(line.lot == world.made.lots.at(0));
  CHECK(line.part == world.p25);
  CHECK(line.bin == world.b1);
  CHECK(line.quantity == 5);
  CHECK(line.batch == "VB-07");
  CHECK(line.made == day("2024-01-01"));
  CHECK(line.ends == day("2029-01-01"));
  CHECK(line.state == LotState::worn);
  CHECK(line.age == 123.5);
  CHECK(line.cost == Money{120});
  CHECK(line.received == day("2024-05-01"));
  CHECK_FALSE(line.quarantined);
  CHECK(id.value > 0);
  CHECK(world.at("2024-04-30").stock.empty());
}

TEST_CASE("Stock is the sum of movements by lot and bin") {
  World world;
  world.record(world.receive(world.p13, 5, world.b1, "2024-05-01"));
  const LotId first = world.made.lots.at(0);
  world.record(world.receive(world.p13, 3, world.b1, "2024-05-02"));
  const LotId second = world.made.lots.at(0);
  world.record(world.move(first, 2, world.b1, world.b7, "2024-05-03"));
  world.record(world.use(world.p13, first, 1, world.b1, "2024-05-04"));
  world.record(world.move(second, 3, world.b1, Outside::scrapped, "2024-05-05", EntryKind::scrap));
  world.record(
      world.move(first, 1, Outside::count_difference, world.b1, "2024-05-06", EntryKind::count));
  const Snapshot now = world.at("2024-05-06");
  REQUIRE(now.stock.size() == 2);
  CHECK(now.stock[0].bin == world.b1);
  CHECK(now.stock[0].quantity == 3);
  CHECK(now.stock[1].bin == world.b7);
  CHECK(now.stock[1].quantity == 2);
  REQUIRE(now.usages.size() == 1);
  CHECK(now.usages[0].part == world.p13);
  CHECK(now.usages[0].date == day("2024-05-04"));
  // As it was on the second day.
  REQUIRE(world.at("2024-05-02").stock.size() == 2);
  CHECK(world.at("2024-05-02").stock[1].quantity == 3);
}

TEST_CASE("A count that agrees with the book is an entry without lines") {
  World world;
  world.record(world.draft(EntryKind::count, "2024-05-01"));
  CHECK(world.ledger.verify().findings.empty());
}

TEST_CASE("A loss of pieces and of a unit of no part are losses, not usages") {
  World world;
  world.record(world.receive(world.p13, 2, world.b1, "2024-05-01"));
  EntryDraft lost =
      world.move(world.made.lots.at(0), 1, world.b1, Outside::lost, "2024-05-03", EntryKind::lose);
  lost.usages.push_back({world.p13, std::nullopt, 1, true});
  world.record(lost);
  EntryDraft unit = world.draft(EntryKind::lose, "2024-05-04");
  unit.usages.push_back({std::nullopt, world.l05, 1, true});
  world.record(unit);
  const Snapshot now = world.at("2024-06-01");
  CHECK(now.usages.empty());
  REQUIRE(now.losses.size() == 2);
  CHECK(now.losses[0].part == world.p13);
  CHECK(now.losses[1].position == world.l05);
  CHECK_FALSE(now.losses[1].part);
}

TEST_CASE("Orders are received in parts, completed and cancelled by the day asked for") {
  World world;
  EntryDraft order = world.draft(EntryKind::order, "2024-05-01");
  order.orders.push_back({"", world.p13, world.s1, 5, day("2024-05-10"), Money{200}, "b1"});
  order.orders.push_back({"o41", world.p14, world.s1, 2, {}, {}, ""});
  world.record(order);
  REQUIRE(world.made.orders.size() == 2);
  CHECK(world.made.order_numbers == std::vector<std::string>{"o1", "o41"});
  const OrderId first = world.made.orders[0];
  const OrderId second = world.made.orders[1];
  EntryDraft part = world.receive(world.p13, 3, world.b1, "2024-05-09");
  part.receipts.push_back({first, 3, false});
  world.record(part);
  EntryDraft rest = world.receive(world.p13, 2, world.b1, "2024-05-12");
  rest.receipts.push_back({first, 2, false});
  world.record(rest);
  EntryDraft cancel = world.draft(EntryKind::cancel_order, "2024-05-20");
  cancel.receipts.push_back({second, 0, true});
  world.record(cancel);
  EntryDraft next = world.draft(EntryKind::order, "2024-05-21");
  next.orders.push_back({"", world.p13, world.s1, 1, {}, {}, ""});
  world.record(next);
  CHECK(world.made.order_numbers.at(0) == "o42");

  const Snapshot early = world.at("2024-05-09");
  REQUIRE(early.orders.size() == 2);
  CHECK(early.orders[0].number == "o1");
  CHECK(early.orders[0].received == 3);
  CHECK_FALSE(early.orders[0].completed);
  CHECK_FALSE(early.orders[1].cancelled);
  const Snapshot late = world.at("2024-05-20");
  CHECK(late.orders[0].received == 5);
  CHECK(late.orders[0].completed == day("2024-05-12"));
  CHECK(late.orders[0].promised == day("2024-05-10"));
  CHECK(late.orders[0].cost == Money{200});
  CHECK(late.orders[0].to == "b1");
  CHECK(late.orders[0].supplier == world.s1);
  CHECK(late.orders[1].cancelled);
}

TEST_CASE("A lot is set aside and freed again by day") {
  World world;
  world.record(world.receive(world.p13, 2, world.b1, "2024-05-01"));
  const LotId lot = world.made.lots.at(0);
  for (const bool aside : {true, false}) {
    EntryDraft entry = world.draft(EntryKind::quarantine, aside ? "2024-05-03" : "2024-05-09");
    entry.quarantines.push_back({lot, aside});
    world.record(entry);
  }
  CHECK_FALSE(world.at("2024-05-02").stock.at(0).quarantined);
  CHECK(world.at("2024-05-03").stock.at(0).quarantined);
  CHECK_FALSE(world.at("2024-05-09").stock.at(0).quarantined);
}

TEST_CASE("Pieces that come and go in one entry need no stock of their own") {
  World world;
  // Bought over the counter and fitted the same day: the lines in an unlucky order.
  EntryDraft entry = world.receive(world.p13, 1, world.b1, "2024-05-01");
  entry.movements.push_back({NewLot{0}, 1, world.b1, world.l21});
  std::swap(entry.movements[0], entry.movements[1]);
  FitLine fit;
  fit.position = world.l21;
  fit.part = world.p13;
  fit.lot = NewLot{0};
  entry.fits.push_back(fit);
  world.record(entry);
  const Snapshot now = world.at("2024-05-01");
  CHECK(now.stock.empty());
  REQUIRE(now.lives.size() == 1);
  CHECK(now.lives[0].lot == world.made.lots.at(0));
}

}  // namespace shearpin::ledger
