// Belief and record: what is carried without any history, with little, and with much.

#include <catch2/catch.hpp>
#include <cmath>

#include "scenes.hpp"

using namespace shearpin::test;

namespace {

Json line_of(const Json& answer, const std::string& part) {
  for (const auto& line : answer.at("parts")) {
    if (line.at("part") == part) {
      return line;
    }
  }
  FAIL("no line for " << part);
  return {};
}

// A penny fuse and a dear, heavy gearbox, equally rare: one belief, one record, one severity.
void make_pair_of_parts(const Sandbox& box) {
  box.ok("init --rig camper --on 2026-01-01");
  box.ok(
      "class add rare --life 20y --life-low 8y --life-high 50y --shape 1 --basis days --severity "
      "degraded --resupply order-online --on 2026-01-01");
  box.ok("part add penny --class rare --price 0.40 --mass 2g --on 2026-01-01");
  box.ok("part add gearbox --class rare --price 1800 --mass 45kg --on 2026-01-01");
  box.ok("position add a --part penny --on 2026-01-01");
  box.ok("position add b --part gearbox --on 2026-01-01");
  box.ok("fit a --on 2026-01-01");
  box.ok("fit b --on 2026-01-01");
}

}  // namespace

TEST_CASE("A penny fuse seldom blown is carried, an equally rare dear heavy part is not") {
  const Sandbox box;
  make_pair_of_parts(box);
  const Json answer = box.json("carry --days 30 --as-of 2026-06-01");
  const Json penny = line_of(answer, "penny");
  const Json gearbox = line_of(answer, "gearbox");
  // Equally rare: the same demand to the last bit.
  CHECK(penny.at("demand") == gearbox.at("demand"));
  CHECK(penny.at("carry") == 1);
  CHECK(penny.at("decided_by") == "worth");
  CHECK(gearbox.at("carry") == 0);
  // And the answer says why.
  CHECK(holds(box.ok("carry --days 30 --as-of 2026-06-01"), "cheap beside a day without"));
  const std::string why = box.ok("explain penny --days 30 --as-of 2026-06-01");
  CHECK(holds(why, "cheap beside a day without"));
  const Json penny_steps = box.json("explain penny --days 30 --as-of 2026-06-01");
  const Json gearbox_steps = box.json("explain gearbox --days 30 --as-of 2026-06-01");
  CHECK(penny_steps.at("cost_of_day") == gearbox_steps.at("cost_of_day"));
  CHECK(penny_steps.at("holding_of_one").get<double>() <
        0.01 * gearbox_steps.at("holding_of_one").get<double>());
  // Of the rows, the one carried costs least: one penny part against none, no gearbox against one.
  const auto cost = [](const Json& steps, std::size_t pieces) {
    return steps.at("worth").at(pieces).at("cost_total").get<double>();
  };
  CHECK(cost(penny_steps, 1) < cost(penny_steps, 0));
  CHECK(cost(gearbox_steps, 0) < cost(gearbox_steps, 1));
}

TEST_CASE("With no history the answers are the class beliefs") {
  const Sandbox box;
  box.ok("init --rig camper --on 2026-01-01");
  box.ok(
      "class add thing --life 1000 --life-low 250 --life-high 4000 --shape 1.5 --basis days "
      "--severity degraded --resupply anywhere --on 2026-01-01");
  box.ok("part add p --class thing --on 2026-01-01");
  box.ok("position add q --part p --on 2026-01-01");
  const Json rate = box.json("rate p --as-of 2026-01-01");
  CHECK(rate.at("failures") == 0);
  CHECK(rate.at("share_learnt") == 0);
  CHECK(rate.at("life").at("median").get<double>() == Approx(1000).epsilon(0.01));
  CHECK(rate.at("life").at("low").get<double>() == Approx(250).epsilon(0.02));
  CHECK(rate.at("life").at("high").get<double>() == Approx(4000).epsilon(0.02));
  CHECK(rate.at("shape").at("median").get<double>() == Approx(1.5).epsilon(0.02));
  CHECK(holds(box.ok("rate p --as-of 2026-01-01"), "thing"));
}

TEST_CASE("With 20 failures the record rules") {
  const Sandbox box;
  box.ok("init --rig camper --on 2020-01-01");
  // Believed: ten years. Seen: a failure every 30 days.
  box.ok(
      "class add thing --life 3650 --life-low 1800 --life-high 7300 --shape 1 --basis days "
      "--severity degraded --resupply anywhere --on 2020-01-01");
  box.ok("part add p --class thing --on 2020-01-01");
  box.ok("position add q --part p --on 2020-01-01");
  std::string history = "date,kind,position,from\n";
  const char* days[] = {"2020-01-31", "2020-03-01", "2020-03-31", "2020-04-30", "2020-05-30",
                        "2020-06-29", "2020-07-29", "2020-08-28", "2020-09-27", "2020-10-27",
                        "2020-11-26", "2020-12-26", "2021-01-25", "2021-02-24", "2021-03-26",
                        "2021-04-25", "2021-05-25", "2021-06-24", "2021-07-24", "2021-08-23"};
  for (const char* day : days) {
    history += std::string(day) + ",failure,q,outside\n";
  }
  box.write("fitted.csv", "date,position,part\n2020-01-01,q,p\n");
  box.write("history.csv", history);
  box.ok("import fitted.csv history.csv");
  const Json rate = box.json("rate p --as-of 2021-08-23");
  CHECK(rate.at("failures") == 20);
  CHECK(rate.at("exposure").get<double>() == Approx(600).epsilon(0.01));
  CHECK(rate.at("share_learnt").get<double>() > 0.8);
  // The life believed now is of the record's size (30 days), not of the belief's (3650).
  CHECK(rate.at("mtbf").at("median").get<double>() < 60);
  CHECK(rate.at("mtbf").at("median").get<double>() > 20);
  const Json line = line_of(box.json("carry --days 90 --as-of 2021-08-23"), "p");
  CHECK(line.at("carry").get<int>() >= 3);
}

TEST_CASE("More years without a failure never make a failure likelier") {
  const Sandbox box;
  make_pair_of_parts(box);
  const auto mean = [&box](const std::string& day) {
    return line_of(box.json("carry --days 30 --as-of " + day), "penny")
        .at("demand_mean")
        .get<double>();
  };
  CHECK(mean("2026-11-01") < mean("2026-06-01"));
  CHECK(mean("2026-06-01") < mean("2026-01-02"));
}

TEST_CASE("A loss uses up a spare yet says nothing of how long the part lasts") {
  const Sandbox box;
  make_pair_of_parts(box);
  const Json before = box.json("rate penny --as-of 2026-06-01");
  box.ok("lose a --on 2026-06-01");
  const Json after = box.json("rate penny --as-of 2026-06-01");
  CHECK(after.at("failures") == before.at("failures"));
  CHECK(after.at("exposure") == before.at("exposure"));
  CHECK(after.at("life") == before.at("life"));
}
