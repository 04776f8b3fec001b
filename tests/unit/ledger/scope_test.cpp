// A scoped snapshot holds what it promises, and the same values as the whole.

#include <catch2/catch.hpp>

#include "world.hpp"

namespace shearpin::ledger {

using namespace domain;

namespace {

/// Two positions, two parts, something of everything at each.
void fill_two_positions(World& world) {
  for (const auto& [position, part] :
       {std::pair{world.l21, world.p13}, std::pair{world.l05, world.p25}}) {
    world.record(world.receive(part, 5, world.b1, "2024-01-01"));
    const LotId lot = world.made.lots.at(0);
    world.record(world.fit(position, 1, part, "2024-01-02"));
    world.record(world.fail(world.made.units.at(0), position, 1, part, lot, "2024-02-01"));
    world.record(world.fail_dead(world.made.units.at(0), "2024-02-02"));
    world.record(world.use(part, lot, 1, world.b1, "2024-02-03"));
    EntryDraft test = world.draft(EntryKind::test, "2024-02-04");
    test.tests.push_back({position, std::nullopt, true, ""});
    world.record(test);
    EntryDraft fault = world.draft(EntryKind::fault_open, "2024-02-05");
    fault.faults.push_back({"fault-" + std::to_string(position.value), position, false, ""});
    world.record(fault);
    EntryDraft order = world.draft(EntryKind::order, "2024-02-06");
    order.orders.push_back({"", part, world.s1, 1, {}, {}, ""});
    world.record(order);
  }
  world.record(world.reading(world.km, 1000, "2024-03-01"));
}

}  // namespace

TEST_CASE("Everything is read without a scope") {
  World world;
  fill_two_positions(world);
  const Snapshot all = world.at("2024-12-31");
  CHECK(all.lives.size() == 4);
  CHECK(all.open_places.size() == 2);
  CHECK(all.stock.size() == 2);
  CHECK(all.usages.size() == 2);
  CHECK(all.tests.size() == 2);
  CHECK(all.faults.size() == 2);
  CHECK(all.orders.size() == 2);
  CHECK(all.readings.size() == 1);
}

TEST_CASE("A position brings its lives and not the stock") {
  World world;
  fill_two_positions(world);
  Scope scope;
  scope.positions = {world.l05, world.l05};
  const Snapshot some = world.ledger.snapshot(day("2024-12-31"), {}, scope);
  REQUIRE(some.lives.size() == 2);
  CHECK(some.lives[0].position == world.l05);
  CHECK(some.open_places.size() == 1);
  CHECK(some.tests.size() == 1);
  CHECK(some.faults.size() == 1);
  CHECK(some.stock.empty());
  CHECK(some.orders.empty());
  CHECK(some.readings.empty());  // the position has no meter
  CHECK(some.catalogue->positions.size() == 2);
  CHECK(some.first_day == day("2023-04-01"));
}

TEST_CASE("A part brings its stores and the places that call for it or held it") {
  World world;
  fill_two_positions(world);
  // p13 served at l05 once too.
  world.record(world.fit(world.l05, 2, world.p13, "2024-03-05"));
  Scope scope;
  scope.parts = {world.p13};
  const Snapshot some = world.ledger.snapshot(day("2024-12-31"), {}, scope);
  CHECK(some.stock.size() == 1);
  CHECK(some.orders.size() == 1);
  CHECK(some.usages.size() == 1);
  CHECK(some.lives.size() == 5);
  scope.stores_only = true;
  const Snapshot stores = world.ledger.snapshot(day("2024-12-31"), {}, scope);
  CHECK(stores.stock.size() == 1);
  CHECK(stores.orders.size() == 1);
  CHECK(stores.lives.empty());
  CHECK(stores.usages.empty());
  scope.positions = {world.l21};
  CHECK(world.ledger.snapshot(day("2024-12-31"), {}, scope).lives.size() == 2);
}

TEST_CASE("Readings of the positions' meters come unless exposure is not wanted") {
  World world;
  fill_two_positions(world);
  Position metered;
  for (const Position& position : world.ledger.catalogue().positions) {
    if (position.id == world.l21) metered = position;
  }
  EntryDraft set = world.draft(EntryKind::set, "2024-03-02");
  MasterLine line{Master(metered), Master(metered)};
  std::get<Position>(line.after).meter = world.km;
  set.masters.push_back(line);
  world.record(set);
  Scope scope;
  scope.positions = {world.l21};
  CHECK(world.ledger.snapshot(day("2024-12-31"), {}, scope).readings.size() == 1);
  scope.exposure = false;
  CHECK(world.ledger.snapshot(day("2024-12-31"), {}, scope).readings.empty());
}

}  // namespace shearpin::ledger
