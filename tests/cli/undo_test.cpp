// undo: everything can be taken back, newest first, to what it was.

#include <catch2/catch.hpp>

#include "scenes.hpp"

using namespace shearpin::test;

namespace {

// One line of every writing command, in an order in which each is possible.
const std::vector<std::string>& writing_lines() {
  static const std::vector<std::string> lines{
      "rig add trailer --name Trailer",
      "rig set trailer --name \"Lab trailer\"",
      "class add door-seal --life 4y --life-low 2y --life-high 9y --shape 1.5 --basis days "
      "--severity degraded --resupply order-online",
      "class set door-seal --severity nuisance",
      "supplier add yard --how walk-in",
      "supplier set yard --name \"Breaker's yard\"",
      "bin add crate --rig trailer",
      "bin set crate --ashore",
      "meter add winch --rig trailer --unit cycles",
      "meter set winch --usual 3/day",
      "meter read winch 100 --on 2026-08-01",
      "part add seal --class door-seal --price 12",
      "part set seal --price 13 --supplier yard",
      "part substitute fuse-10 --for fuse-15",
      "position add door --rig trailer --part seal --units 2",
      "position set door --workaround tape",
      "order seal 4 --supplier yard --on 2026-08-02",
      "receive seal 3 --into crate --on 2026-08-05",
      "receive seal 2 --into locker --on 2026-08-06 --no-order",
      "fit door/1 --from crate --on 2026-08-06",
      "fit door/2 --on 2026-08-06",
      "fail door/1 --on 2026-08-07 --cause wear-out",
      "fail door/2 --on 2026-08-08 --left-dead",
      "fit door/2 --from crate --on 2026-08-09",
      "fail door/1 --on 2026-08-10 --repaired",
      "renew door/2 --on 2026-08-11 --keep crate",
      "test fridge-fuse pass --on 2026-08-12",
      "test fridge-fuse fail --on 2026-08-13",
      "fit fridge-fuse --from locker --on 2026-08-13",
      "use fuse-15 1 --on 2026-08-14",
      "lose fuse-15 1 --on 2026-08-14",
      "lose lamps/1 --on 2026-08-14",
      "scrap fuse-15 1 --from shed --on 2026-08-14 --cause spoiled",
      "move fuse-15 2 --from shed --to drawer --on 2026-08-15",
      "count fuse-15 1 --in locker --on 2026-08-16",
      "stay 3 --on 2026-08-17",
      "condition add salt --from 2026-08-18 --to 2026-08-20",
      "policy set target-degraded 0.95",
      "bin retire drawer",
      "part retire fuse-10",
  };
  return lines;
}

}  // namespace

TEST_CASE("Every writing command is taken back, newest first, to the state before it") {
  const Sandbox box;
  make_camper(box);
  std::vector<std::string> states{state_of(box)};
  for (const auto& line : writing_lines()) {
    const auto before = newest_entry(box);
    box.ok(line);
    INFO(line);
    REQUIRE(newest_entry(box) == before + 1);
    states.push_back(state_of(box));
  }
  for (std::size_t i = writing_lines().size(); i > 0; --i) {
    INFO("taking back: " << writing_lines()[i - 1]);
    CHECK(holds(box.ok("undo"), "Took back entry"));
    CHECK((state_of(box) == states[i - 1]));
  }
  CHECK(holds(box.ok("verify"), "The ledger is sound."));
}

TEST_CASE("An undo can itself be taken back") {
  const Sandbox box;
  make_camper(box);
  box.ok("fail fridge-fuse --on 2026-03-01");
  const std::string failed = state_of(box);
  const auto entry = std::to_string(newest_entry(box));
  const std::string told = box.ok("undo " + entry + " --note \"wrong fuse\"");
  CHECK(holds(told, "to bring it back: shearpin undo"));
  CHECK(state_of(box) != failed);
  box.refused("undo " + entry, 3, {entry});
  const auto undo = std::to_string(newest_entry(box));
  const Json journal = box.json("journal --last 2").at("entries");
  CHECK(journal.at(0).at("reverses").get<long long>() == std::stoll(entry));
  CHECK(journal.at(1).at("reversed_by").get<long long>() == std::stoll(undo));
  box.ok("undo " + undo);
  CHECK((state_of(box) == failed));
  CHECK(holds(box.ok("verify"), "The ledger is sound."));
}

TEST_CASE("What later entries depend on is not taken back, they are named") {
  const Sandbox box;
  make_camper(box);
  box.ok("receive belt 1 --into drawer --on 2026-08-01");
  const auto receipt = newest_entry(box);
  box.ok("use belt 1 --on 2026-08-02");
  const auto use = newest_entry(box);
  box.refused("undo " + std::to_string(receipt), 3, {std::to_string(use)});
  box.ok("undo " + std::to_string(use));
  box.ok("undo " + std::to_string(receipt));
  box.ok("part add lone");
  const auto part = newest_entry(box);
  box.ok("position add holder --part lone");
  const auto position = newest_entry(box);
  box.refused("undo " + std::to_string(part), 3, {std::to_string(position)});
}

TEST_CASE("undo of what is not there is refused") {
  const Sandbox box;
  make_camper(box);
  box.refused("undo 99999", 3, {"99999"});
  box.refused("undo import-nothing", 3, {"import-nothing", "journal"});
  box.refused("undo 0", 3);
}

TEST_CASE("A whole import is taken back by its batch") {
  const Sandbox box;
  make_camper(box);
  const std::string before = state_of(box);
  box.write("parts.csv", "key,name,price\nhose,Hose,4\nclamp,Clamp,1\n");
  box.write("stock.csv", "date,part,bin,quantity\n2026-03-01,hose,locker,3\n");
  const std::string told = box.ok("import parts.csv stock.csv");
  const auto at = told.find("import-");
  REQUIRE(at != std::string::npos);
  const std::string batch = told.substr(at, told.find('\n', at) - at);
  CHECK(book(box, "hose", "locker") == 3);
  CHECK(box.json("journal --all --batch " + batch).at("entries").size() == 3);
  SECTION("by its batch id") {
    CHECK(holds(box.ok("undo " + batch), "the whole import"));
    CHECK((state_of(box) == before));
    box.refused("undo " + batch, 3);
  }
  SECTION("refused where something later depends on it") {
    box.ok("use hose 1 --on 2026-04-01");
    box.refused("undo " + batch, 3, {std::to_string(newest_entry(box))});
  }
  SECTION("an entry of it alone") {
    const auto entry = std::to_string(newest_entry(box));
    box.ok("undo " + entry);
    CHECK(book(box, "hose", "locker") == 0);
    CHECK(holds(box.ok("part list"), "hose"));
  }
  CHECK(holds(box.ok("verify"), "The ledger is sound."));
}

TEST_CASE("Without a number undo takes back what was written or brought back last") {
  const Sandbox box;
  make_camper(box);
  box.ok("bin add crate");
  const auto crate = newest_entry(box);
  const std::string with_crate = state_of(box);
  box.ok("undo " + std::to_string(crate));
  const std::string without = state_of(box);
  box.ok("undo " + std::to_string(crate + 1));  // the crate is back
  REQUIRE(state_of(box) == with_crate);
  const Json rows = box.json("journal --last 3").at("entries");
  CHECK(rows.at(2).at("entry") == crate);
  CHECK(rows.at(2).at("in_force") == true);
  CHECK(rows.at(2).at("revived_by") == crate + 2);
  CHECK(holds(box.ok("journal --last 3"), "back by " + std::to_string(crate + 2)));
  CHECK(holds(box.ok("undo"), "Took back entry " + std::to_string(crate)));
  CHECK(state_of(box) == without);
  CHECK(box.json("journal --last 4").at("entries").at(3).at("in_force") == false);
  // Then the one before it, and so on: never the same twice.
  CHECK(holds(box.ok("undo"), "Took back entry " + std::to_string(crate - 1)));
}

TEST_CASE("Off a terminal an import is taken back only by its name") {
  const Sandbox box;
  make_camper(box);
  box.write("parts.csv",
            "key,class,name\nhose,hose-washer,Hose washer\nthin,hose-washer,Thin one\n");
  box.ok("import parts.csv");
  const std::string batch = box.json("journal --last 1").at("entries").at(0).at("batch");
  const std::string said = box.refused("undo", 3, {"2 entries", "shearpin undo " + batch});
  box.ok("bin add crate");
  CHECK(holds(box.ok("undo"), "crate"));  // newer than the import
  box.refused("undo", 3, {batch});
  CHECK(holds(box.ok("undo " + batch), "2 entries"));
  CHECK(holds(box.ok("undo"), "Took back entry"));  // the entry before the import
}
