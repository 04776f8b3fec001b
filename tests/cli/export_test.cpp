// Tables out, and into a fresh ledger again.

#include <catch2/catch.hpp>
#include <cmath>

#include "scenes.hpp"

using namespace shearpin::test;

namespace {

// A ledger made of the tables another one wrote.
void copy_by_tables(const Sandbox& from, const Sandbox& to, const std::string& first_day) {
  from.ok("export --into " + to.path("tables").string());
  to.ok("init --on " + first_day);
  std::vector<std::string> words{"import"};
  for (const auto& file : std::filesystem::directory_iterator(to.path("tables"))) {
    words.push_back(file.path().string());
  }
  const Ran ran = to.run(words);
  INFO(ran.out << ran.err);
  REQUIRE(ran.code == 0);
  CHECK(ran.err.empty());
}

}  // namespace

TEST_CASE("Every exportable kind comes out as a table with its heading") {
  const Sandbox box;
  make_camper(box);
  for (const char* kind :
       {"safety-notes", "classes", "rigs", "meters", "bins", "suppliers", "parts", "positions",
        "substitutes", "fitted", "stock", "readings", "conditions", "orders"}) {
    INFO(kind);
    CHECK(box.ok(std::string("export ") + kind).find('\n') != std::string::npos);
  }
  box.refused("export history", 3, {"backup"});
  box.refused("export potatoes", 3, {"potatoes"});
  box.refused("export", 2, {"KIND"});
}

TEST_CASE("export never overwrites") {
  const Sandbox box;
  make_camper(box);
  CHECK(holds(box.ok("export --into tables"), "tables written to tables"));
  box.refused("export --into tables", 3, {"exists already"});
}

TEST_CASE("Without failures a ledger made of another's tables gives the same carry answer") {
  const Sandbox box;
  make_camper(box);
  const Sandbox copy;
  copy_by_tables(box, copy, "2025-12-01");
  const std::string question = "carry --days 30 --as-of 2026-07-01 --use km=2000";
  CHECK(copy.json(question) == box.json(question));
  for (const char* kind : {"classes", "rigs", "meters", "bins", "suppliers", "parts", "positions",
                           "substitutes", "fitted", "stock", "readings", "conditions"}) {
    INFO(kind);
    CHECK(copy.ok(std::string("export ") + kind) == box.ok(std::string("export ") + kind));
  }
  CHECK(holds(copy.ok("verify"), "The ledger is sound."));
}

TEST_CASE(
    "The demo by tables: stock and units are the same, what the history taught is not there") {
  const Sandbox box;
  make_demo(box);
  const Sandbox copy;
  copy_by_tables(box, copy, "2022-06-10");
  const std::string question = "carry --as-of " + kDemoDay + " " + kDemoTrip;
  const Json there = box.json(question);
  const Json here = copy.json(question);
  REQUIRE(here.at("parts").size() == there.at("parts").size());
  const auto by_part = [](const Json& answer) {
    std::map<std::string, Json> lines;
    for (const auto& line : answer.at("parts")) {
      lines[line.at("part").get<std::string>()] = line;
    }
    return lines;
  };
  const auto theirs = by_part(there);
  for (const auto& [part, line] : by_part(here)) {
    INFO(part);
    const Json& other = theirs.at(part);
    CHECK(line.at("aboard") == other.at("aboard"));
    CHECK(line.at("ashore") == other.at("ashore"));
    CHECK(line.at("on_order") == other.at("on_order"));
    CHECK(line.at("units") == other.at("units"));
    CHECK(line.at("units_down") == other.at("units_down"));
    // The tables hold no lives that have ended: no failures are known there.
    CHECK(line.at("failures") == 0);
  }
}
