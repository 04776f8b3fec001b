// Names, dates and quantities as a person types them.

#include <catch2/catch.hpp>

#include "scenes.hpp"

using namespace shearpin::test;

TEST_CASE("A name may be a key, its beginning, a nickname, words in any order, a near miss") {
  const Sandbox box;
  make_camper(box);
  for (const char* typed : {"fridge-fuse", "fridge", "\"cold box fuse\"", "\"fuse fridge\"",
                            "\"FRIDGE FUSE\"", "\"frige fuse\"", "\"fridge fsue\""}) {
    INFO(typed);
    CHECK(box.json(std::string("position show ") + typed).at("key") == "fridge-fuse");
  }
}

TEST_CASE("What was taken for what is echoed") {
  const Sandbox box;
  make_camper(box);
  CHECK(
      holds(box.ok("use \"15 blade\" --on 2026-03-01"), "\"15 blade\" is fuse-15 Blade fuse 15 A"));
  CHECK(holds(box.ok("count fuse-15 4 --in \"left lockr\" --on 2026-03-01"),
              "\"left lockr\" is locker Left locker"));
  CHECK_FALSE(holds(box.ok("use fuse-15 --on 2026-03-01"), "\" is "));
  // In JSON standard output stays JSON.
  CHECK(box.json("use \"15 blade\" --on 2026-03-01").at("part_used") == "fuse-15");
}

TEST_CASE("Every command that takes a name says what it took it for") {
  const Sandbox box;
  make_camper(box);
  for (const char* line :
       {"meter read kmm 63000 --on 2026-08-01", "part set belts --note x",
        "position set \"cabin lamp\" --place roof", "bin retire drawr",
        "part substitute fuse-10 --for \"15 blade\"", "order \"engine belt\" 1",
        "receive belts 1 --into locker", "move \"15 blade\" 1 --from locker --to shed",
        "fit \"cabin lamp\"/1 --on 2026-01-01"}) {
    INFO(line);
    const Ran ran = box(line);
    CHECK((ran.code == 0 || ran.code == 3));
    if (ran.code == 0) {
      CHECK(holds(ran.out, "\" is "));
    }
  }
}

TEST_CASE("Between two nothing is guessed: they are listed with keys and nothing is written") {
  const Sandbox box;
  make_camper(box);
  box.refused("use fuse", 3, {"could be 2 parts", "fuse-15 Blade fuse 15 A", "fuse-10"});
  box.refused("receive \"blade fuse\" 1 --into locker", 3, {"fuse-15", "fuse-10"});
  box.ok("supplier add counter-b --name \"Farm counter B\"");
  box.refused("class show glow-pin", 3, {"could be 2 classes"});
}

TEST_CASE("Nothing found suggests the nearest three") {
  const Sandbox box;
  make_camper(box);
  const std::string told = box.refused("fail dishwasher", 3, {"no position called", "Nearest:"});
  CHECK(holds(told, "lamps"));
  CHECK(holds(told, "fridge-fuse"));
  CHECK(holds(told, "fan-belt"));
}

TEST_CASE("Where there is nothing yet it says how to add one") {
  const Sandbox box;
  box.ok("init --rig camper");
  box.refused("fail pump", 3, {"shearpin position add"});
  box.refused("use tape", 3, {"shearpin part add"});
  CHECK(holds(box.ok("part list"), "shearpin part add"));
}

TEST_CASE("A mistyped command or option gets the nearest names") {
  const Sandbox box;
  make_camper(box);
  box.refused("fial fridge-fuse", 2, {"fial", "nearest: fail"});
  box.refused("reciev belt 1", 2, {"receive"});
  box.refused("add part x", 2, {"add"});
  box.refused("part ad x", 2, {"add"});
  box.refused("fail fridge-fuse --casue shock", 2, {"--cause"});
  box.refused("fail fridge-fuse --cause", 2, {"--cause"});
  box.refused("fail fridge-fuse yesterday", 2, {"yesterday", "too many"});
  box.refused("qqqqqqqq", 2, {"qqqqqqqq", "--help"});
}

TEST_CASE("Dates as they are said") {
  const Sandbox box;
  make_camper(box);
  const auto happened = [&box] {
    return box.json("journal --last 1").at("entries").at(0).at("happened").get<std::string>();
  };
  box.ok("use fuse-15");
  const std::string today = happened();
  box.ok("use fuse-15 --on today");
  CHECK(happened() == today);
  box.ok("use fuse-15 --on yesterday");
  const std::string yesterday = happened();
  CHECK(yesterday < today);
  box.ok("use fuse-15 --on \"3d ago\"");
  CHECK(happened() < yesterday);
  box.ok("condition add heat --from 2026-04");
  CHECK(happened() == "2026-04-01");
  box.ok("use fuse-15 --on \"last friday\"");
  CHECK(happened() < today);
}

TEST_CASE("What has not happened cannot be recorded, a day that is none is refused") {
  const Sandbox box;
  make_camper(box);
  box.refused("fail fridge-fuse --on 2099-01-01", 3, {"2099-01-01", "after today"});
  box.refused("fail fridge-fuse --as-of 2099-01-01", 3, {"2099-01-01", "after today"});
  box.refused("fail fridge-fuse --on tomorrow", 3);
  box.refused("fail fridge-fuse --on 2026-02-30", 3, {"2026-02-30"});
  box.refused("fail fridge-fuse --on soon", 3, {"soon", "2026-08-03"});
  box.refused("stay 2 --on 2099-01-01", 3, {"2099-01-01"});
  box.refused("condition add heat --from 2099-01-01", 3, {"2099-01-01"});
  box.refused("order belt 1 --on 2099-01-01", 3, {"2099-01-01"});
  box.refused("count fuse-15 1 --on 2099-01-01", 3, {"2099-01-01"});
  box.refused("rig add x --on 2099-01-01", 3, {"2099-01-01"});
  box.refused("policy set target-degraded 0.9 --on 2099-01-01", 3, {"2099-01-01"});
}

TEST_CASE("Quantities are pieces from 1 to a million, numbers that are none are refused") {
  const Sandbox box;
  make_camper(box);
  for (const char* number :
       {"0", "1000001", "1.5", "0x2", "1e3", "nan", "inf", "99999999999999999999"}) {
    INFO(number);
    box.refused(std::string("receive belt ") + number + " --into locker", 3, {number});
  }
  box.refused("receive belt -- -3 --into locker", 2);
  box.refused("receive belt --packs 0 --into locker", 3, {"0"});
  CHECK(holds(box.ok("receive belt 1000000 --into shed"), "1000000 x belt"));
}
