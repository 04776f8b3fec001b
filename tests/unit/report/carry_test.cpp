#include "report/answers.hpp"

#include <catch2/catch.hpp>
#include <limits>
#include <nlohmann/json.hpp>
#include <stdexcept>

#include "base/text.hpp"
#include "report/sections.hpp"
#include "sample.hpp"

using namespace shearpin;
using namespace shearpin::report;
using namespace shearpin::report::sample;
using nlohmann::json;

TEST_CASE("carry lists what is short first, then what is enough, then what stays behind") {
  const std::string text = carry_text(carry());
  check_lines(text);
  const auto lacking = text.find("Short: buy or load before leaving");
  const auto enough = text.find("Enough aboard");
  const auto left = text.find("Not carried");
  REQUIRE(lacking != std::string::npos);
  REQUIRE(enough != std::string::npos);
  REQUIRE(left != std::string::npos);
  CHECK(lacking < text.find("fuse-15a: Blade fuse 15 A"));
  CHECK(text.find("fuse-15a: Blade fuse 15 A") < enough);
  CHECK(enough < text.find("pump-12v: Water pump"));
  CHECK(left < text.find("axle: Trailer axle"));
}

TEST_CASE("carry says how many, from which bin, why, and what to do") {
  const std::string text = carry_text(carry());
  // 4 wanted, 1 aboard: 3 short, of which 2 lie in the shed.
  CHECK(says(text, "do: load 2 from shed, take in 1 on order"));
  CHECK(says(text, "because: cheap beside a day without"));
  CHECK(says(text, "lies in: cab-box 1; shed 2 (stays behind)"));
  CHECK(says(text, "also there: 1 out of date"));
  CHECK(says(text, "75 % 97 %"));
  CHECK(
      says(text, "What to carry for 14 days from 2026-05-25, dust for 5 days, frost all the time"));
}

TEST_CASE("carry names the belief where it asks for more than twice what the median life would") {
  CHECK(says(carry_text(carry()),
             "1 would do were the median life certain; the wide belief asks for 4"));
  auto answer = carry();
  answer.lines.front().carry_at_median = 2;
  CHECK_FALSE(says(carry_text(answer), "median life certain"));
}

TEST_CASE("carry ends with totals, cautions and the next command") {
  const std::string text = carry_text(carry(), {{"fuses", "A fuse guards the wire."}});
  CHECK(says(text, "Chance of no shortage in the whole kit: 72 % as it stands, 96 % with"));
  CHECK(says(text, "Spares aboard now: 2.9 kg, 4 L. With what is advised: 2.9 kg, 4 L."));
  CHECK(says(text, "What is short costs 1.20 where prices are known."));
  CHECK(says(text, "Without a known price: pump-12v."));
  CHECK(says(text, "because nobody knows theirs: pump-12v and axle."));
  CHECK(says(text, "1 piece of fuse-15a is out of date"));
  CHECK(says(text, "no chance printed here makes a rig safe"));
  CHECK(says(text, "Caution: A fuse guards the wire."));
  CHECK(says(text, "Next: `shearpin reorder --days 14`"));
  CHECK(says(text, "Reasons: `shearpin explain fuse-15a --days 14`."));
}

TEST_CASE("carry with nothing short asks for no buying") {
  auto answer = carry();
  answer.lines = {pump()};
  const std::string text = carry_text(answer);
  CHECK_FALSE(says(text, "Short:"));
  CHECK_FALSE(says(text, "What is short costs"));
  CHECK(says(text, "Next: `shearpin report --days 14`"));
}

TEST_CASE("carry without any part says so and how to begin") {
  const std::string text = carry_text(no_carry());
  check_lines(text);
  CHECK(says(text, "nothing to advise"));
  CHECK(says(text, "Next: `shearpin part add`"));
}

TEST_CASE("carry keeps within 80 columns whatever the names hold") {
  auto answer = carry();
  for (auto& line : answer.lines) {
    line.part = std::string(40, 'k');
    line.name = long_name() + long_name();
    line.reason = "x\ty\x1b[31m";
    line.stock.aboard *= 1'000'000;
    line.stock.bins = {{std::string(40, 'b'), 1'000'000, true}};
    line.chance_aboard = 1e-9;
    line.chance_carry = 1 - 1e-9;
  }
  answer.lines.front().carry = 3'000'000;
  answer.notes = {long_name()};
  answer.unpriced = std::vector<std::string>(30, std::string(40, 'u'));
  check_lines(carry_text(answer, {{"a", long_name()}}));
}

TEST_CASE("the JSON of carry has the keys scripts rely on") {
  const std::string text = carry_json(carry());
  CHECK(text.rfind(R"({"schema":1,"as_of":"2026-05-25","parts":[{"part":"fuse-15a","aboard":1,)"
                   R"("carry":4,"decided_by":"worth","target":0.9,)"
                   R"("chance_no_shortage_aboard":0.75,"chance_no_shortage":0.96875,)"
                   R"("demand":[0.5,0.25,0.125,)",
                   0) == 0);
  CHECK(split(text, '\n').size() == 2);
  const json read = json::parse(text);
  REQUIRE(read.at("parts").size() == 3);
  const json& first = read.at("parts").at(0);
  double sum = 0;
  for (const auto& chance : first.at("demand")) {
    sum += chance.get<double>();
  }
  CHECK(sum == 1.0);
  CHECK(first.at("short") == 3);
  CHECK(first.at("mass_g") == 1.5);
  CHECK(first.at("volume_ml").is_null());
  CHECK(first.at("price") == 0.4);
  CHECK(first.at("first_end") == "2026-05-30");
  CHECK(first.at("days_without_aboard") == 1.25);
  CHECK(first.at("bins").at(1).at("bin") == "shed");
  CHECK(first.at("bins").at(1).at("aboard") == false);
  CHECK(read.at("parts").at(1).at("price").is_null());
  CHECK(read.at("parts").at(1).at("class").is_null());
  CHECK(read.at("readiness_aboard") == 0.72);
  CHECK(read.at("window").at("days") == 14);
  CHECK(read.at("window").at("conditions").at(1).at("days") == 14);
  CHECK(read.at("cost_to_buy") == 1.2);
}

TEST_CASE("the JSON of carry is not rounded") {
  auto answer = carry();
  answer.lines.front().demand.total = {1.0 / 3, 2.0 / 3};
  const json read = json::parse(carry_json(answer));
  CHECK(read.at("parts").at(0).at("demand").at(0).get<double>() == 1.0 / 3);
}

TEST_CASE("an empty carry is still a whole JSON object") {
  const json read = json::parse(carry_json(no_carry()));
  CHECK(read.at("schema") == 1);
  CHECK(read.at("parts").is_array());
  CHECK(read.at("parts").empty());
}

TEST_CASE("bytes that are not UTF-8 do not break the JSON") {
  auto answer = carry();
  answer.lines.front().name = "caf\xe9";
  const json read = json::parse(carry_json(answer));
  CHECK(read.at("parts").at(0).at("name") == "caf\xef\xbf\xbd");
}

TEST_CASE("a figure that is not finite is a bug, not an unknown") {
  auto answer = carry();
  answer.lines.front().days_without_aboard = std::numeric_limits<double>::quiet_NaN();
  CHECK_THROWS_AS(carry_json(answer), std::logic_error);
}

TEST_CASE("the CSV of carry has one line a part") {
  auto answer = carry();
  answer.lines.front().name = "Fuse, 15 A";
  const auto lines = lines_of(carry_csv(answer));
  REQUIRE(lines.size() == 4);
  CHECK(lines[0].rfind("part,name,class,severity,aboard,carry,short,decided_by,target,", 0) == 0);
  CHECK(lines[1].rfind("fuse-15a,\"Fuse, 15 A\",blade-fuse,stranded,1,4,3,worth,0.9,", 0) == 0);
  CHECK(lines_of(carry_csv(no_carry())).size() == 1);
}

TEST_CASE("only lines that are short call for cautions, each once") {
  auto answer = carry();
  answer.lines.push_back(fuse());
  answer.lines[1].safety_note = "ac-mains";
  CHECK(safety_keys(answer) == std::vector<std::string>{"fuses"});
}
