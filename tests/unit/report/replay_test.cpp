#include "report/answers.hpp"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "sample.hpp"

using namespace shearpin;
using namespace shearpin::report;
using namespace shearpin::report::sample;
using nlohmann::json;

namespace {

advice::ReplayAnswer played() {
  advice::ReplayAnswer answer;
  answer.as_of = day();
  const auto month = std::chrono::days(30);
  answer.periods = {{day() - 2 * month, day() - month, 40, 3, 70, {}},
                    {day() - month, day(), 41, 5, 71, {"p13", "p20"}}};
  answer.rules = {{"the advice", 81, 2, 12.4, 124, 141, 133, 1234.5},
                  {"none", 81, 8, 98, 123456.7, 0, 0, 0}};
  answer.targets = {{domain::Severity::degraded, 0.9, 81, 0.95, 79}};
  answer.calibration = {{0, 0.01, 0, 0, 0}, {0.01, 1, 81, 9.5, 8}};
  return answer;
}

}  // namespace

TEST_CASE("a replay sets the rules side by side and says what the columns are") {
  const std::string text = replay_text(played());
  check_lines(text);
  CHECK(says(text, "The past played again from 2026-03-26 to 2026-05-25, 2 periods of 30 days"));
  CHECK(says(text, "the advice 2 12 124.00 70.5 66.5 1,234.50"));
  CHECK(says(text, "none 8 98 123,456.70 0.0 0.0 0.00"));
  CHECK(says(text, "degraded 81 90 % 95 % 98 % 2"));
  CHECK(says(text, "1 to 100 % 81 9.5 8"));
  CHECK_FALSE(says(text, "0 to 1 % 0"));  // a row nobody was told of is left out
  CHECK(says(text, "2026-04-25 to 2026-05-25: p13 and p20"));
}

TEST_CASE("a replay without a shortage, and one without a period") {
  auto answer = played();
  answer.periods.back().short_of.clear();
  CHECK(says(replay_text(answer), "Ran short under the advice -------------------------- Never."));
  const std::string nothing = replay_text({day(), {}, {}, {}, {}});
  CHECK(says(nothing, "shorter than one period"));
  const json read = json::parse(replay_json({day(), {}, {}, {}, {}}));
  CHECK(read.at("periods").empty());
  CHECK(replay_csv({day(), {}, {}, {}, {}}) ==
        "from,to,parts,demand_pieces,carried_pieces,short_of\n");
}

TEST_CASE("the JSON and CSV of a replay have their documented keys") {
  const json read = json::parse(replay_json(played()));
  CHECK(read.at("schema") == 1);
  CHECK(read.at("periods").at(1).at("short_of") == json::array({"p13", "p20"}));
  CHECK(read.at("rules").at(0).at("rule") == "the advice");
  CHECK(read.at("rules").at(0).at("pieces_not_needed") == 133);
  CHECK(read.at("rules").at(1).at("cost_without") == 123456.7);
  CHECK(read.at("targets").at(0).at("kept") == 79);
  CHECK(read.at("calibration").at(1).at("chance_high") == 1);
  CHECK(replay_csv(played()) ==
        "from,to,parts,demand_pieces,carried_pieces,short_of\n"
        "2026-03-26,2026-04-25,40,3,70,\n"
        "2026-04-25,2026-05-25,41,5,71,\"p13;p20\"\n");
}
