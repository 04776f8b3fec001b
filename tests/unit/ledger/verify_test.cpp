// verify finds what a meddling program left behind. Triggers are dropped and put back to meddle.

#include <catch2/catch.hpp>

#include "world.hpp"

namespace shearpin::ledger {

using namespace domain;
using Catch::Matchers::Contains;

namespace {

/// Runs SQL with the triggers of the file out of the way, and puts them back.
void meddle(const World& world, const std::string& sql) {
  RawFile file(world.path());
  const std::vector<std::string> names =
      file.rows("SELECT name FROM sqlite_schema WHERE type = 'trigger' ORDER BY name");
  const std::vector<std::string> texts =
      file.rows("SELECT sql FROM sqlite_schema WHERE type = 'trigger' ORDER BY name");
  for (const std::string& name : names) REQUIRE(file.run("DROP TRIGGER " + name) == "");
  REQUIRE(file.run("PRAGMA ignore_check_constraints = ON") == "");
  REQUIRE(file.run(sql) == "");
  for (const std::string& text : texts) REQUIRE(file.run(text) == "");
}

std::string findings(const World& world) {
  std::string text;
  for (const Finding& finding : world.ledger.verify().findings) {
    text += finding.check + ": " + finding.detail + "\n";
  }
  return text;
}

void fill_with_an_undo(World& world) {
  world.record(world.receive(world.p13, 5, world.b1, "2024-05-01"));
  const LotId lot = world.made.lots.at(0);
  world.record(world.fit(world.l21, 1, world.p13, "2024-05-02"));
  world.record(world.fail(world.made.units.at(0), world.l21, 1, world.p13, lot, "2024-05-28"));
  world.record(world.reading(world.km, 100, "2024-05-28"));
  world.record(world.reading(world.km, 200, "2024-06-28"));
  const EntryId wrong = world.record(world.reading(world.km, 300, "2024-07-28"));
  world.undo(wrong);
}

}  // namespace

TEST_CASE("A sound ledger has no findings and says what was checked") {
  World world;
  fill_with_an_undo(world);
  const VerifyReport report = world.ledger.verify();
  CHECK(report.findings.empty());
  CHECK(report.checks_done.size() == 13);
}

TEST_CASE("Each thing a meddler can do is found") {
  World world;
  fill_with_an_undo(world);
  struct Case {
    const char* sql;
    const char* found;
  };
  const Case cases[] = {
      {"UPDATE balance SET quantity = 7 WHERE kind = 'bin'",
       "stock: p13 (lot 1) in b1: the balance"},
      {"DELETE FROM balance", "stock: p13 (lot 1)"},
      {"UPDATE movement SET quantity = 9 WHERE from_bin IS NOT NULL", "falls to -4 on 2024-05-28"},
      {"UPDATE unit_begin SET unit = 2 WHERE id = 1; UPDATE unit_begin SET unit = 2 WHERE id = 2;"
       "DELETE FROM unit_end",
       "units: l21"},
      {"DELETE FROM unit_begin WHERE id = 2; DELETE FROM unit_end", "lines: entry"},
      {"UPDATE unit_end SET unit = 77", "foreign keys: row 1 of unit_end"},
      {"UPDATE bin SET name = 'x' WHERE key = 'b1'", "changes: bin 1 has another name"},
      {"UPDATE bin SET gone = 1 WHERE key = 'b7'", "changes: bin 2 is gone"},
      {"DELETE FROM change WHERE kind = 'bin'", "changes: bin 1 has no change lines"},
      {"UPDATE entry SET depth = 2 WHERE depth = 1", "chain: entry"},
      {"UPDATE entry SET uuid = 'not-a-uuid-xxxx-7xxx-xxxxxxxxxxxxxxxx' WHERE id = 2",
       "entries: entry 2 has the uuid"},
      {"UPDATE reading SET value = 500 WHERE id = 1", "meters: truck-km runs backwards"},
      {"UPDATE entry SET happened = '2024-05-30' WHERE kind = 'reading' AND id IN"
       " (SELECT min(entry) FROM reading)",
       "lines: reading 1 is of another day"},
      {"UPDATE movement SET happened = '2024-01-01'", "lines: movement 1 is of another day"},
      {"UPDATE unit_begin SET happened = '2024-01-01'", "lines: unit_begin 1 is of another day"},
      {"UPDATE movement SET part = 3", "lines: movement 1 is of another part"},
      {"UPDATE balance SET part = 3", "lines: balance of lot 1 is of another part"},
      {"UPDATE entry SET kind = 'trip' WHERE id = (SELECT entry FROM unit_begin WHERE id = 1)",
       "has no line of its kind"},
  };
  for (const Case& meddling : cases) {
    INFO(meddling.sql);
    World fresh;
    fill_with_an_undo(fresh);
    REQUIRE(findings(fresh) == "");
    meddle(fresh, meddling.sql);
    CHECK_THAT(findings(fresh), Contains(meddling.found));
  }
}

TEST_CASE("A missing trigger and a stranger's table are found") {
  World world;
  RawFile file(world.path());
  REQUIRE(file.run("DROP TRIGGER entry_kept; CREATE TABLE extra (x)") == "");
  const std::string found = findings(world);
  CHECK_THAT(found, Contains("schema: trigger entry_kept is missing or was altered"));
  CHECK_THAT(found, Contains("schema: table extra is not as this program makes it"));
}

}  // namespace shearpin::ledger
