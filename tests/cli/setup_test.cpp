// Setting up: init and master data, every option as scripts spell it, and the refusals.

#include <catch2/catch.hpp>

#include "scenes.hpp"

using namespace shearpin::test;

TEST_CASE("init makes the ledger, the first rig and the shipped classes") {
  const Sandbox box;
  const std::string out = box.ok("init --rig camper --name \"Our camper\"");
  CHECK(holds(out, "component classes and the rig camper"));
  CHECK(holds(out, "they do not say that a rig is safe"));
  CHECK(std::filesystem::exists(box.ledger()));
  const Json rigs = box.json("rig list").at("items");
  REQUIRE(rigs.size() == 1);
  CHECK(rigs.at(0).at("key") == "camper");
  CHECK(rigs.at(0).at("name") == "Our camper");
  CHECK(box.json("class list").at("items").size() > 100);
}

TEST_CASE("init never overwrites") {
  const Sandbox box;
  box.ok("init");
  box.refused("init --rig other", 4, {"ledger.db", "already"});
  const auto notes = box.write("notes.txt", "dear diary\n");
  box.refused("init --ledger " + notes.string(), 4, {"notes.txt", "already"});
  CHECK(read_file(notes) == "dear diary\n");
}

TEST_CASE("init takes one's own classes, and refuses a file that is none") {
  const Sandbox box;
  box.write("mine.csv",
            "key,name,basis,life,life_low,life_high,shape,severity,resupply\n"
            "kite-line,Kite line,days,400,100,900,1.2,nuisance,anywhere\n");
  box.write("bad.csv",
            "key,basis,life,life_low,life_high,shape,severity,resupply\n"
            "kite-line,days,400,500,900,1.2,nuisance,anywhere\n");
  CHECK(box("init --with bad.csv").code == 3);
  CHECK_FALSE(std::filesystem::exists(box.ledger()));
  CHECK(box("init --with nowhere.csv").code == 3);
  box.ok("init --with mine.csv");
  const Json classes = box.json("class list").at("items");
  REQUIRE(classes.size() == 1);
  CHECK(classes.at(0).at("key") == "kite-line");
}

TEST_CASE("The ledger is found by option, by variable, by data folder, by home") {
  Sandbox box;
  box.ok("init --ledger mine.db --rig mine");
  CHECK(std::filesystem::exists(box.path("mine.db")));
  box.set("SHEARPIN_LEDGER", box.path("sub/env.db").string());
  box.ok("init --rig env");
  CHECK(std::filesystem::exists(box.path("sub/env.db")));
  CHECK(box.json("rig list").at("items").at(0).at("key") == "env");
  CHECK(box.json("rig list --ledger mine.db").at("items").at(0).at("key") == "mine");
  box.set("SHEARPIN_LEDGER", "");
  box.ok("init --rig data");
  CHECK(std::filesystem::exists(box.path("data/shearpin/ledger.db")));
  box.set("XDG_DATA_HOME", "");
  box.ok("init --rig home");
  CHECK(std::filesystem::exists(box.path(".local/share/shearpin/ledger.db")));
  box.set("HOME", "");
  const Ran none = box("now");
  CHECK(none.code == 2);
  CHECK(holds(none.err, "--ledger"));
}

TEST_CASE("Every option of the set-up spellings is taken and kept") {
  const Sandbox box;
  box.ok("init --rig camper");
  box.ok("rig add trailer --name \"Lab trailer\"");
  box.ok("bin add locker --rig camper --name \"Left locker\"");
  box.ok("bin add shed --ashore");
  box.ok("bin add carrier --rig trailer --outside-volume");
  box.ok("supplier add counter --how walk-in --name Counter");
  box.ok("supplier add post --how parcel");
  box.ok(
      "class add door-seal --life 4y --life-low 2y --life-high 9y --shape 1.5 --basis days --usual "
      "2 --severity degraded --resupply order-online");
  box.ok(
      "part add fuse-15 --class blade-fuse-mid --name \"Blade fuse 15 A\" --price 4.50 --mass 12g "
      "--volume 5ml --pack 5 --shelf-life 10y --supplier counter --resupply hardware-store "
      "--rating "
      "15A");
  box.ok("meter add truck-km --rig camper --unit km --usual 60/day");
  box.ok("meter add odometer --rig trailer --unit mi");
  box.ok("meter add heater-h --rig camper --unit h");
  box.ok("meter add winch --rig camper --unit cycles");
  box.ok("meter add nights --rig camper --unit nights");
  box.ok(
      "position add fridge-fuse --rig camper --part fuse-15 --units 2 --severity uninhabitable "
      "--usual 0.5/day --workaround \"ice box\" --name \"Fridge fuse\" --also \"cold box fuse\" "
      "--place \"left wall\" --note \"two screws\"");
  box.ok("position add bearings --rig trailer --class wheel-bearing-set --meter odometer");

  const Json part = box.json("part show fuse-15");
  CHECK(part.at("class") == "blade-fuse-mid");
  CHECK(part.at("price") == "4.50");
  CHECK(part.at("mass") == "12g");
  CHECK(part.at("volume") == "5ml");
  CHECK(part.at("pack") == "5");
  CHECK(part.at("supplier") == "counter");
  CHECK(part.at("resupply") == "hardware-store");
  CHECK(part.at("rating") == "15A");
  const Json position = box.json("position show fridge-fuse");
  CHECK(position.at("rig") == "camper");
  CHECK(position.at("units") == "2");
  CHECK(position.at("severity") == "uninhabitable");
  CHECK(position.at("usual") == "0.5/day");
  CHECK(position.at("workaround") == "ice box");
  CHECK(position.at("also") == "cold box fuse");
  CHECK(position.at("place") == "left wall");
  CHECK(position.at("note") == "two screws");
  CHECK(box.json("bin show shed").at("ashore") == "yes");
  CHECK(box.json("bin show carrier").at("outside-volume") == "yes");
  CHECK(box.json("supplier show post").at("how") == "parcel");
  CHECK(box.json("class show door-seal").at("severity") == "degraded");
  CHECK(box.json("meter show odometer").at("unit") == "mi");
  CHECK(holds(box.ok("verify"), "The ledger is sound."));
}

TEST_CASE("Without a class a part, and without a rig where there is one, will do") {
  const Sandbox box;
  box.ok("init --rig camper");
  box.ok("part add thing");
  box.ok("position add place --part thing");
  CHECK(box.json("position show place").at("rig") == "camper");
  CHECK(box.json("carry --days 10").at("parts").size() == 1);
}

TEST_CASE("set, show, list and retire of every kind") {
  const Sandbox box;
  make_camper(box);
  struct Case {
    const char* kind;
    const char* key;
  };
  for (const Case& one : {Case{"rig", "camper"}, Case{"class", "drive-belt"}, Case{"part", "belt"},
                          Case{"position", "lamps"}, Case{"meter", "km"}, Case{"bin", "drawer"},
                          Case{"supplier", "post"}}) {
    const std::string kind = one.kind;
    const std::string key = one.key;
    INFO(kind);
    const std::string set = box.ok(kind + " set " + key + " --name \"Renamed one\"");
    CHECK(holds(set, "-> Renamed one"));
    CHECK(box.json(kind + " show " + key).at("name") == "Renamed one");
    CHECK(box.json(kind + " show " + key).at("kind") == kind);
    CHECK(holds(box.ok(kind + " show " + key), "Renamed one"));
    CHECK(holds(box.ok(kind + " list"), "Renamed one"));
    CHECK(holds(box.ok(kind + " list --format csv"), "Renamed one"));
    CHECK(holds(box.ok(kind + " retire " + key), "Its history stays"));
    CHECK_FALSE(holds(box.ok(kind + " list"), "Renamed one"));
    CHECK(holds(box.ok(kind + " list --all"), "Renamed one"));
    box.refused(kind + " retire " + key, 3, {"retired already"});
    box.ok(kind + " set " + key + " --no-retired");
    CHECK(holds(box.ok(kind + " list"), "Renamed one"));
    CHECK(holds(box.ok(kind + " set " + key + " --name \"Renamed one\""), "Nothing to change"));
    box.refused(kind + " add " + key, kind == "meter" || kind == "class" ? 2 : 3);
  }
  CHECK(holds(box.ok("verify"), "The ledger is sound."));
}

TEST_CASE("A wrong field is named with its rule and an example, nothing is written") {
  const Sandbox box;
  make_camper(box);
  box.refused("rig add \"Big Truck\"", 3, {"Big Truck", "example"});
  box.refused("rig add camper", 3, {"camper"});
  box.refused("part add x --class no-such-class", 3, {"no-such-class", "Nearest"});
  box.refused("part add x --price cheap", 3, {"cheap"});
  box.refused("part add x --price 0x10", 3, {"0x10"});
  box.refused("part add x --mass nan", 3, {"nan"});
  box.refused("part add x --mass 1e999", 3, {"1e999"});
  box.refused("part add x --pack 0", 3, {"0"});
  box.refused("part add x --rating inf", 3, {"inf"});
  box.refused("position add x --part fuse-15 --units 0", 3, {"\"0\"", "1 to"});
  box.refused("position add x --part fuse-15 --severity awful", 3, {"awful", "safety"});
  box.refused("position set fan-belt --meter nothing", 3);
  box.refused("position add x --part fuse-15 --class drive-belt", 3, {"drive-belt"});
  box.refused("meter add x --rig camper", 2, {"--unit"});
  box.refused("meter add x --rig camper --unit furlongs", 3, {"furlongs", "km"});
  box.refused("class add x --life 4y", 2, {"--basis is needed"});
  box.refused(
      "class add x --life 4y --life-low 9y --life-high 2y --shape 1.5 --basis days --severity "
      "degraded --resupply anywhere",
      3);
  box.refused("part set belt --colour red", 2, {"--colour"});
  box.refused("part set nothing-like-it --name x", 3, {"Nearest"});
  box.refused("part show", 2, {"KEY"});
  box.refused("part", 2, {"add"});
}

TEST_CASE("A part may stand in for another, but never a larger fuse") {
  const Sandbox box;
  make_camper(box);
  box.ok("part add fuse-20 --class blade-fuse-mid --rating 20A");
  box.ok("part add fuse-x --class blade-fuse-mid");
  CHECK(holds(box.ok("part substitute fuse-10 --for fuse-15 --temporary --only fridge-fuse"),
              "may stand in for fuse-15"));
  box.refused("part substitute fuse-20 --for fuse-15", 3, {"20 A", "15 A", "larger"});
  box.refused("part substitute fuse-x --for fuse-15", 3, {"fuse-x"});
  box.refused("part substitute fuse-15 --for fuse-15", 3);
  box.refused("part substitute fuse-15", 2, {"--for"});
  CHECK(holds(box.ok("fits fridge-fuse"), "for a while"));
  CHECK_FALSE(holds(box.ok("fits lamps"), "fuse-10"));
}

TEST_CASE("Meters: readings with units, a mistyped one refused, a new meter may start lower") {
  const Sandbox box;
  make_camper(box);
  CHECK(holds(box.ok("meter read km \"63,000 km\" --on 2026-08-01"), "63000 km"));
  box.refused("meter read km 500 --on 2026-09-01", 3, {"500"});
  box.refused("meter read km 99999 --on 2026-07-15", 3);
  box.refused("meter read km -5", 3);
  box.refused("meter read km lots", 3, {"lots"});
  box.refused("meter read km 64000 --on 2999-01-01", 3, {"2999-01-01"});
  box.refused("meter read km", 2, {"VALUE"});
  box.ok("meter read km 0 --on 2026-09-01 --replaced");
  box.ok("meter read km 120 --on 2026-09-02");
  CHECK(holds(box.ok("meter show km"), "120 on 2026-09-02"));
}

TEST_CASE("A meter in miles counts a distance in kilometres") {
  const Sandbox box;
  box.ok("init --rig camper --on 2026-01-01");
  box.ok("meter add odo --unit mi --on 2026-01-01");
  box.ok("part add belt --class drive-belt --on 2026-01-01");
  box.ok("position add fan --part belt --meter odo --on 2026-01-01");
  box.ok("fit fan --on 2026-01-01");
  box.ok("meter read odo 0 --on 2026-01-01");
  box.ok("meter read odo 1000 --on 2026-04-11");
  // 1000 international miles are 1609.344 km (NIST Special Publication 811, appendix B.8).
  const Json rate = box.json("rate belt --as-of 2026-04-11");
  CHECK(rate.at("exposure").get<double>() == Approx(1609.344));
}

TEST_CASE("policy shows and sets the numbers that advice rests on") {
  const Sandbox box;
  make_camper(box);
  CHECK(holds(box.ok("policy show"), "target-degraded"));
  CHECK(holds(box.ok("policy set target-degraded 0.95"), "Set target-degraded to 0.95."));
  const auto row = [&box](const std::string& key) -> Json {
    const Json shown = box.json("policy show");
    for (const auto& one : shown.at("policy")) {
      if (one.at("key") == key) {
        return one;
      }
    }
    return {};
  };
  CHECK(row("target-degraded").at("value") == 0.95);
  CHECK(row("target-degraded").at("changed") == true);
  CHECK(holds(box.ok("policy show"), "yours"));
  box.ok("policy set target-degraded --shipped");
  CHECK(row("target-degraded").at("changed") == false);
  CHECK(row("target-degraded").at("value") == row("target-degraded").at("shipped"));
  box.refused("policy set target-degraded 1.5", 3, {"1.5"});
  box.refused("policy set target-degraded high", 3, {"high"});
  box.refused("policy set target-degradde 0.9", 3, {"target-degradde"});
  box.refused("policy set target-degraded", 2, {"VALUE"});
  box.refused("policy", 2, {"show"});
}

TEST_CASE("A reading many times the usual is asked about, and yes can be said beforehand") {
  const Sandbox box;
  make_camper(box);
  const std::string said =
      box.refused("meter read km 2300000000 --on 2026-07-02", 3, {"62000", "2300000000", "--sure"});
  box.refused("meter read km 620500 --on 2026-07-08", 3, {"--sure"});  // a digit slipped
  box.ok("meter read km 62500 --on 2026-07-08");
  box.ok("meter read km 64500 --on 2026-07-09");  // a long day is no doubt
  box.ok("meter read km 645000 --on 2026-07-10 --sure");
}

TEST_CASE("Setting an unknown policy back to its shipped value is refused") {
  const Sandbox box;
  make_camper(box);
  box.refused("policy set nosuch --shipped", 3, {"nosuch", "nearest"});
  box.ok("policy set target-degraded 0.9");
  box.ok("policy set target-degraded --shipped");
}

TEST_CASE("A reading that no rig can run up counts as no use, and every answer says so") {
  const Sandbox box;
  make_camper(box);
  const auto carried = [&] {
    Json answer = box.json("carry --days 30 --as-of 2026-07-02");
    answer.erase("notes");
    return answer;
  };
  const Json before = carried();
  box.ok("meter read km 2300000000 --on 2026-07-02 --sure");
  const std::string undo = "shearpin undo " + std::to_string(newest_entry(box));
  CHECK(carried() == before);
  for (const char* line : {"now", "reorder", "carry --days 30", "report --days 30"}) {
    const std::string said = box.ok(std::string(line) + " --as-of 2026-07-02");
    INFO(line << ": " << said);
    CHECK(holds(said, "is left out"));
    CHECK(holds(said, undo));
  }
}
