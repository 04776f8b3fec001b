// The schema that has shipped, kept as text, and files of the past.

#include <catch2/catch.hpp>
#include <fstream>
#include <sstream>

#include "shearpin/base/error.hpp"
#include "world.hpp"

namespace shearpin::ledger {
namespace {

std::string read_file(const std::filesystem::path& path) {
  std::ifstream in(path);
  REQUIRE(in);
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

/// Schema as made now.
std::vector<std::string> schema(const std::filesystem::path& path) {
  return RawFile(path).rows(
      "SELECT type, name, sql FROM sqlite_schema WHERE sql IS NOT NULL ORDER BY type, name");
}

}  // namespace

TEST_CASE("A ledger of schema 1 as once dumped loads, and is what this program makes") {
  // tests/data/ledger_v1.sql: `.dump` of a small ledger, with user_version and application_id.
  Folder folder;
  const auto old = folder / "old.db";
  { std::ofstream make(old); }
  {
    RawFile file(old);
    REQUIRE(file.run(read_file(SHEARPIN_TEST_DIR "/data/ledger_v1.sql")) == "");
  }
  const Ledger ledger = Ledger::open(old, Ledger::Mode::write);
  CHECK(newest_schema() == 1);
  CHECK(ledger.verify().findings.empty());
  Ledger::create(folder / "new.db");
  CHECK(schema(old) == schema(folder / "new.db"));

  const domain::Snapshot now = ledger.snapshot(day("2026-05-25"));
  REQUIRE(now.lives.size() == 2);
  CHECK(now.lives[0].end->cause == "overload");
  REQUIRE(now.stock.size() == 1);
  CHECK(now.stock[0].quantity == 4);
  REQUIRE(now.readings.size() == 1);
  CHECK(now.readings[0].value == 167800);
  CHECK(now.orders.at(0).promised == day("2026-06-01"));
  CHECK(now.catalogue->classes.at(0).sensitivity.at("salt") == 1.5);
}

// How tests/data/ledger_v1.sql was made: run `test_unit_ledger "[make-v1]"` of that version, and
// `.dump` the file it names with the sqlite3 shell, adding the two pragmas.
TEST_CASE("The ledger that was dumped", "[.][make-v1]") {
  World world;
  world.record(world.receive(world.p13, 5, world.b1, "2024-05-01", "VB-07"));
  const LotId lot = world.made.lots.at(0);
  world.record(world.fit(world.l21, 1, world.p13, "2023-04-10"));
  world.record(world.fail(world.made.units.at(0), world.l21, 1, world.p13, lot, "2024-05-28"));
  const EntryId typo = world.record(world.reading(world.km, 176800, "2024-06-30"));
  world.undo(typo);
  world.record(world.reading(world.km, 167800, "2024-06-30"));
  domain::EntryDraft order = world.draft(domain::EntryKind::order, "2026-05-18");
  order.orders.push_back({"", world.p13, world.s1, 10, day("2026-06-01"), Money{400}, "b1"});
  world.record(order);
  const auto kept = std::filesystem::temp_directory_path() / "ledger_v1.db";
  std::filesystem::remove(kept);
  world.ledger.backup(kept);
  WARN(kept.string());
}

TEST_CASE("The schema is strict, and foreign keys lead to tables") {
  World world;
  RawFile file(world.path());
  CHECK(file.rows("SELECT name FROM pragma_table_list WHERE schema = 'main' AND type = 'table'"
                  " AND strict = 0 AND name NOT GLOB 'sqlite_*'")
            .empty());
  CHECK(file.one("PRAGMA application_id") == "1397248078");
  CHECK(file.one("PRAGMA user_version") == "1");
  CHECK(file.rows("PRAGMA foreign_key_check").empty());
}

}  // namespace shearpin::ledger
