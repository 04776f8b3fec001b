// Trips as a person keeps them: built step by step, from a file, from an older one; shown, changed,
// removed, and every step taken back.

#include <algorithm>
#include <catch2/catch.hpp>

#include "scenes.hpp"

using namespace shearpin::test;

namespace {

/// The camper with an hour meter, a meter in miles, and a trip of two legs and a stop.
void make_trip(const Sandbox& box) {
  make_camper(box);
  for (const char* line : {
           "meter add heater-h --rig camper --unit h",
           "meter add miles --rig camper --unit mi",
           "trip add june --name \"June round\" --from 2026-06-08 --to 2026-06-10 --use km=620 "
           "--use \"heater-h=12 h\" --condition heat --route \"Out to the lake\"",
           "trip leg june --from 2026-06-11 --to 2026-06-19 --use km=480 --condition rough-road "
           "--condition freezing --no-signal",
           "trip stop june \"Hollin Spur\" --on 2026-06-14 --parcels --extra-days 2",
       }) {
    box.ok(line);
  }
}

std::string shown(const Sandbox& box, const std::string& trip) {
  return box.ok("trip show " + trip + " --format json");
}

std::size_t widest(const std::string& text) {
  std::size_t most = 0;
  for (std::size_t from = 0; from < text.size();) {
    const std::size_t to = std::min(text.find('\n', from), text.size());
    most = std::max(most, to - from);
    from = to + 1;
  }
  return most;
}

}  // namespace

TEST_CASE("trip: built leg by leg, each step told with what comes next") {
  const Sandbox box;
  make_camper(box);
  const std::string empty = box.ok("trip add june --name \"June round\"");
  CHECK(holds(empty, "Trip kept: june, June round."));
  CHECK(holds(one_line(empty), "not whole yet: trip june: it has no legs yet"));
  CHECK(holds(empty, "Next: shearpin trip leg june --from DATE --to DATE"));
  const std::string first = box.ok("trip leg june --from 2026-06-08 --to 2026-06-10 --use km=620");
  CHECK(holds(first, "Leg added to june: 2026-06-08 to 2026-06-10."));
  CHECK(holds(first, "Trip june, 2026-06-08 to 2026-06-10, 3 days: 1 leg, 0 stops."));
  CHECK(holds(first, "Next: shearpin carry --trip june"));
  CHECK(holds(first, "to take it back: shearpin undo"));
  const std::string gap =
      one_line(box.ok("trip leg \"june round\" --from 2026-06-20 --to "
                      "2026-06-24"));
  CHECK(holds(gap, "\"june round\" is june June round"));
  CHECK(holds(gap, "no leg covers 2026-06-11 to 2026-06-19"));
  CHECK(holds(gap, "Next: fill the gap"));
  CHECK(holds(one_line(box.ok("trip show june")), "Not whole yet: trip june: no leg covers"));
  CHECK(box.json("trip show june").at("lacks").is_string());
  box.ok("trip leg june --from 2026-06-11 --to 2026-06-19 --no-signal");
  const Json whole = box.json("trip show june");
  CHECK(whole.at("lacks").is_null());
  CHECK(whole.at("days") == 17);  // 8 to 24 June
  CHECK(whole.at("legs").at(1).at("from") == "2026-06-11");
  CHECK(whole.at("legs").at(1).at("signal") == false);
  CHECK(whole.at("last_signal_day") == "2026-06-24");
  const std::string stop = box.ok(
      "trip stop june Ketterfold --on 2026-06-24 --sells \"supplier:farm counter,part:belt\"");
  CHECK(holds(stop, "Stop added to june: Ketterfold on 2026-06-24."));
  CHECK(holds(stop, "\"farm counter\" is counter Farm counter"));
  CHECK(box.json("trip show june").at("stops").at(0).at("sells") ==
        Json({"supplier:counter", "part:belt"}));
  CHECK(holds(one_line(box.ok("trip stop june Spur --on 2026-06-20")), "nothing can be had"));
  CHECK(holds(box.ok("verify"), "The ledger is sound."));
}

TEST_CASE("trip show: legs, use with its sums, stops with home, conditions, signal") {
  const Sandbox box;
  make_trip(box);
  const std::string text = box.ok("trip show june");
  CHECK(widest(text) <= 80);
  CHECK(holds(text, "june: June round"));
  CHECK(holds(text, "2026-06-08 to 2026-06-19: 12 days, 2 legs, 1 stop."));
  const std::string line = one_line(text);
  CHECK(holds(line, "km km 620 480 1,100"));
  CHECK(holds(line, "heater-h h 12 - 12"));
  CHECK(holds(line, "-: nothing planned, the usual rate holds."));
  CHECK(holds(line, "2026-06-14 Hollin Spur nothing yes, +2 days"));
  CHECK(holds(line, "2026-06-19 home everything yes"));
  CHECK(holds(line, "Conditions: freezing 9 days, rough-road 9 days, heat 3 days."));
  CHECK(holds(line, "No signal 2026-06-11 to 2026-06-19. Last day with signal: 2026-06-10."));
  CHECK(holds(line, "Next: shearpin carry --trip june"));
  box.ok(
      "trip stop june Counter --on 2026-06-15 --sells class:drive-belt --sells "
      "\"resupply:hardware-store; supplier:post\"");
  const std::string counter = one_line(box.ok("trip show june"));
  for (const char* words : {"class drive-belt;", "all from post;", "resupply"}) {
    CHECK(holds(counter, words));  // the cell is wrapped
  }
  box.ok("trip stop june Town --on 2026-06-16 --sells all --parcels");
  CHECK(holds(one_line(box.ok("trip show june")), "2026-06-16 Town everything yes"));
  CHECK(holds(one_line(box.ok("trip add day --from 2026-06-08 --to 2026-06-08 --no-signal")),
              "2026-06-08 to 2026-06-08, 1 day: 1 leg"));
  CHECK(holds(box.ok("trip show day"), "No signal on the way"));
  CHECK(holds(box.ok("trip show day"), "No use planned: usual rates hold."));
}

TEST_CASE("trip show: a trip of many legs keeps within the page") {
  const Sandbox box;
  make_camper(box);
  box.ok("trip add long --from 2026-06-01 --to 2026-06-01 --use km=1234");
  for (int date = 2; date <= 14; ++date) {
    const std::string day = "2026-06-" + std::string(date < 10 ? "0" : "") + std::to_string(date);
    box.ok("trip leg long --from " + day + " --to " + day + " --use km=1234");
  }
  const std::string text = box.ok("trip show long");
  CHECK(widest(text) <= 80);
  CHECK(holds(text, "leg 14"));
  CHECK(holds(text, "17,276"));  // 14 * 1234
}

TEST_CASE("trip list: what is kept, none yet") {
  const Sandbox box;
  make_camper(box);
  CHECK(holds(box.ok("trip list"), "No trips yet. Example: shearpin trip add"));
  CHECK(box.json("trip list").at("trips").empty());
  box.ok("trip add b-trip --from 2026-06-08 --to 2026-06-10");
  box.ok("trip add a-trip --name Later");
  const std::string text = box.ok("trip list");
  CHECK(widest(text) <= 80);
  CHECK(text.find("a-trip") < text.find("b-trip"));
  CHECK(holds(text, "not whole"));
  const Json trips = box.json("trip list").at("trips");
  REQUIRE(trips.size() == 2);
  CHECK(trips.at(0).at("days").is_null());
  CHECK(trips.at(1).at("days") == 3);
  CHECK(trips.at(1).at("lacks").is_null());
  CHECK(box.ok("trip list --format csv") ==
        "key,name,departure,end,days,legs,stops,whole\n"
        "a-trip,Later,,,,0,0,no\n"
        "b-trip,b-trip,2026-06-08,2026-06-10,3,1,0,yes\n");
}

TEST_CASE("trip: refusals name the value and the rule, and write nothing") {
  const Sandbox box;
  make_trip(box);
  box.refused("trip add june", 3, {"june", "exists already", "remove"});
  box.refused("trip add \"June 2\"", 3, {"June 2", "june-2"});
  box.refused("trip add x --from 2026-06-10 --to 2026-06-08", 3,
              {"2026-06-10 to 2026-06-08", "on or after"});
  box.refused("trip add x --from 2026-06-10", 2, {"--to"});
  box.refused("trip add x --use km=3", 2, {"--from"});
  box.refused("trip add x --name \"\"", 3, {"--name"});
  box.refused("trip add x --from 2026-02-30 --to 2026-03-01", 3, {"2026-02-30"});
  box.refused("trip add x --on 2199-01-01", 3, {"2199-01-01", "after today"});
  box.refused("trip add x --like june --to 2027-01-01", 2, {"--to", "--like"});
  box.refused("trip add x --like june --file june.json", 2, {"--like", "--file"});
  box.refused("trip add x --like nothing-near", 3, {"nothing-near", "june"});
  box.refused("trip leg june --from 2026-06-19 --to 2026-06-21", 3,
              {"share a day", "--from 2026-06-20"});
  box.refused("trip leg june --from 2026-06-20 --to 2026-06-21 --use km=-5", 3, {"km"});
  box.refused("trip leg june --from 2026-06-20 --to 2026-06-21 --use kms", 3, {"kms", "="});
  box.refused("trip leg june --from 2026-06-20 --to 2026-06-21 --use zzzz=5", 3, {"zzzz"});
  box.refused("trip leg june --from 2026-06-20 --to 2026-06-21 --use heater-h=5km", 3, {"5km"});
  box.refused("trip leg june --from 2026-06-20 --to 2026-06-21 --use km=5 --use km=6", 3,
              {"km=6", "once"});
  box.refused("trip leg june --from 2026-06-20 --to 2026-06-21 --condition \"very hot\"", 3,
              {"very hot", "smoke-dust"});
  box.refused("trip leg june --from 2026-06-20", 2, {"--to"});
  box.refused("trip leg nowhere-near --from 2026-06-20 --to 2026-06-21", 3, {"nowhere-near"});
  box.refused("trip stop june Spur --on 2026-06-20", 3,
              {"Spur", "outside the trip, 2026-06-08 to 2026-06-19"});
  box.refused("trip stop june \"hollin spur\" --on 2026-06-14", 3, {"a stop already"});
  box.refused("trip stop june Spur", 2, {"--on"});
  box.refused("trip stop june \" \" --on 2026-06-14", 3, {"no place"});
  box.refused("trip stop june Spur --on 2026-06-14 --sells tyres", 3, {"tyres", "supplier:s2"});
  box.refused("trip stop june Spur --on 2026-06-14 --sells part:none-such-thing", 3,
              {"none-such-thing"});
  box.refused("trip stop june Spur --on 2026-06-14 --sells resupply:corner", 3, {"corner"});
  box.refused("trip stop june Spur --on 2026-06-14 --extra-days 2", 2, {"--parcels"});
  box.refused("trip stop june Spur --on 2026-06-14 --parcels --extra-days 400", 3, {"400", "366"});
  box.refused("trip edit june", 2, {"--shift 7"});
  box.refused("trip edit june --drop-leg 3", 3, {"3", "2 legs"});
  box.refused("trip edit june --drop-leg 0", 3, {"0"});
  box.refused("trip edit june --drop-leg 2", 3, {"Hollin Spur", "outside the trip"});
  box.refused("trip edit june --drop-stop Nowhere", 3, {"Nowhere", "2026-06-14 Hollin Spur"});
  box.refused("trip edit june --shift 1.5", 3, {"1.5"});
  box.refused("trip edit june --shift 99999", 3, {"1950 to 2199"});
  box.refused("trip edit june --name \"\"", 3, {"--name"});
  box.refused("trip show july-or-so", 3, {"july-or-so"});
  box.refused("trip remove july-or-so", 3, {"july-or-so"});
  box.refused("trip show june --format csv", 2, {"csv"});
  const Sandbox bare;
  make_camper(bare);
  bare.refused("trip show june", 3, {"june", "trip add"});
}

TEST_CASE("trip edit: renamed, moved, legs and stops dropped") {
  const Sandbox box;
  make_trip(box);
  CHECK(holds(one_line(box.ok("trip edit june --name \"High summer\" --shift 7")),
              "name \"June round\" is now \"High summer\"; moved 7 days later"));
  Json trip = box.json("trip show june");
  CHECK(trip.at("name") == "High summer");
  CHECK(trip.at("departure") == "2026-06-15");
  CHECK(trip.at("stops").at(0).at("date") == "2026-06-21");
  CHECK(holds(box.ok("trip edit june --shift \"-1 week\""), "moved 7 days earlier"));
  CHECK(box.json("trip show june").at("end") == "2026-06-19");
  box.ok("trip edit june --shift -3");
  CHECK(box.json("trip show june").at("departure") == "2026-06-05");
  box.ok("trip edit june --shift +3");
  CHECK(holds(box.ok("trip edit june --drop-stop spur --drop-leg 2"),
              "stop dropped, 2026-06-14 Hollin Spur; leg 2 dropped, 2026-06-11 to 2026-06-19"));
  trip = box.json("trip show june");
  CHECK(trip.at("stops").empty());
  CHECK(trip.at("legs").size() == 1);
  // Two stops of one place: only the day tells them apart.
  box.ok("trip stop june Spur --on 2026-06-08");
  box.ok("trip stop june Spur --on 2026-06-09");
  box.refused("trip edit june --drop-stop Spur", 3, {"several", "2026-06-08 Spur"});
  box.ok("trip edit june --drop-stop 2026-06-08");
  CHECK(box.json("trip show june").at("stops").at(0).at("date") == "2026-06-09");
  // 29 February is a day like others.
  box.ok("trip add leap --from 2028-02-28 --to 2028-03-01");
  CHECK(box.json("trip show leap").at("days") == 3);
  box.ok("trip edit leap --shift 1");
  CHECK(box.json("trip show leap").at("departure") == "2028-02-29");
}

TEST_CASE("trip: every step is taken back, newest first") {
  const Sandbox box;
  make_trip(box);
  const std::vector<std::string> lines{
      "trip add other --from 2026-08-01 --to 2026-08-03",
      "trip leg june --from 2026-06-20 --to 2026-06-24",
      "trip stop june Ketterfold --on 2026-06-24 --sells all",
      "trip edit june --shift 7 --name \"Later\"",
      "trip edit june --drop-leg 3 --drop-stop Ketterfold",
      "trip remove june",
      "trip add june --like other --from 2026-09-01",
      "trip remove other",
  };
  const auto everything = [&box] {
    std::string all = box.ok("trip list --format json");
    const Json listed = Json::parse(all);
    for (const auto& trip : listed.at("trips")) {
      all += shown(box, trip.at("key").get<std::string>());
    }
    return all;
  };
  std::vector<std::string> states{everything()};
  for (const auto& line : lines) {
    const auto before = newest_entry(box);
    box.ok(line);
    INFO(line);
    REQUIRE(newest_entry(box) == before + 1);
    states.push_back(everything());
    REQUIRE((states.back() != states[states.size() - 2]));
  }
  CHECK(box.json("trip list").at("trips").size() == 1);
  for (std::size_t i = lines.size(); i > 0; --i) {
    INFO("taking back: " << lines[i - 1]);
    CHECK(holds(box.ok("undo"), "Took back entry"));
    CHECK((everything() == states[i - 1]));
  }
  CHECK(holds(box.ok("verify"), "The ledger is sound."));
  CHECK(holds(box.ok("journal --last 30"), "trip june removed"));
}

TEST_CASE("trip: a removed one is gone from every list, and its key is free") {
  const Sandbox box;
  make_trip(box);
  CHECK(holds(box.ok("trip remove june"),
              "Removed trip june, 2026-06-08 to 2026-06-19, 12 days: 2 legs, 1 stop."));
  CHECK(box.json("trip list").at("trips").empty());
  box.refused("trip show june", 3, {"june"});
  box.refused("trip leg june --from 2026-07-01 --to 2026-07-02", 3, {"june"});
  box.ok("trip add june --from 2026-07-01 --to 2026-07-02");
  CHECK(box.json("trip show june").at("days") == 2);
}

TEST_CASE("trip: --dry-run tells, JSON and the exit code are as without, and nothing is written") {
  const Sandbox box;
  make_trip(box);
  box.write("plan.json", shown(box, "june"));
  const std::string before = box.dump();
  for (const char* line : {
           "trip add x --from 2026-08-01 --to 2026-08-03",
           "trip add x --like june --from 2027-06-07",
           "trip add x --file plan.json",
           "trip leg june --from 2026-06-20 --to 2026-06-24",
           "trip stop june Ketterfold --on 2026-06-19 --sells all",
           "trip edit june --shift 7",
           "trip remove june",
       }) {
    INFO(line);
    const std::string out = box.ok(std::string(line) + " --dry-run");
    CHECK(holds(out, "Would record."));
    CHECK_FALSE(holds(out, "to take it back"));
    const Json json = box.json(std::string(line) + " --dry-run");
    CHECK(json.at("recorded") == false);
    CHECK((box.dump() == before));
  }
  box.refused("trip leg june --from 2026-06-19 --to 2026-06-24 --dry-run", 3, {"share a day"});
  const Json json = box.json("trip leg june --from 2026-06-20 --to 2026-06-24 --on 2026-06-01");
  CHECK(json.at("recorded") == true);
  REQUIRE(json.at("entries").size() == 1);
  CHECK(box.number("SELECT count(*) FROM entry WHERE kind = 'trip' AND happened = '2026-06-01'") ==
        1);
}

TEST_CASE("trip: what show writes as JSON, add reads back to the same bytes") {
  const Sandbox box;
  make_trip(box);
  box.ok("trip leg june --from 2026-06-20 --to 2026-06-21 --use \"miles=333.3\" --condition heat");
  box.ok("trip stop june Ketterfold --on 2026-06-21 --sells all,part:belt");
  const std::string written = shown(box, "june");
  CHECK(Json::parse(written).at("use").at("miles") == 333.3);
  // 333.3 miles of 1.609344 km each, by definition of the international mile (1959).
  CHECK(box.number("SELECT count(DISTINCT amount) FROM trip_use WHERE abs(amount - 333.3 * "
                   "1.609344) < 1e-9") == 1);
  box.write("june.json", written);
  box.ok("trip remove june");
  const std::string told = box.ok("trip add june --file june.json");
  CHECK(holds(told, "Trip kept: june, June round."));
  CHECK((shown(box, "june") == written));
  // Under another key and name, and moved: all days by as many.
  box.ok("trip add next --file june.json --name \"Next round\" --from 2027-06-07");
  const Json next = box.json("trip show next");
  CHECK(next.at("name") == "Next round");
  CHECK(next.at("departure") == "2027-06-07");
  CHECK(next.at("end") == "2027-06-20");
  CHECK(next.at("stops").at(0).at("date") == "2027-06-13");
  CHECK(next.at("use") == Json::parse(written).at("use"));
  // An empty plan comes back too.
  box.ok("trip add empty --name Empty");
  box.write("empty.json", shown(box, "empty"));
  box.ok("trip remove empty");
  box.ok("trip add empty --file empty.json");
  CHECK((shown(box, "empty") == read_file(box.path("empty.json"))));
  box.refused("trip add e2 --file empty.json --from 2026-01-01", 3, {"2026-01-01", "legs"});
}

TEST_CASE("trip: a JSON file written by hand") {
  const Sandbox box;
  make_trip(box);
  box.write("hand.json",
            "{\"name\": \"By hand\", \"colour\": \"blue\", \"legs\": [\n"
            " {\"from\": \"2026-08-04\", \"to\": \"2026-08-06\"},\n"
            " {\"from\": \"2026-08-01\", \"to\": \"2026-08-03\", \"use\": {\"km\": 620.5, "
            "\"heater-h\": \"62 h\"}, \"conditions\": [\"Heat\"], \"signal\": false}]}\n");
  const Ran ran = box("trip add hand --file hand.json");
  CHECK(ran.code == 0);
  CHECK(holds(ran.err, "\"colour\" means nothing here"));
  const Json trip = box.json("trip show hand");
  CHECK(trip.at("name") == "By hand");
  CHECK(trip.at("departure") == "2026-08-01");
  CHECK(trip.at("legs").at(0).at("signal") == false);
  CHECK(trip.at("legs").at(0).at("conditions") == Json({"heat"}));
  CHECK(trip.at("legs").at(1).at("signal") == true);
  CHECK(trip.at("use") == Json({{"km", 620.5}, {"heater-h", 62.0}}));
  CHECK(trip.at("stops").empty());
  const std::string leg = "\"from\": \"2026-08-01\", \"to\": \"2026-08-03\"";
  const std::vector<std::pair<std::string, std::vector<std::string>>> wrong{
      {"{\"name\": ", {"x.json", "not JSON"}},
      {"{\"name\": \"x\"}", {"legs"}},
      {"{\"legs\": {}}", {"legs", "square brackets"}},
      {"{\"legs\": [1]}", {"legs[1]", "object"}},
      {"{\"legs\": [{\"from\": \"2026-08-01\"}]}", {"legs[1]", "to", "2026-06-08"}},
      {"{\"legs\": [{\"from\": 3, \"to\": \"2026-08-01\"}]}", {"legs[1]", "from", "quotes"}},
      {"{\"legs\": [{\"from\": \"2026-02-30\", \"to\": \"2026-08-01\"}]}", {"2026-02-30"}},
      {"{\"legs\": [{" + leg + ", \"use\": {\"km\": -1}}]}", {"km", "-1"}},
      {"{\"legs\": [{" + leg + ", \"use\": {\"km\": true}}]}", {"use", "93 h"}},
      {"{\"legs\": [{" + leg + ", \"use\": [1]}]}", {"use", "truck-km"}},
      {"{\"legs\": [{" + leg + ", \"use\": {\"zzzz\": 1}}]}", {"zzzz"}},
      {"{\"legs\": [{" + leg + ", \"use\": {\"km\": 1e999}}]}", {"x.json"}},
      {"{\"legs\": [{" + leg + ", \"signal\": \"no\"}]}", {"signal", "true or false"}},
      {"{\"legs\": [{" + leg + ", \"conditions\": [3]}]}", {"conditions", "words"}},
      {"{\"legs\": [{" + leg + "}, {" + leg + "}]}", {"share a day"}},
      {"{\"legs\": [{" + leg + "}], \"stops\": [{\"place\": \"A\"}]}", {"stops[1]", "date"}},
      {"{\"legs\": [{" + leg + "}], \"stops\": [{\"date\": \"2026-08-02\"}]}", {"no place"}},
      {"{\"legs\": [{" + leg +
           "}], \"stops\": [{\"date\": \"2026-08-02\", \"place\": \"A\", \"extra_days\": -1}]}",
       {"extra_days", "-1"}},
      {"{\"legs\": [{" + leg +
           "}], \"stops\": [{\"date\": \"2026-08-02\", \"place\": \"A\", \"sells\": "
           "[\"part:p99\"]}]}",
       {"part:p99", "part list"}},
      {"{\"schema\": 2, \"legs\": []}", {"schema", "2"}},
  };
  for (const auto& [text, words] : wrong) {
    INFO(text);
    box.write("x.json", text);
    box.refused("trip add x --file x.json", 3, words);
  }
  box.refused("trip add x --file none.json", 3, {"none.json"});
}

TEST_CASE("trip: from the table that import takes, one trip of it or all") {
  const Sandbox box;
  make_trip(box);
  const std::string head = "trip,name,leg,from,to,use,conditions,signal,stop,sold,parcels\n";
  const std::string north =
      "north,North,2,2026-08-04,2026-08-06,km=5,,no,,,\n"
      "north,North,1,2026-08-01,2026-08-03,miles=100,heat,,Spur,part:belt;supplier:post,yes\n";
  box.write("one-trips.csv", head + north);
  box.ok("trip add own --file one-trips.csv");
  const Json own = box.json("trip show own");
  CHECK(own.at("name") == "North");
  CHECK(own.at("departure") == "2026-08-01");
  CHECK(own.at("use") == Json({{"km", 5.0}, {"miles", 100.0}}));
  CHECK(own.at("legs").at(0).at("signal") == true);
  CHECK(own.at("legs").at(1).at("signal") == false);
  CHECK(own.at("stops").at(0).at("sells") == Json({"part:belt", "supplier:post"}));
  box.write("two-trips.csv", head + north + "south,,1,2026-09-01,2026-09-03,,,,,,\n");
  box.refused("trip add own-2 --file two-trips.csv", 3, {"2 trips", "north, south"});
  box.ok("trip add south --file two-trips.csv");
  CHECK(box.json("trip show south").at("days") == 3);
  box.ok("trip remove south");
  box.ok("import two-trips.csv");
  CHECK(box.json("trip show south").at("name") == "south");
  Json north_trip = box.json("trip show north");
  CHECK(north_trip.at("legs") == own.at("legs"));
  CHECK(north_trip.at("stops") == own.at("stops"));
  // Import refuses what the commands refuse.
  box.write("bad-trips.csv", head +
                                 "x,,1,2026-08-01,2026-08-03,,,,,,\nx,,2,2026-08-03,2026-08-04,,"
                                 ",,,,\n");
  box.refused("import bad-trips.csv", 3, {"trip x", "share a day"});
  box.refused("trip add x --file bad-trips.csv", 3, {"share a day"});
  box.write("bad-trips.csv", head + "x,,1,2026-08-01,2026-08-03,km=5h,,,,,\n");
  box.refused("trip add x --file bad-trips.csv", 3, {"line 2", "5h"});
  box.write("bad-trips.csv", head + "x,,1,2026-08-01,2026-08-03,km=5,,maybe,,,\n");
  box.refused("trip add x --file bad-trips.csv", 3, {"line 2", "maybe"});
  box.write("bad-trips.csv", head + "x,,1,2026-08-01,2026-08-03,,,,Spur,part:p99,\n");
  box.refused("import bad-trips.csv", 3, {"Spur", "part:p99"});
  box.write("bad-trips.csv", head);
  box.refused("trip add x --file bad-trips.csv", 3, {"no trip"});
}

TEST_CASE("trip: a condition that ages nothing is kept with a word about it") {
  const Sandbox box;
  make_camper(box);
  CHECK(holds(one_line(box.ok("trip add x --from 2026-08-01 --to 2026-08-03 --condition smog")),
              "no component class is sensitive to smog, so it changes nothing; known are"));
  CHECK(box.json("trip show x").at("conditions").at(0).at("name") == "smog");
}

// The figures are those of the demo's table of the coming trip, whose row "all" was added up by
// hand: 38 days, 6 legs, 3 stops.
TEST_CASE("The demo: its trip is shown with its sums and its stops, and comes back from its file") {
  const Sandbox box;
  make_demo(box);
  const Json trip = box.json("trip show marrow-2026");
  CHECK(trip.at("departure") == "2026-06-08");
  CHECK(trip.at("end") == "2026-07-15");
  CHECK(trip.at("days") == 38);
  CHECK(trip.at("lacks").is_null());
  CHECK(trip.at("legs").size() == 6);
  CHECK(trip.at("use") == Json({{"truck-km", 3740.0},
                                {"engine-h", 115.0},
                                {"trailer-km", 3110.0},
                                {"heater-h", 93.0},
                                {"generator-h", 52.0},
                                {"winch-cycles", 250.0},
                                {"nights", 37.0}}));
  std::map<std::string, int> days;
  for (const auto& stretch : trip.at("conditions")) {
    days[stretch.at("name")] += stretch.at("days").get<int>();
  }
  CHECK(days == std::map<std::string, int>{{"rough-road", 28},
                                           {"smoke-dust", 12},
                                           {"freezing", 9},
                                           {"high-altitude", 9},
                                           {"heat", 3}});
  const Json& stops = trip.at("stops");
  REQUIRE(stops.size() == 3);
  CHECK(stops.at(0).at("place") == "Velkin Crossing");
  CHECK(stops.at(0).at("sells").size() == 13);
  CHECK(stops.at(1).at("place") == "Hollin Spur");
  CHECK(stops.at(1).at("parcels") == true);
  CHECK(stops.at(1).at("sells").empty());
  CHECK(stops.at(2).at("date") == "2026-07-08");
  CHECK(stops.at(2).at("sells") == Json({"supplier:s2", "supplier:s6"}));
  const std::string text = box.ok("trip show marrow");
  CHECK(widest(text) <= 80);
  CHECK(holds(one_line(text), "truck-km km 620 480 410 520 560 1,150 3,740"));
  CHECK(holds(one_line(text), "2026-07-08 Ketterfold all from s2, s6 no"));
  const std::string written = shown(box, "marrow-2026");
  box.write("m.json", written);
  box.ok("trip remove marrow-2026");
  box.ok("trip add marrow-2026 --file m.json");
  CHECK((shown(box, "marrow-2026") == written));
  box.ok("trip remove marrow-2026");
  box.ok("trip add marrow-2026 --file " + std::string(SHEARPIN_SOURCE_DIR) +
         "/data/demo/16-trips.csv");
  CHECK((shown(box, "marrow-2026") == written));
  CHECK(holds(box.ok("verify"), "The ledger is sound."));
}
