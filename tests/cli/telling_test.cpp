// What a person is told: of things logged late, of pieces that lie elsewhere, of what to do next.

#include <catch2/catch.hpp>

#include "scenes.hpp"

using namespace shearpin::test;

TEST_CASE("A thing told late tells today's stock, and what it was then") {
  const Sandbox box;
  make_camper(box);
  box.ok("receive belt 4 --into locker --on 2026-05-01");
  const std::string late = box.ok("receive belt 1 --into locker --on 2026-02-01");
  CHECK(holds(late, "today; on 2026-02-01 it was"));
  const Json counted = box.json("receive belt 1 --into locker --on 2026-02-02");
  CHECK(counted.at("left_aboard") == book(box, "belt", "locker"));
  CHECK(holds(box.ok("--dry-run receive belt 1 --into locker --on 2026-02-03"), "on 2026-02-03."));
  CHECK_FALSE(holds(box.ok("receive belt 1 --into locker --on 2026-05-02"), "it was"));
}

TEST_CASE("Where the only spare stays behind, the next step is to fetch it") {
  const Sandbox box;
  make_camper(box);
  box.ok("move fuse-15 5 --from locker --to shed --on 2026-02-01");
  const std::string failed = box.ok("fail lamps/1 --on 2026-03-01");
  CHECK(holds(failed, "Next, with shed at hand: shearpin fit lamps fuse-15 --from shed"));
  CHECK_FALSE(holds(failed, "shearpin order"));
  CHECK(holds(box.ok("now"), "none of fuse-15 aboard, 15 in shed: fetch it"));
  const Json down = box.json("now").at("down").at(0);
  CHECK(down.at("aboard") == 0);
  CHECK(down.at("ashore") == 15);
  CHECK(holds(down.at("class_advice").get<std::string>(), "borrow the same rating"));
  box.ok("fit lamps/1 fuse-15 --from shed --on 2026-03-02");
  CHECK(box.json("now").at("down").empty());
}

TEST_CASE("A unit fitted from outside while spares lie aboard is questioned") {
  const Sandbox box;
  make_camper(box);
  box.ok("fail fridge-fuse --left-dead --on 2026-03-01");
  const Ran doubted = box("fit fridge-fuse --on 2026-03-02");
  CHECK(doubted.code == 0);
  CHECK(holds(doubted.err, "the 5 of fuse-15 aboard are left alone"));
  CHECK(holds(doubted.err, "shearpin fit fridge-fuse --from"));
  box.ok("undo");
  CHECK(box("fit fridge-fuse --from outside --on 2026-03-02").err.empty());
  box.ok("undo");
  CHECK(box("fit fridge-fuse --from locker --on 2026-03-02").err.empty());
}

TEST_CASE("Fitting what was there when the ledger began asks to buy nothing") {
  const Sandbox box;
  make_camper(box);
  box.ok("part add lamp-led --class lamp-interior-led");
  box.ok("position add porch --rig camper --part lamp-led");
  const std::string first = box.ok("fit porch --age unknown --on 2026-01-10");
  CHECK(
      holds(first, "Next, where spares of it lie aboard: shearpin receive lamp-led N --into BIN"));
  CHECK_FALSE(holds(first, "shearpin order"));
  CHECK(holds(box.ok("fail porch --on 2026-02-01"), "shearpin order lamp-led"));
}

TEST_CASE("A fuse whose rating grows is told of with the caution") {
  const Sandbox box;
  make_camper(box);
  const std::string grown = box.ok("part set fuse-15 --rating 30A");
  CHECK(holds(grown, "That is larger: 15 A before, 30 A now"));
  CHECK(holds(grown, "A fuse guards the wire"));
  box.ok("part add fuse-40 --class blade-fuse-mid --rating 40A");
  CHECK(holds(box.ok("position set fridge-fuse --part fuse-40"), "30 A before, 40 A now"));
  CHECK_FALSE(holds(box.ok("part set fuse-40 --rating 25A"), "Caution"));
}

TEST_CASE("What went in is told: a repair, a thing of no part number, its age and its end") {
  const Sandbox box;
  make_camper(box);
  const std::string repaired = box.ok("fail lamps/1 --repaired --on 2026-03-01");
  CHECK(holds(repaired, "Repaired in place: the same unit goes on."));
  CHECK_FALSE(holds(repaired, "shearpin order"));
  const std::string other = box.ok("fail fridge-fuse --no-part \"blue fuse\" --on 2026-03-01");
  CHECK(holds(other, "Fitted blue fuse (no part number)."));
  CHECK(holds(other, "takes 15 A: what goes in must have that rating or a smaller one"));
  box.ok("part add hose --class lp-hose");
  box.ok("position add hose-1 --rig camper --part hose");
  CHECK(holds(box.ok("fit hose-1 --age 300d --ends 2030-02-01 --on 2026-02-01"),
              "It starts with 300 days behind it and reaches its marked end on 2030-02-01."));
}

TEST_CASE("A passed test asks for no spare") {
  const Sandbox box;
  make_demo(box);
  CHECK_FALSE(holds(box.ok("test t27 pass --on " + kDemoDay), "shearpin order"));
}

TEST_CASE("Every change of master data says which entry it is and how to take it back") {
  const Sandbox box;
  make_camper(box);
  for (const std::string line :
       {"part set belt --price 12.50", "policy set target-degraded 95%",
        "part substitute fuse-10 --for fuse-15", "bin add tray --ashore", "bin retire tray"}) {
    INFO(line);
    const std::string out = box.ok(line);
    const std::string entry = std::to_string(newest_entry(box));
    CHECK(holds(out, "Entry " + entry + "; to take it back: shearpin undo " + entry));
    CHECK_FALSE(holds(box.ok("--dry-run policy set target-degraded 0.9"), "to take it back"));
  }
  CHECK_FALSE(holds(box.ok("part set belt --price 12.50"), "to take it back"));
}

TEST_CASE("The journal tells changes in the words of the commands") {
  const Sandbox box;
  make_camper(box);
  box.ok("part set belt --price 12.50 --mass 80g --home-bin shed");
  box.ok("bin set locker --ashore");
  const std::string told = box.ok("journal --last 2");
  CHECK(holds(told, "-> 12.50"));
  CHECK(holds(told, "mass"));
  CHECK(holds(told, "-> 80 g"));
  CHECK(holds(told, "-> shed"));
  CHECK(holds(told, "ashore no -> yes"));
  CHECK(holds(told, "The newest 2; all of them: shearpin journal --all"));
  CHECK_FALSE(holds(box.ok("journal --all"), "all of them"));
  CHECK_FALSE(holds(box.ok("journal --all --as-of 2026-01-05"), "ashore"));
}

TEST_CASE("The journal says that there is more only where there is more") {
  const Sandbox box;
  box.ok("init");  // two entries: the cautions and the classes
  CHECK(holds(box.ok("journal --last 1"), "The newest 1;"));
  CHECK_FALSE(holds(box.ok("journal --last 2"), "The newest"));
}

TEST_CASE("One policy can be asked for, and a chance set as a percentage") {
  const Sandbox box;
  make_camper(box);
  box.ok("policy set target-degraded 95%");
  const Json one = box.json("policy show target-degraded").at("policy");
  REQUIRE(one.size() == 1);
  CHECK(one.at(0).at("value") == 0.95);
  CHECK(box.json("policy show target").at("policy").size() == 5);
  CHECK(box("policy set review-days 30%").code == 3);
  CHECK(holds(box("policy show nonsense").err, "no policy is called \"nonsense\""));
}

TEST_CASE("now says where nothing was ever recorded as fitted") {
  const Sandbox box;
  make_camper(box);
  CHECK_FALSE(holds(box.ok("now"), "Nothing is recorded as fitted"));
  box.ok("position add heater-fuse --part fuse-10");
  const std::string now = box.ok("now");
  CHECK(holds(now, "Nothing is recorded as fitted at heater-fuse"));
  CHECK(holds(now, "shearpin fit heater-fuse --age unknown"));
  box.ok("fit heater-fuse --age unknown");
  CHECK_FALSE(holds(box.ok("now"), "Nothing is recorded as fitted"));
}

TEST_CASE("Without a name a thing is called by its key") {
  const Sandbox box;
  make_camper(box);
  CHECK(holds(box.ok("part add hose --name \"\""), "Added part hose.\n"));
  CHECK(holds(box.ok("receive hose 2 --into locker --on 2026-03-01"),
              "Received: 2 x hose into locker on 2026-03-01."));
  box.ok("part set fuse-15 --name \"\"");
  CHECK(box.json("part show fuse-15").at("name") == "fuse-15");
}

TEST_CASE("Of a trip under way only what lies ahead is told") {
  const Sandbox box;
  make_demo(box);
  box.ok("trip add under --from 2026-05-20 --to 2026-06-03 --on 2026-05-10");
  const std::string as_of = " under --as-of " + kDemoDay;
  CHECK_FALSE(holds(box.ok("reorder p29 --trip" + as_of), "home on"));
  const std::string carry = box.ok("carry --trip" + as_of);
  CHECK(holds(carry, "the rest of the trip under: 9 days"));
  CHECK_FALSE(holds(carry, "before leaving"));
  CHECK(holds(box.ok("trip debrief" + as_of), "What has not been asked for so far"));
}

TEST_CASE("What is past its last day to order is named in the report") {
  const Sandbox box;
  make_demo(box);
  CHECK(holds(box.ok("report --trip marrow-2026 --as-of " + kDemoDay),
              "Past their last day, so no longer sure to come in time"));
}

TEST_CASE("A place without a part number is asked for, and told how to fill it") {
  const Sandbox box;
  make_camper(box);
  const std::string added = box.ok("position add co --rig camper --class co-alarm");
  CHECK(holds(added, "Next: shearpin fit co --no-part"));
  CHECK(holds(box.ok("now"), "Nothing is recorded as fitted at co."));
  CHECK(holds(box.ok("weak --days 30"), "nothing is recorded as fitted"));
  box.ok("fit co --no-part \"alarm by the bunk\" --age unknown");
  CHECK_FALSE(holds(box.ok("now"), "Nothing is recorded as fitted"));
}

TEST_CASE("A dead place without a part number names what lies aboard of its class") {
  const Sandbox box;
  make_camper(box);
  box.ok("position add pump-fuse --rig camper --class blade-fuse-mid");
  box.ok("fit pump-fuse --no-part \"blue fuse\" --on 2026-01-10");
  const std::string dead = box.ok("fail pump-fuse --on 2026-03-01");
  CHECK(holds(dead,
              "of fuse-15, of the same class, in locker; if it fits there: fit pump-fuse "
              "fuse-15 --from locker"));
  CHECK(holds(box("fail pump-fuse --on 2026-03-02").err, "fit pump-fuse PART --from BIN"));
  box.ok("fit pump-fuse fuse-15 --from locker --on 2026-03-03");
  box.ok("part add fuse-20 --class blade-fuse-mid --rating 20A");
  box.ok("receive fuse-20 5 --into locker --on 2026-03-03");
  CHECK_FALSE(holds(box.ok("fail pump-fuse --on 2026-05-01"), "fuse-20"));
}

TEST_CASE("A place typed where a part is wanted is told for what it is") {
  const Sandbox box;
  make_camper(box);
  CHECK(holds(box("explain fridge-fuse").err, "is a position"));
  CHECK(holds(box("explain fridge-fuse").err, "It calls for fuse-15."));
}

TEST_CASE("Limits tell what they leave out, and risks what they do not see") {
  const Sandbox box;
  make_demo(box);
  const std::string asked =
      " --trip marrow-2026 --max-mass 80kg --max-risk safety=2% --as-of " + kDemoDay;
  const std::string kit = box.ok("carry" + asked);
  CHECK(holds(kit, "The limits leave no room for 1 of p06 and 1 of p08"));
  CHECK(holds(kit, "Not in the risk, for they call for no part: "));
  const std::string report = box.ok("report" + asked);
  CHECK(holds(report, "with the best kit under the limits (section 7)"));
  CHECK(holds(report, "The limits leave no room for 1 of p06 and 1 of p08"));
  CHECK(holds(report, "added since the row above"));
  CHECK(holds(box.ok("carry p08 --days 38 --as-of " + kDemoDay), "of what was named"));
}

TEST_CASE("What a refused limit needs is enough when it is given") {
  const Sandbox box;
  make_demo(box);
  const std::string asked = "carry --trip marrow-2026 --as-of " + kDemoDay + " --add-mass 1kg";
  const std::string refused = box.ok(asked + " --max-risk safety=40%");
  const std::string before = "risk of safety: 40 % allowed, at least ";
  const auto at = refused.find(before);
  REQUIRE(at != std::string::npos);
  const auto from = at + before.size();
  const std::string needed = refused.substr(from, refused.find(' ', from) - from);
  INFO(needed);
  CHECK_FALSE(holds(box.ok(asked + " --max-risk safety=" + needed + "%"), "No kit keeps"));
}

TEST_CASE("For a trip reorder orders at least what carry says to buy") {
  const Sandbox box;
  make_demo(box);
  const std::string asked = " --as-of " + kDemoDay + " --trip marrow-2026";
  std::map<std::string, long long> ordered;
  const Json reorder = box.json("reorder" + asked);
  for (const Json& line : reorder.at("parts")) {
    ordered[line.at("part")] = line.at("order_pieces");
  }
  int bought = 0;
  const Json carry = box.json("carry" + asked);
  for (const Json& line : carry.at("parts")) {
    const long long lacking =
        line.at("carry").get<long long>() - line.at("aboard").get<long long>() -
        line.at("ashore").get<long long>() - line.at("on_order").get<long long>();
    INFO(line.at("part"));
    CHECK(ordered.at(line.at("part")) >= lacking);
    bought += lacking > 0 ? 1 : 0;
  }
  CHECK(bought > 5);
  // The plug strips aboard run out on the way: the whole number is bought, not what is missing of
  // it.
  CHECK(ordered.at("p23") == 10);
}

TEST_CASE("explain says where a workaround takes a severity one step down") {
  const Sandbox box;
  make_camper(box);
  const std::string eased = box.ok("explain fuse-15 --as-of 2026-07-01");
  CHECK(holds(eased, "fridge-fuse is uninhabitable, but gets by with ice box: one step down,"));
  box.ok("position set fridge-fuse --workaround none");
  CHECK_FALSE(holds(box.ok("explain fuse-15"), "one step down"));
}

TEST_CASE("A place without a name of its own is told once where it is guessed") {
  const Sandbox box;
  make_camper(box);
  const std::string out = box.ok("fail fan-blet");
  CHECK(holds(out, "\"fan-blet\" is fan-belt\n"));
  CHECK(holds(box.ok("fail \"frige fuse\""), "is fridge-fuse Fridge fuse\n"));
}

TEST_CASE("What is not found is told with what may have been meant") {
  const Sandbox box;
  make_camper(box);
  CHECK(holds(box.ok("find fblt"), "Nothing called \"fblt\". Nearest: fan-belt"));
  const std::string kind = box.ok("find pump");
  CHECK(holds(kind, "Component classes of that name:"));
  CHECK(holds(kind, "see: shearpin class show"));
  CHECK(box.json("find pump").at("items").empty());
}

TEST_CASE("The report tells of a fault where failures are too many to be luck") {
  const Sandbox box;
  make_camper(box);
  CHECK_FALSE(holds(box.ok("report --days 20"), "Too many to be luck"));
  for (const char* day : {"2026-06-01", "2026-06-03", "2026-06-04"}) {
    box.ok(std::string("fail fridge-fuse --on ") + day);
  }
  const std::string asked = "report --days 20 --as-of 2026-06-05";
  CHECK(holds(box.ok("now --as-of 2026-06-05"), "Too many to be luck"));
  const std::string text = box.ok(asked);
  CHECK(holds(text, "Too many to be luck? fridge-fuse: Fridge fuse: 3 failures"));
  CHECK(holds(box.ok(asked + " --format html"), "Too many to be luck? fridge-fuse"));
}

TEST_CASE("The report does not call unknown a workaround that the class suggests") {
  const Sandbox box;
  make_camper(box);
  box.ok("part add pump --class fresh-pump --on 2025-12-01");
  box.ok("position add galley-pump --part pump --on 2025-12-01");
  box.ok("fit galley-pump --on 2026-01-01");
  box.ok("fail galley-pump --left-dead --on 2026-06-01");
  CHECK(holds(box.ok("report --days 20 --as-of 2026-06-05"),
              "none declared; perhaps: jugs and gravity"));
}
