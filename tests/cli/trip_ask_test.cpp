// Questions about a trip with stops, and kits under limits, on the demo.

#include <catch2/catch.hpp>
#include <cmath>
#include <map>

#include "scenes.hpp"

using namespace shearpin::test;

namespace {

const std::string kTrip = " --trip marrow-2026 --as-of " + kDemoDay;
const std::string kLimits =
    " --max-mass 80kg --max-volume 28l --max-risk stranded=2% --max-risk uninhabitable=10%";

std::map<std::string, Json> by_part(const Json& parts) {
  std::map<std::string, Json> found;
  for (const auto& part : parts) {
    found[part.at("part").get<std::string>()] = part;
  }
  return found;
}

}  // namespace

TEST_CASE("carry for a trip: every part between its chances to be had") {
  const Sandbox box;
  make_demo(box);
  const Json answer = box.json("carry" + kTrip);
  const auto parts = by_part(answer.at("parts"));
  REQUIRE(parts.size() > 40);
  for (const auto& [key, part] : parts) {
    INFO(key);
    const auto& receipts = part.at("trip").at("receipts");
    REQUIRE(!receipts.empty());
    CHECK(receipts.back().at("how") == "home");
    CHECK(part.at("trip").at("interval_demand").size() == receipts.size());
    CHECK(part.at("chance_no_shortage").get<double>() + 1e-9 >= part.at("target").get<double>());
    double sum = 0;
    for (const double p : part.at("demand")) {
      sum += p;
    }
    CHECK(sum == Approx(1).margin(1e-6));
  }
  // Sold at Velkin Crossing on 2026-06-10 by the plan of the trip; the glow pin is nowhere.
  CHECK(parts.at("p23").at("trip").at("receipts").front().at("place") == "Velkin Crossing");
  CHECK(parts.at("p23").at("trip").at("receipts").front().at("how") == "bought");
}

TEST_CASE("The kit of the demo's trip keeps its limits, the same on every run") {
  const Sandbox box;
  make_demo(box);
  const Json kit = box.json("carry" + kTrip + kLimits).at("kit");
  REQUIRE(kit.at("found") == true);
  CHECK(kit.at("optimal") == true);
  for (const auto& limit : kit.at("limits")) {
    CHECK(limit.at("taken").get<double>() <= limit.at("allowed").get<double>() + 1e-6);
  }
  for (const auto& risk : kit.at("risks")) {
    CHECK(risk.at("chance").get<double>() <= risk.at("allowed").get<double>());
  }
  CHECK(box.ok("carry" + kTrip + kLimits) == box.ok("carry" + kTrip + kLimits));
  const Json none = box.json("carry" + kTrip + " --max-mass 0g --max-risk stranded=0.1%").at("kit");
  CHECK(none.at("found") == false);
  CHECK(!none.at("conflicts").empty());
}

TEST_CASE("Nothing that is aboard stays behind when only what is added is limited") {
  const Sandbox box;
  make_demo(box);
  const Json kit = box.json("carry" + kTrip + " --add-mass 5kg --add-cost 250").at("kit");
  REQUIRE(kit.at("found") == true);
  double bought = 0;
  for (const auto& line : kit.at("parts")) {
    INFO(line.dump());
    CHECK(line.at("kit").get<long>() >= line.at("aboard").get<long>());
    bought += line.at("buy").get<double>();
  }
  CHECK(bought > 0);
}

TEST_CASE("reorder, weak and report know the trip") {
  const Sandbox box;
  make_demo(box);
  const auto orders = by_part(box.json("reorder" + kTrip).at("parts"));
  CHECK(!orders.at("p10").at("order_chances").empty());
  const Json weak = box.json("weak" + kTrip);
  CHECK(!weak.at("uncovered").empty());
  for (const auto& line : weak.at("uncovered")) {
    CHECK(line.at("spares_aboard") == 0);
    CHECK(line.at("workaround").is_null());
  }
  const Json report = box.json("report" + kTrip + kLimits);
  CHECK(report.at("trip").at("stops").size() == 3);
  CHECK(report.at("trip").at("legs").size() == 6);
  CHECK(!report.at("frontier").at("by_money").empty());
  CHECK(holds(box.ok("report" + kTrip + kLimits), "The best kit under the limits"));
}

TEST_CASE("A trip is simulated with a seed: the same numbers again, near the chances told") {
  const Sandbox box;
  make_demo(box);
  const std::string line = "carry" + kTrip + " --simulate --runs 4000 --planned-leads";
  const Json answer = box.json(line);
  CHECK(answer.at("simulated") == box.json(line).at("simulated"));
  const auto parts = by_part(answer.at("parts"));
  for (const auto& played : answer.at("simulated").at("parts")) {
    const auto& part = parts.at(played.at("part").get<std::string>());
    if (part.at("carry").get<long>() < part.at("aboard").get<long>()) {
      continue;  // told for `carry` pieces, played with those aboard
    }
    INFO(played.dump());
    // A rare shortage may never come in 4,000 runs: then its own binomial error is taken.
    const double told = part.at("chance_no_shortage").get<double>();
    const double error = std::sqrt(told * (1 - told) / 4000);
    CHECK(played.at("chance_no_shortage").get<double>() >= told - 4.5 * error - 0.003);
  }
}

TEST_CASE("A trip brings its own days and use, and must lie ahead") {
  const Sandbox box;
  make_demo(box);
  box.refused("carry --trip marrow-2026 --days 3", 2, {"--trip brings its own days"});
  box.refused("carry --trip marrow-2026 --use truck-km=5", 2, {"--use"});
  box.refused("carry" + kTrip + " --condition heat:3", 3, {"every leg"});
  box.refused("carry --trip marrow-2026 --as-of 2026-07-15", 3, {"ended on 2026-07-15"});
  box.refused("carry --trip nowhere-at-all" + std::string(" --as-of ") + kDemoDay, 3, {"trip"});
  box.refused("carry --days 3 --simulate", 3, {"only a trip can be simulated"});
  box.refused("carry" + kTrip + " --runs 5", 2, {"--simulate"});
  box.refused("carry" + kTrip + " --max-risk stranded", 3, {"--max-risk stranded=2%"});
  box.refused("carry" + kTrip + " --max-risk stranded=2", 3, {"risk", "2%"});
  box.refused("carry" + kTrip + " --max-mass 80", 3, {"80"});
  box.refused("trip debrief marrow-2026 --as-of " + kDemoDay, 3, {"begins on 2026-06-08"});
}

TEST_CASE("A trip under way is asked about from the next day on") {
  const Sandbox box;
  make_demo(box);
  const Json answer = box.json("carry --trip marrow-2026 --as-of 2026-06-24");
  CHECK(answer.at("window").at("days") == 21);
  const auto parts = by_part(answer.at("parts"));
  // Hollin Spur (2026-06-24) is passed: only Ketterfold is left.
  for (const auto& receipt : parts.at("p33").at("trip").at("receipts")) {
    CHECK(receipt.at("day").get<std::string>() > "2026-06-24");
  }
}

TEST_CASE("debrief looks back on what broke, what was short and what came back") {
  const Sandbox box;
  make_demo(box);
  box.ok("trip add late --name \"Late summer\" --from 2025-08-25 --to 2025-09-20 --on 2025-08-01");
  const Json answer = box.json("trip debrief late --as-of " + kDemoDay);
  // The demo's history has these three failures between the days.
  REQUIRE(answer.at("events").size() == 3);
  CHECK(answer.at("events")[0].at("position") == "t17");
  CHECK(answer.at("events")[1].at("position") == "t26");
  CHECK(answer.at("events")[2].at("position") == "l20");
  const auto parts = by_part(answer.at("parts"));
  CHECK(parts.at("p36").at("asked") == 1);
  CHECK(parts.at("p36").at("short") == 0);
  CHECK(holds(box.ok("trip debrief late --as-of " + kDemoDay), "What came back unused"));
}

TEST_CASE("debrief counts for a trip what replay counts for the same days") {
  const Sandbox box;
  make_demo(box);
  // The last period of replay, counted back from the as-of day, is these 30 days.
  box.ok("trip add month --name \"A month\" --from 2025-08-22 --to 2025-09-20 --on 2025-08-01");
  const std::string day = " --as-of 2025-09-20";
  const Json played = box.json("replay" + day);
  const Json& period = played.at("periods").back();
  REQUIRE(period.at("from") == "2025-08-21");
  REQUIRE(period.at("to") == "2025-09-20");
  long long asked = 0;
  const Json debrief = box.json("trip debrief month" + day);
  for (const auto& part : debrief.at("parts")) {
    asked += part.at("asked").get<long long>();
  }
  CHECK(asked == 3);  // by the demo's history: a bulb, an elbow, a tail lamp
  CHECK(period.at("demand_pieces") == asked);
}

TEST_CASE("The frontier's rows name what they add, and the kit what also serves") {
  const Sandbox box;
  make_demo(box);
  const std::string text = box.ok("carry" + kTrip + kLimits);
  CHECK(holds(text, "added since the row above"));
  CHECK(holds(one_line(text), "p21 also serves p20"));
  CHECK(holds(one_line(text), "p20 also serves p21"));
  CHECK_FALSE(holds(text, "p14 also serves"));  // a larger fuse
  const Json answer = box.json("carry" + kTrip + kLimits);
  const auto kit = by_part(answer.at("kit").at("parts"));
  CHECK(kit.at("p20").at("stand_ins") == Json::array({"p21"}));
  CHECK(kit.at("p25").at("stand_ins").empty());  // no p26 is held
  CHECK(kit.at("p12").at("stand_ins").empty());
  // Every step changes what it says: the pieces of the changes, row by row, lead to what is
  // advised.
  std::map<std::string, long> pieces;
  const auto parts = by_part(answer.at("parts"));
  for (const auto& [key, part] : parts) {
    pieces[key] = part.at("aboard").get<long>() + part.at("arriving").get<long>();
  }
  for (const auto& point : answer.at("frontier").at("by_money")) {
    for (const auto& change : point.at("changes")) {
      const std::string key = change.at("part");
      CHECK(change.at("from") == pieces[key]);
      pieces[key] = change.at("to");
      CHECK(holds(point.at("step"), key));
    }
  }
  for (const auto& [key, part] : parts) {
    INFO(key);
    CHECK(pieces[key] >= part.at("carry").get<long>());
  }
}
