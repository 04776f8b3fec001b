// In the field: fit, fail, renew, use, lose, scrap, test, stay, condition.

#include <catch2/catch.hpp>

#include "scenes.hpp"

using namespace shearpin::test;

TEST_CASE("One short line logs a failure, misspelt, and says what was done and what is left") {
  const Sandbox box;
  make_camper(box);
  const std::string out = box.ok("fail \"frige fuse\"");
  CHECK(holds(out, "\"frige fuse\" is fridge-fuse Fridge fuse"));
  CHECK(holds(out, "Failed: fridge-fuse Fridge fuse on"));
  CHECK(holds(out, "Fitted 1 x fuse-15 Blade fuse 15 A from locker (Left locker)"));
  CHECK(holds(out, "Left aboard: 4 of fuse-15 (10 ashore)"));
  CHECK(holds(out, "Never fit a larger rating"));
  CHECK(book(box, "fuse-15", "locker") == 4);
}

TEST_CASE("fail answers in JSON with what it did") {
  const Sandbox box;
  make_camper(box);
  const Json did = box.json("fail lamps/2 --on 2026-03-01 --cause shock");
  CHECK(did.at("recorded") == true);
  CHECK(did.at("position") == "lamps");
  CHECK(did.at("units") == Json::array({2}));
  CHECK(did.at("part_used") == "fuse-15");
  CHECK(did.at("pieces_used") == 1);
  CHECK(did.at("from") == "locker");
  CHECK(did.at("left_aboard") == 4);
  CHECK(did.at("left_ashore") == 10);
  CHECK(did.at("left_open").empty());
  CHECK(did.at("entries").size() == 1);
}

TEST_CASE("Every way a failure can end") {
  const Sandbox box;
  make_camper(box);
  box.ok("part substitute fuse-10 --for fuse-15 --on 2026-01-01");
  box.ok("receive fuse-10 2 --into drawer --on 2026-02-01");
  SECTION("another part, from a bin, several at once") {
    const Json did = box.json("fail lamps --count 2 --with fuse-10 --from drawer --on 2026-03-01");
    CHECK(did.at("units").size() == 2);
    CHECK(did.at("part_used") == "fuse-10");
    CHECK(book(box, "fuse-10", "") == 0);
    CHECK(book(box, "fuse-15", "locker") == 5);
  }
  SECTION("repaired in place: the same unit lives on, no spare is used") {
    const Json did = box.json("fail fridge-fuse --repaired --on 2026-03-01");
    CHECK(did.at("pieces_used") == 0);
    CHECK(holds(box.ok("position show fridge-fuse"), "since 2026-01-01"));
    CHECK(book(box, "fuse-15", "locker") == 5);
  }
  SECTION("on a workaround") {
    CHECK(box.json("fail fridge-fuse --workaround --on 2026-03-01").at("left_state") ==
          "workaround");
    CHECK(box.json("now").at("down").at(0).at("state") == "workaround");
  }
  SECTION("left dead: it says what gets by and how soon a part can be had") {
    const std::string out = box.ok("fail fridge-fuse --left-dead --on 2026-03-01");
    CHECK(holds(out, "STILL DEAD: fridge-fuse"));
    CHECK(holds(out, "What gets you by: ice box"));
    CHECK(holds(out, "Next: shearpin fit fridge-fuse fuse-15 --from locker"));
    CHECK(box.json("now").at("down").at(0).at("position") == "fridge-fuse");
    CHECK(book(box, "fuse-15", "locker") == 5);
  }
  SECTION("on a stand-in") {
    CHECK(box.json("fail fridge-fuse --stand-in \"bit of wire, watched\" --on 2026-03-01")
              .at("left_state") == "stand-in");
    CHECK(holds(box.ok("position show fridge-fuse"), "bit of wire, watched"));
  }
  SECTION("found on a test: an interval since the last day it was good") {
    box.ok(
        "fail fridge-fuse --found-on-test --last-good 2026-02-01 --on 2026-03-01 --note "
        "\"found dark\"");
    const Json records = box.json("rate fuse-15").at("records");
    CHECK(std::any_of(records.begin(), records.end(),
                      [](const Json& one) { return one.at("kind") == "interval"; }));
  }
  SECTION("refused: two ends at once, a last good day after the failure, a place not there") {
    box.refused("fail fridge-fuse --repaired --workaround", 2, {"--repaired", "--workaround"});
    box.refused("fail fridge-fuse --found-on-test --last-good 2026-04-01 --on 2026-03-01", 3);
    box.refused("fail lamps/9", 3, {"lamps", "1 to 3"});
    box.refused("fail lamps --count 4 --on 2026-03-01", 3);
    box.refused("fail", 2, {"POSITION"});
    box.refused("fail fridge-fuse --on 2025-06-01", 3, {"2025-06-01"});
    box.refused("fail fridge-fuse --fault nothing", 3, {"nothing"});
    box.refused("fail fridge-fuse --from shed --with belt", 3);
  }
  CHECK(holds(box.ok("verify"), "The ledger is sound."));
}

TEST_CASE("Where several are fitted the longest fitted is meant, and it says so") {
  const Sandbox box;
  make_camper(box);
  box.ok("fail lamps/1 --on 2026-03-01");
  const std::string out = box.ok("fail lamps --on 2026-03-05");
  CHECK(holds(out, "lamps unit 2"));
  CHECK(holds(out, "fitted"));
}

TEST_CASE("With no spare aboard the unit is dead, ashore does not help, and it says where it is") {
  const Sandbox box;
  make_camper(box);
  box.ok("move fuse-15 5 --from locker --to shed --on 2026-02-10");
  const std::string out = box.ok("fail fridge-fuse --on 2026-03-01");
  CHECK(holds(out, "STILL DEAD"));
  CHECK(holds(out, "shed"));
  CHECK(holds(out, "ashore"));
  CHECK(holds(out, "To be had from counter in about"));
  CHECK(holds(out, "Next, with shed at hand: shearpin fit fridge-fuse fuse-15 --from shed"));
  CHECK(book(box, "fuse-15", "shed") == 15);
}

TEST_CASE("The first to expire goes first, then the oldest lot") {
  const Sandbox box;
  make_camper(box);
  box.ok("receive fuse-15 1 --into drawer --on 2026-03-01 --ends 2027-12-01 --batch LATE");
  box.ok("receive fuse-15 1 --into drawer --on 2026-03-02 --ends 2027-03-01 --batch SOON");
  box.ok("fail fridge-fuse --on 2026-03-05");
  CHECK(holds(box.ok("part show fuse-15"), "batch LATE"));
  CHECK_FALSE(holds(box.ok("part show fuse-15"), "batch SOON"));
}

TEST_CASE("fit: one unit, a bin, an age, an unknown age, marks, something without a number") {
  const Sandbox box;
  make_camper(box);
  box.ok("position add spots --part fuse-15 --units 4 --on 2026-01-01");
  box.ok("position add knob --class drive-belt --usual 1/day --on 2026-01-01");
  box.ok("fit spots/2 fuse-15 --from locker --on 2026-02-10");
  CHECK(book(box, "fuse-15", "locker") == 4);
  box.ok("fit spots/3 --age unknown --on 2026-02-10");
  box.ok("fit spots/1 --age 90 --made 2025-10 --ends 2035-10-01 --on 2026-02-10");
  const std::string out = box.ok("fit spots --on 2026-02-11");
  CHECK(holds(out, "unit 4"));
  box.ok("fit knob --no-part \"turned on a lathe\" --on 2026-02-10");
  CHECK(holds(box.ok("position show knob"), "turned on a lathe"));
  box.refused("fit spots --on 2026-02-12", 3, {"spots"});
  box.refused("fit spots/1 --on 2026-02-12", 3, {"spots"});
  box.ok("position add other --class drive-belt --usual 1/day --on 2026-01-01");
  box.refused("fit other --on 2026-02-12", 3, {"--no-part"});
  box.refused("fit other --age minus --no-part x", 3, {"minus"});
  const Json records = box.json("rate fuse-15 --as-of 2026-02-11").at("records");
  CHECK(records.size() == 8);
}

TEST_CASE("renew: replaced while good, the old one scrapped or kept as a worn spare with its age") {
  const Sandbox box;
  make_camper(box);
  box.ok("renew fridge-fuse --on 2026-03-01");
  CHECK(book(box, "fuse-15", "locker") == 4);
  box.ok("renew lamps/1 --on 2026-03-01 --keep drawer --note \"still good\"");
  CHECK(book(box, "fuse-15", "locker") == 3);
  CHECK(book(box, "fuse-15", "drawer") == 1);
  CHECK(holds(box.ok("export stock"), "worn"));
  box.ok("renew lamps --count 2 --from outside --on 2026-03-02");
  CHECK(book(box, "fuse-15", "locker") == 3);
  const Json rate = box.json("rate fuse-15 --as-of 2026-03-03");
  CHECK(rate.at("failures") == 0);
  box.refused("renew fridge-fuse --keep nowhere", 3);
  box.ok("position add bare --part fuse-15");
  box.refused("renew bare", 3, {"bare"});
}

TEST_CASE("use, lose and scrap take pieces, and count for what they are") {
  const Sandbox box;
  make_camper(box);
  CHECK(holds(box.ok("use fuse-15 2 --at fridge-fuse --on 2026-03-01"), "Used: 2 x fuse-15"));
  CHECK(holds(box.ok("lose fuse-15 1 --on 2026-03-01"), "Lost: 1 x fuse-15"));
  CHECK(holds(box.ok("scrap fuse-15 1 --from shed --cause spoiled --on 2026-03-01"),
              "Scrapped: 1 x fuse-15"));
  CHECK(book(box, "fuse-15", "locker") == 2);
  CHECK(book(box, "fuse-15", "shed") == 9);
  CHECK(box.json("rate fuse-15").at("failures") == 0);
  box.refused("use fuse-15 3 --from locker", 3, {"2"});
  box.refused("use fuse-15 0", 3, {"0"});
  box.refused("use fuse-15 1000001", 3, {"1000001"});
  box.refused("use fuse-15 some", 3, {"some"});
  box.refused("scrap fuse-15 99 --from shed", 3, {"9"});
  box.refused("lose belt 1", 3);
  box.refused("use fuse-15 1 --at nowhere-at-all", 3);
}

TEST_CASE("A fitted unit can be lost, with or without a spare put in") {
  const Sandbox box;
  make_camper(box);
  const Json gone = box.json("lose lamps/3 --on 2026-03-01");
  CHECK(gone.at("left_state") == "dead");
  const Json again = box.json("lose fridge-fuse --refit --on 2026-03-01");
  CHECK(again.at("pieces_used") == 1);
  CHECK(book(box, "fuse-15", "locker") == 4);
  // A loss says nothing of how long the part lasts.
  CHECK(box.json("rate fuse-15").at("failures") == 0);
}

TEST_CASE("test: a pass is kept, a failure leaves the unit dead") {
  const Sandbox box;
  make_camper(box);
  CHECK(holds(box.ok("test fridge-fuse pass --reading \"12.1 V\" --on 2026-03-01"), "Test passed"));
  const std::string out = box.ok("test fridge-fuse fail --on 2026-04-01");
  CHECK(holds(out, "Test FAILED"));
  CHECK(holds(out, "STILL DEAD"));
  CHECK(holds(out, "Next: shearpin fit fridge-fuse fuse-15 --from locker"));
  box.refused("test fridge-fuse maybe", 2, {"maybe", "pass"});
  box.refused("test fridge-fuse", 2, {"RESULT"});
  box.refused("test fridge-fuse pass --on 2026-04-02", 3, {"dead"});
}

TEST_CASE("What fails unseen failed at some time since it was last known good") {
  const Sandbox box;
  make_camper(box);
  box.ok(
      "class add alarm --life 7y --life-low 3y --life-high 15y --shape 2 --basis days --severity "
      "safety --resupply anywhere --hidden --test-interval 30d --on 2025-12-01");
  box.ok("part add siren --class alarm --on 2025-12-01");
  box.ok("position add bow --part siren --on 2025-12-01");
  box.ok("fit bow --on 2026-01-01");
  box.ok("test bow pass --on 2026-03-01");
  box.ok("test bow fail --on 2026-04-01");
  const Json record = box.json("rate siren").at("records").at(0);
  CHECK(record.at("kind") == "interval");
  CHECK(record.at("lower") == 59);
  CHECK(record.at("exit") == 90);
  // And nobody tested for a while: it says that a test is due.
  box.ok("fit bow --on 2026-04-02");
  const Json due = box.json("now --as-of 2026-06-01").at("due");
  REQUIRE(due.size() == 1);
  CHECK(due.at(0).at("due") == "2026-05-02");
  CHECK(box("now --as-of 2026-06-01 --check").code == 10);
}

TEST_CASE("stay counts nights, conditions weigh the days") {
  const Sandbox box;
  make_camper(box);
  box.ok("meter add nights --rig camper --unit nights --on 2025-12-01");
  CHECK(holds(box.ok("stay 3 --at \"Tarrow Lake\" --on 2026-03-04"),
              "Stayed 3 nights up to 2026-03-04 at Tarrow Lake."));
  CHECK(holds(box.ok("stay --on yesterday"), "Stayed 1 night"));
  box.refused("stay 0", 3, {"0"});
  CHECK(holds(box.ok("condition add smoke-dust --rig camper --from 2026-07-01 --to 2026-07-20"),
              "Condition smoke-dust from 2026-07-01 to 2026-07-20, camper."));
  box.ok("condition add salt --from 2026-08-01");
  const std::string list = box.ok("condition list");
  CHECK(holds(list, "smoke-dust"));
  CHECK(holds(list, "still on"));
  box.refused("condition add heat --from 2026-07-20 --to 2026-07-01", 3);
  box.refused("condition add heat", 2, {"--from"});
  const Json before = box.json("rate belt --as-of 2026-06-30");
  const Json after = box.json("rate belt --as-of 2026-11-01");
  CHECK(after.at("exposure").get<double>() > before.at("exposure").get<double>());
}
