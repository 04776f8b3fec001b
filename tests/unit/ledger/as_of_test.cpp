// Two times: when it happened, and when it was written down.

#include <catch2/catch.hpp>

#include "world.hpp"

namespace shearpin::ledger {

using namespace domain;

TEST_CASE("A line written late is unknown until the day it was recorded") {
  World world;
  world.record(world.receive(world.p13, 3, world.b1, "2024-01-01"), "2024-01-01");
  const LotId lot = world.made.lots.at(0);
  world.record(world.fit(world.l21, 1, world.p13, "2024-01-02"), "2024-01-02");
  EntryDraft late = world.fail(world.made.units.at(0), world.l21, 1, world.p13, lot, "2025-09-19");
  late.recorded = day("2025-10-04");
  world.record(late, "2026-05-25");

  CHECK(world.at("2025-10-01").lives.size() == 2);
  const Snapshot then = world.at("2025-10-01", "2025-10-03");
  REQUIRE(then.lives.size() == 1);
  CHECK_FALSE(then.lives[0].end);
  CHECK(then.stock.at(0).quantity == 3);
  CHECK(then.known == day("2025-10-03"));
  const Snapshot known = world.at("2025-10-01", "2025-10-04");
  CHECK(known.lives.size() == 2);
  CHECK(known.stock.at(0).quantity == 2);
}

TEST_CASE("A reversal does not count before it was recorded") {
  World world;
  const EntryId received =
      world.record(world.receive(world.p13, 3, world.b1, "2024-01-01"), "2024-01-01");
  const EntryId taken_back = world.undo(received, "2024-02-01");
  world.undo(taken_back, "2024-03-01");

  CHECK(world.at("2026-01-01", "2024-01-31").stock.size() == 1);
  CHECK(world.at("2026-01-01", "2024-02-15").stock.empty());
  CHECK(world.at("2026-01-01", "2024-03-01").stock.size() == 1);
  CHECK(world.at("2026-01-01").stock.size() == 1);
  // What happened is not a matter of when it was taken back.
  CHECK(world.at("2024-01-15").stock.size() == 1);
}

TEST_CASE("A reversed entry is out of every day of the past") {
  World world;
  const EntryId received = world.record(world.receive(world.p13, 3, world.b1, "2024-01-01"));
  world.undo(received);
  CHECK(world.at("2024-01-15").stock.empty());
}

TEST_CASE("The first day is that of the earliest live entry, never after the day asked for") {
  World world;
  CHECK(world.at("2024-01-01").first_day == day("2023-04-01"));
  CHECK(world.at("2022-01-01").first_day == day("2022-01-01"));
  const EntryId early = world.record(world.fit(world.l21, 1, world.p13, "2022-06-10"));
  CHECK(world.at("2024-01-01").first_day == day("2022-06-10"));
  world.undo(early);
  CHECK(world.at("2024-01-01").first_day == day("2023-04-01"));
}

TEST_CASE("The catalogue is that of today whatever day is asked for") {
  World world;
  CHECK(world.at("2000-01-01").catalogue->positions.size() == 2);
}

}  // namespace shearpin::ledger
