// The questions: now, reorder, carry, report, rate, explain, history, find, fits.

#include <catch2/catch.hpp>
#include <cmath>
#include <numeric>

#include "scenes.hpp"

using namespace shearpin::test;

namespace {

bool has_keys(const Json& json, const std::vector<std::string>& keys) {
  bool all = true;
  for (const auto& key : keys) {
    INFO("key " << key);
    CHECK(json.contains(key));
    all = all && json.contains(key);
  }
  return all;
}

Json part_line(const Json& answer, const std::string& part) {
  for (const auto& line : answer.at("parts")) {
    if (line.at("part") == part) {
      return line;
    }
  }
  FAIL("no line for " << part);
  return {};
}

}  // namespace

TEST_CASE("carry in JSON has the promised shape") {
  const Sandbox box;
  make_camper(box);
  const Json answer = box.json("carry --days 30 --as-of 2026-07-01");
  CHECK(answer.at("schema") == 1);
  CHECK(answer.at("as_of") == "2026-07-01");
  REQUIRE(answer.at("parts").size() >= 2);
  for (const auto& line : answer.at("parts")) {
    INFO(line.at("part"));
    REQUIRE(has_keys(line, {"part", "aboard", "carry", "decided_by", "target",
                            "chance_no_shortage_aboard", "chance_no_shortage", "demand"}));
    CHECK(line.at("aboard").is_number_integer());
    CHECK(line.at("carry").is_number_integer());
    CHECK((line.at("decided_by") == "target" || line.at("decided_by") == "worth"));
    CHECK(line.at("target").get<double>() > 0);
    CHECK(line.at("target").get<double>() < 1);
    const auto demand = line.at("demand").get<std::vector<double>>();
    REQUIRE_FALSE(demand.empty());
    const double sum = std::accumulate(demand.begin(), demand.end(), 0.0);
    CHECK(std::fabs(sum - 1) < 2e-9);
    for (const double p : demand) {
      CHECK(p >= 0);
      CHECK(p <= 1);
    }
    // The chances are those of the distribution: no shortage where no more is asked than is there.
    const auto up_to = [&demand](long long n) {
      double chance = 0;
      for (std::size_t i = 0; i < demand.size() && static_cast<long long>(i) <= n; ++i) {
        chance += demand[i];
      }
      return chance;
    };
    CHECK(line.at("chance_no_shortage").get<double>() ==
          Approx(up_to(line.at("carry").get<long long>())).margin(2e-9));
    CHECK(line.at("chance_no_shortage").get<double>() >= line.at("target").get<double>());
  }
}

TEST_CASE("The demand is not rounded") {
  const Sandbox box;
  make_camper(box);
  const Json answer = box.json("carry --days 30 --as-of 2026-07-01");
  const double p0 = part_line(answer, "fuse-15").at("demand").at(0).get<double>();
  CHECK(std::fabs(p0 * 1e9 - std::round(p0 * 1e9)) > 1e-6);
}

TEST_CASE("carry: more days, more use and worse conditions never want less") {
  const Sandbox box;
  make_camper(box);
  const auto mean = [&box](const std::string& window) {
    return part_line(box.json("carry --as-of 2026-07-01 " + window), "belt")
        .at("demand_mean")
        .get<double>();
  };
  CHECK(mean("--days 0") == 0);
  CHECK(mean("--days 60") > mean("--days 30"));
  CHECK(mean("--days 30 --use km=9000") > mean("--days 30 --use km=900"));
  CHECK(mean("--days 30 --use km=900 --condition heat") >= mean("--days 30 --use km=900"));
  CHECK(mean("--days 30 --use \"km=900 km\"") == mean("--days 30 --use km=900"));
}

TEST_CASE("carry for named parts only") {
  const Sandbox box;
  make_camper(box);
  const Json answer = box.json("carry belt --days 30");
  REQUIRE(answer.at("parts").size() == 1);
  CHECK(answer.at("parts").at(0).at("part") == "belt");
}

TEST_CASE("The stretch is checked") {
  const Sandbox box;
  make_camper(box);
  for (const char* command : {"carry", "report"}) {
    box.refused(command, 2, {"--days 38"});
  }
  for (const std::string command : {"carry", "report", "reorder"}) {
    INFO(command);
    box.refused(command + " --days soon", 3, {"soon"});
    box.refused(command + " --days -1", 3, {"-1"});
    box.refused(command + " --use km=100", 2, {"--days"});
    box.refused(command + " --days 10 --use km", 3, {"truck-km=3740"});
    box.refused(command + " --days 10 --use nothing=3", 3, {"nothing"});
    box.refused(command + " --days 10 --use km=-4", 3, {"-4"});
    box.refused(command + " --days 10 --use km=1 --use km=2", 3, {"km"});
    box.refused(command + " --days 10 --condition :3", 3, {"smoke-dust:12"});
    box.refused(command + " --days 10 --condition heat:many", 3, {"many"});
    box.refused(command + " --days 10 --condition heat:11", 3, {"11"});
  }
}

TEST_CASE("reorder: what to order, and 10 with --check when there is something") {
  const Sandbox box;
  make_camper(box);
  const Json answer = box.json("reorder --as-of 2026-07-01");
  has_keys(answer, {"schema", "as_of", "parts"});
  const Ran checked = box("reorder --check --as-of 2026-07-01");
  const Json belt = part_line(answer, "belt");
  has_keys(belt, {"order_pieces", "order_packs", "pack", "supplier", "arrives_by", "on_hand",
                  "on_order", "stock_position", "reorder_point", "reason"});
  CHECK(belt.at("order_pieces").get<int>() > 0);
  CHECK(checked.code == 10);
  CHECK(holds(checked.out, "shearpin order"));
  CHECK(box("reorder --as-of 2026-07-01").code == 0);
  box.ok("receive belt 20 --into locker --on 2026-07-01");
  box.ok("receive fuse-15 200 --into locker --on 2026-07-01");
  CHECK(box("reorder --check --as-of 2026-07-01").code == 0);
}

TEST_CASE("What is on order is not ordered again") {
  const Sandbox box;
  make_camper(box);
  const int wanted =
      part_line(box.json("reorder --as-of 2026-07-01"), "belt").at("order_pieces").get<int>();
  box.ok("order belt " + std::to_string(wanted) + " --on 2026-07-01");
  CHECK(part_line(box.json("reorder --as-of 2026-07-01"), "belt").at("order_pieces") == 0);
}

TEST_CASE("now: what is down, due, low and on its way, 10 with --check") {
  const Sandbox box;
  box.ok("init --rig camper --on 2026-01-01");
  CHECK(box("now --check").code == 0);
  box.ok("part add fuse-15 --class blade-fuse-mid --rating 15A --on 2026-01-01");
  box.ok("position add pump-fuse --part fuse-15 --severity nuisance --on 2026-01-01");
  box.ok("fit pump-fuse --on 2026-01-02");
  box.ok("fail pump-fuse --on 2026-01-05");
  const Ran ran = box("now --check");
  CHECK(ran.code == 10);
  CHECK(holds(ran.out, "pump-fuse"));
  const Json answer = box.json("now");
  has_keys(answer, {"schema", "as_of", "down", "due", "orders"});
  CHECK(answer.at("down").size() == 1);
  // As of the day before it was sound.
  CHECK(box.json("now --as-of 2026-01-04").at("down").empty());
  // Bare `shearpin` is `now`.
  CHECK(box("").out == box("now").out);
}

TEST_CASE("A question with --known answers with what had been recorded by then") {
  const Sandbox box;
  make_camper(box);
  box.ok("fail fridge-fuse --left-dead --on 2026-03-01");
  // Recorded today, of a day in March: known in March, nobody had written it down.
  CHECK(box.json("now --as-of 2026-03-02").at("down").size() == 1);
  CHECK(box.json("now --as-of 2026-03-02 --known 2026-03-02").at("down").empty());
}

TEST_CASE("report: paged text, a file, JSON") {
  const Sandbox box;
  make_camper(box);
  const std::string text = box.ok("report --days 30 --as-of 2026-07-01");
  CHECK(holds(text, "do not say that a rig is safe"));
  const std::string told = box.ok("report --days 30 --as-of 2026-07-01 -o r.txt");
  CHECK(holds(told, "written to r.txt"));
  CHECK(read_file(box.path("r.txt")) == text);
  CHECK(box.ok("report --days 30 --as-of 2026-07-01 --paper letter") != text);
  const Json json = box.json("report --days 30 --as-of 2026-07-01");
  has_keys(json, {"title", "as_of", "rigs", "use", "carry", "reorder", "now", "uncovered",
                  "packing", "assumptions", "cautions"});
  CHECK(json.at("carry").at("parts") == box.json("carry --days 30 --as-of 2026-07-01").at("parts"));
  box.refused("report --days 30 --paper a5", 2, {"a5"});
  box.refused("report --days 30 --format xml", 2, {"xml"});
  box.refused("report --days 30 -o no/such/folder/r.txt", 3, {"no/such/folder/r.txt"});
  CHECK_FALSE(std::filesystem::exists(box.path("r.txt.part")));
}

TEST_CASE(
    "report: one page of HTML and a table, for the paper asked for, to a file or the screen") {
  const Sandbox box;
  make_camper(box);
  const std::string line = "report --days 30 --as-of 2026-07-01";
  const std::string html = box.ok(line + " --format html");
  CHECK(html.rfind("<!DOCTYPE html>", 0) == 0);
  CHECK(holds(html, "size: A4 portrait"));
  CHECK(holds(html, "Blade fuse"));
  CHECK(holds(html, "do not say that a rig is safe"));
  CHECK(box.ok(line + " --format html") == html);
  const std::string letter = box.ok(line + " --format html --paper letter");
  CHECK(holds(letter, "size: letter portrait"));
  CHECK(holds(box.ok(line + " --format html -o r.html"), "written to r.html"));
  CHECK(read_file(box.path("r.html")) == html);
  CHECK_FALSE(std::filesystem::exists(box.path("r.html.part")));
  const std::string csv = box.ok(line + " --format csv");
  CHECK(csv.rfind("kind,part,name,bin,", 0) == 0);
  CHECK(holds(csv, "pack,fuse-15,"));
  CHECK(holds(box.ok(line + " --format csv -o r.csv"), "written to r.csv"));
  CHECK(read_file(box.path("r.csv")) == csv);
  CHECK(box.ok(line + " --format json -o r.json") != "");
  CHECK(Json::parse(read_file(box.path("r.json"))) == box.json(line));
  // A folder in the way: refused, and nothing is left behind.
  std::filesystem::create_directory(box.path("taken"));
  box.refused(line + " --format html -o taken", 3, {"taken"});
  CHECK_FALSE(std::filesystem::exists(box.path("taken.part")));
  box.refused("carry --days 3 --format html", 2, {"html"});
}

TEST_CASE("rate: the record alone, the belief, both together") {
  const Sandbox box;
  make_camper(box);
  box.ok("fail fridge-fuse --on 2026-04-11");
  const Json rate = box.json("rate fuse-15 --as-of 2026-07-20");
  CHECK(rate.at("failures") == 1);
  // 100 days to the failure, 100 after it, 3 x 200 in the lamps.
  CHECK(rate.at("exposure").get<double>() == Approx(800));
  CHECK(rate.at("constant_rate").at("rate").get<double>() == Approx(1.0 / 800));
  // 90 % chi-square interval of 1 failure in 800 days: qchisq(0.05, 2)/1600 and
  // qchisq(0.95, 4)/1600 (R 4.2.2: 0.1025866, 9.487729).
  CHECK(rate.at("constant_rate").at("rate_low").get<double>() ==
        Approx(0.1025866 / 1600).epsilon(1e-6));
  CHECK(rate.at("constant_rate").at("rate_high").get<double>() ==
        Approx(9.487729 / 1600).epsilon(1e-6));
  has_keys(rate, {"belief", "life", "mtbf", "shape", "share_learnt", "records", "notes"});
  CHECK(rate.at("records").size() == 5);
  CHECK(holds(box.ok("rate fuse-15 --all"), "Class belief"));
  box.refused("rate nothing-at-all", 3, {"Nearest"});
}

TEST_CASE("rate of a class takes the records of its parts together") {
  const Sandbox box;
  make_camper(box);
  box.ok("fail fridge-fuse --on 2026-04-11");
  box.ok("position add horn --part fuse-10 --on 2026-01-01");
  box.ok("fit horn --on 2026-01-01");
  const Json rate = box.json("rate blade-fuse-mid --as-of 2026-07-20");
  CHECK(rate.at("part").is_null());
  CHECK(rate.at("class") == "blade-fuse-mid");
  CHECK(rate.at("parts") == Json({"fuse-15", "fuse-10"}));
  CHECK(rate.at("failures") == 1);
  CHECK(rate.at("exposure").get<double>() == Approx(1000));  // 800 days and 200 in the horn
  CHECK(rate.at("records").size() == 6);
  CHECK(holds(box.ok("rate blade-fuse-mid"), "taken as those of one part"));
}

TEST_CASE("explain: the whole reasoning, numbered") {
  const Sandbox box;
  make_camper(box);
  const std::string text = box.ok("explain belt --days 30 --as-of 2026-07-01");
  for (const char* step : {"1. ", "2. ", "3. ", "4. "}) {
    CHECK(holds(text, step));
  }
  const Json json = box.json("explain belt --days 30 --as-of 2026-07-01");
  has_keys(json, {"rate", "window", "carry", "worth", "cost_of_day", "holding_of_one", "lead",
                  "lead_demand", "protection_demand", "reorder", "exposure_ahead"});
  CHECK(json.at("carry") == part_line(box.json("carry --days 30 --as-of 2026-07-01"), "belt"));
  CHECK(json.at("exposure_ahead").get<double>() > 0);
  box.ok("explain belt");
  box.refused("explain", 2, {"PART"});
}

TEST_CASE("history, find and fits look things up") {
  const Sandbox box;
  make_camper(box);
  box.ok("fail fridge-fuse --on 2026-03-01 --cause overload --note \"kettle on\"");
  const std::string history = box.ok("history fridge-fuse");
  CHECK(holds(history, "kettle on"));
  CHECK(holds(history, "overload"));
  CHECK(box.json("history fuse-15").at("items").size() >= 4);
  CHECK(box.json("history fridge-fuse --as-of 2026-02-01").at("items").size() <
        box.json("history fridge-fuse").at("items").size());
  const Json found = box.json("find fuse");
  CHECK(found.at("items").size() == 3);
  CHECK(box.json("find fuse-15").at("items").at(0).at("where") ==
        "4 in locker, 10 in shed (ashore)");
  CHECK(holds(box.ok("find fuse --format csv"), "kind,key,name,where"));
  CHECK(holds(box.ok("find dishwasher"), "Nothing called"));
  CHECK(holds(box.ok("fits fridge-fuse"), "called for"));
  CHECK(holds(box.ok("fits fuse-15"), "lamps"));
  CHECK(box.json("fits fuse-15").at("items").size() == 2);
  box.refused("history nothing-at-all", 3);
  box.refused("fits", 2, {"WHAT"});
  box.refused("find", 2, {"WORDS"});
}

TEST_CASE("A format that an answer does not have is refused, and one that does not exist") {
  const Sandbox box;
  make_camper(box);
  CHECK(holds(box.ok("carry --days 3 --format csv"), "part,"));
  CHECK(holds(box.ok("reorder --format csv"), "part,"));
  CHECK(holds(box.ok("journal --format csv"), "entry,"));
  box.ok("now --format csv");
  box.refused("verify --format csv", 2, {"csv"});
  box.refused("rate belt --format html", 2, {"html"});
  box.refused("carry --days 3 --format xml", 2, {"xml", "json"});
}
