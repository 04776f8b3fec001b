// Text that could do more than be read: refused where it comes in, harmless where it goes out.

#include <catch2/catch.hpp>

#include "scenes.hpp"

using namespace shearpin::test;

namespace {

const std::string kEscape = "\x1b[31mred";
const std::string kC1 =
    "\xc2\x9b"
    "31mred";  // CSI as one character
const std::string kTurned =
    "\xe2\x80\xae"
    "abc";  // right-to-left override
const std::string kIsolated =
    "\xe2\x81\xa6"
    "abc";                              // left-to-right isolate
const std::string kNoText = "caf\xe9";  // Latin-1

bool harmless(const std::string& text) {
  for (const char* bad : {"\x1b", "\xc2\x9b", "\xe2\x80\xae", "\xe2\x81\xa6", "\xe9"}) {
    if (text.find(bad) != std::string::npos) {
      return false;
    }
  }
  return true;
}

}  // namespace

TEST_CASE("Every command refuses text that a terminal would act upon") {
  const Sandbox box;
  make_camper(box);
  const std::string before = box.dump();
  for (const auto& bad : {kEscape, kC1, kTurned, kIsolated, kNoText}) {
    const std::vector<std::vector<std::string>> lines{
        {"trip", "add", "june", "--name", bad},
        {"trip", "add", "june", "--from", "2030-06-01", "--to", "2030-06-02", "--route", bad},
        {"rig", "add", "x", "--name", bad},
        {"part", "set", "belt", "--note", bad},
        {"position", "set", "lamps", "--workaround", bad},
        {"fail", "fridge-fuse", "--note", bad},
        {"fail", "fridge-fuse", "--cause", bad},
        {"fail", "fridge-fuse", "--stand-in", bad},
        {"fail", bad},
        {"use", "fuse-15", "1", "--who", bad},
        {"receive", "belt", "1", "--into", "locker", "--batch", bad},
        {"order", "belt", "1", "--supplier", "post", "--to", bad},
        {"stay", "1", "--at", bad},
        {"condition", "add", bad, "--from", "2026-01-01"},
        {"test", "fridge-fuse", "pass", "--reading", bad},
        {"undo", "--note", bad}};
    for (const auto& words : lines) {
      const Ran ran = box.run(words);
      INFO(words[0] << ' ' << words[1] << ": " << ran.err);
      CHECK(ran.code == 3);
      CHECK(harmless(ran.out + ran.err));
    }
  }
  CHECK((box.dump() == before));
}

TEST_CASE("Imported text passes the same gate") {
  const Sandbox box;
  make_camper(box);
  for (const auto& bad : {kEscape, kC1, kTurned, kIsolated, kNoText}) {
    box.write("parts.csv", "key,class,name\nhose,hose-washer," + bad + "\n");
    CHECK(harmless(box.refused("import parts.csv", 3, {"parts.csv"})));
    box.write("trips.json", R"({"key":"june","name":")" + bad + R"(","legs":[],"stops":[]})");
    CHECK(harmless(box.refused("trip add june --file trips.json", 3)));
  }
}

TEST_CASE("Names and notes have bounds, named with their size") {
  const Sandbox box;
  make_camper(box);
  const std::string long_name(201, 'n');
  const std::string long_note(4001, 'n');
  CHECK(holds(box.refused("rig add x --name " + long_name, 3), "201 characters, at most 200"));
  CHECK(
      holds(box.refused("use fuse-15 1 --note " + long_note, 3), "4001 characters, at most 4000"));
  box.ok("rig add x --name " + long_name.substr(1));
  box.ok("use fuse-15 1 --note " + long_note.substr(1));
  box.ok("journal");
}

TEST_CASE("A ledger written by something else cannot reach the terminal either") {
  const Sandbox box;
  make_camper(box);
  std::string sql =
      "PRAGMA writable_schema = ON; DELETE FROM sqlite_schema WHERE type = 'trigger'; ";
  sql += "PRAGMA writable_schema = OFF;";
  Sandbox::sql(box.ledger(), sql);
  Sandbox::sql(box.ledger(),
               "UPDATE position SET name = 'Lamp' || char(27) || '[2J' || char(155) || char(8238)");
  for (const char* line :
       {"now", "position list", "position show lamps", "report --days 9", "carry --days 9",
        "weak --days 9", "history lamps", "find lamp", "reorder", "fits lamps"}) {
    const Ran ran = box(line);
    INFO(line << ": " << ran.out << ran.err);
    CHECK(ran.code != 1);
    CHECK(harmless(ran.out + ran.err));
  }
}

TEST_CASE("A sheet shows what looks like a formula as text, and import takes it as it was") {
  const Sandbox box;
  make_camper(box);
  const std::vector<std::string> names{"=1+1", "+cmd", "-cmd", "@sum", "'=quoted", "-5", "+5.5"};
  for (std::size_t i = 0; i < names.size(); ++i) {
    const Ran ran = box.run({"bin", "add", "b" + std::to_string(i), "--name=" + names[i]});
    INFO(ran.err);
    REQUIRE(ran.code == 0);
  }
  const std::string table = box.ok("export bins");
  for (const char* shown : {",'=1+1", ",'+cmd", ",'-cmd", ",'@sum", ",''=quoted", ",-5", ",+5.5"}) {
    CHECK(table.find(shown) != std::string::npos);
  }
  const Sandbox other;
  make_camper(other);
  other.write("bins.csv", table);
  other.ok("import bins.csv");
  CHECK(other.ok("export bins") == table);
  const Json bins = other.json("bin list").at("items");
  for (const auto& name : names) {
    const bool there = std::any_of(bins.begin(), bins.end(),
                                   [&](const Json& bin) { return bin.at("name") == name; });
    INFO(name);
    CHECK(there);
  }
}
