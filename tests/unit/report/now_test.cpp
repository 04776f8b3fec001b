#include "report/answers.hpp"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "sample.hpp"

using namespace shearpin;
using namespace shearpin::report;
using namespace shearpin::report::sample;
using nlohmann::json;

TEST_CASE("now tells the most urgent first") {
  const std::string text = now_text(now());
  check_lines(text);
  CHECK(says(text,
             "As of 2026-05-25: 1 place without a sound part, 1 overdue, 1 part low and 1 order on "
             "the way."));
  const auto down = text.find("Down, or getting by");
  const auto due = text.find("Overdue or due soon");
  const auto low = text.find("At or below the reorder point");
  const auto coming = text.find("On the way");
  CHECK(down < due);
  CHECK(due < low);
  CHECK(low < coming);
  CHECK(coming != std::string::npos);
}

TEST_CASE("now says how one gets by, since when, and what to fit") {
  const std::string text = now_text(now());
  CHECK(says(text, "heater-igniter/2: Heater "));
  CHECK(says(text, "workaround for 5 days"));
  CHECK(
      says(text, "Next: fit the spare, then `shearpin fit heater-igniter/2 igniter --from BIN`."));
  CHECK(says(text, "over by 3 days"));
  CHECK(says(text, "61 %"));
}

TEST_CASE("now with nothing to do says so and names the next command") {
  advice::NowAnswer quiet;
  quiet.as_of = day();
  const std::string text = now_text(quiet);
  check_lines(text);
  CHECK(text ==
        "As of 2026-05-25: nothing is down, due, low or on the way.\n\n"
        "Next: `shearpin carry --days 14` says what to take on a stretch without shops.\n");
}

TEST_CASE("the next step follows from the most urgent thing that can be done") {
  auto answer = now();
  answer.down.front().aboard = 0;
  CHECK(says(now_text(answer), "Next: do the test, then `shearpin test co-alarm pass` or `fail`."));
  answer.due.clear();
  CHECK(says(now_text(answer), "Next: `shearpin reorder`"));
  answer.reorder.clear();
  CHECK(says(now_text(answer), "Next: `shearpin fits heater-igniter`"));
  CHECK(says(now_text(answer), "none of igniter aboard: order it"));
}

TEST_CASE("now keeps within 80 columns whatever the names hold") {
  auto answer = now();
  answer.down.front().position = std::string(40, 'p');
  answer.down.front().name = answer.down.front().getting_by = long_name();
  answer.due.front().name = answer.due.front().detail = long_name();
  answer.orders.front().name = long_name();
  answer.orders.front().supplier = std::string(40, 's');
  answer.reorder.front().name = long_name();
  answer.notes = {long_name()};
  check_lines(now_text(answer, {{"a", long_name()}}));
}

TEST_CASE("the JSON of now has its documented keys") {
  const json read = json::parse(now_json(now()));
  CHECK(read.at("schema") == 1);
  CHECK(read.at("as_of") == "2026-05-25");
  CHECK(read.at("anything_due") == true);
  const json& down = read.at("down").at(0);
  CHECK(down.at("position") == "heater-igniter");
  CHECK(down.at("unit") == 2);
  CHECK(down.at("state") == "workaround");
  CHECK(read.at("due").at(0).at("kind") == "test");
  CHECK(read.at("due").at(0).at("days_over") == 3);
  CHECK(read.at("reorder").at(0).at("order_pieces") == 5);
  CHECK(read.at("orders").at(0).at("pieces_to_come") == 2);
  CHECK(read.at("orders").at(0).at("chance_in_week") == 0.61);
}

TEST_CASE("the CSV of now has one line a thing") {
  const auto lines = lines_of(now_csv(now()));
  REQUIRE(lines.size() == 5);
  CHECK(lines[1] == "down,heater-igniter/2,Heater igniter,2026-05-20,5,1,workaround");
  CHECK(lines[2] == "due,co-alarm,Carbon monoxide alarm,2026-05-22,3,,last passed 2026-02-21");
  CHECK(lines[4] == "order,o48,Air filter,2026-05-18,7,2,north-post");
}

TEST_CASE("everything that now shows may call for a caution") {
  CHECK(safety_keys(now()) == std::vector<std::string>{"fuel-fired-heating", "alarms", "fuses"});
}
