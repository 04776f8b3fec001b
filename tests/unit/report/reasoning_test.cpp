#include "report/answers.hpp"

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "sample.hpp"

using namespace shearpin;
using namespace shearpin::report;
using namespace shearpin::report::sample;
using nlohmann::json;

TEST_CASE("rate tells record, belief, what is believed now and how much of it was learnt") {
  const std::string text = rate_text(rate());
  check_lines(text);
  // 3 failures in 4,320 days: 0.000694 a day. Chi-square 5 % point with 6 degrees of freedom 1.6354
  // and 95 % point with 8, 15.5073, halved (NIST/SEMATECH e-Handbook, table 1.3.6.7.4): 0.8177 and
  // 7.7537 failures, so 5,283 and 557 days for each.
  CHECK(says(text, "3 failures in 4,320 days (12 years) watched, one in 1,440 days"));
  CHECK(says(text, "r/T = 0.000694 per day"));
  CHECK(says(text,
             "90 % chi-square interval 0.000189 to 0.00179 per day, so one in 557 to 5,283 "
             "days"));
  CHECK(says(text,
             "Class belief (blade-fuse): characteristic life 1,095 days (3.0 years), eight "
             "times in ten 182 to 6,574 days."));
  CHECK(says(text, "Source of the belief: common practice, no source"));
  CHECK(says(text, "characteristic life 1,400 days (3.8 years) 600 to 3,300 days"));
  CHECK(says(text, "shape 1.1 0.90 to 1.5") != says(text, "shape 1.2 0.90 to 1.5"));
  CHECK(says(text, "Learnt from the own record: 45 %"));
  CHECK(says(text, "has a chance of 1.2 %: class belief and record do not fit together"));
}

TEST_CASE("long records are cut with a count unless all are asked for") {
  const std::string cut = rate_text(rate());
  CHECK(says(cut, "The first 8 of 20 records are left out here"));
  CHECK_FALSE(says(cut, "lamp-8 "));
  CHECK(says(cut, "lamp-9 "));
  const std::string all = rate_text(rate(), {true});
  CHECK_FALSE(says(all, "left out"));
  CHECK(says(all, "lamp-1 "));
  CHECK(says(all, "interval new 100 to 220 days found on a test"));
}

TEST_CASE("a record without failures gives an upper limit alone") {
  auto answer = rate();
  answer.life.failures = 0;
  // One-sided: minus ln 0.1 = 2.302585 failures in 4,320 days (MIL-HDBK-338B, 8.3.2.5).
  answer.constant_rate = {std::nullopt, 0, 2.302585 / 4320};
  answer.prior_p = 0.4;
  const std::string text = rate_text(answer);
  check_lines(text);
  CHECK(says(text, "no failure in 4,320 days (12 years) watched"));
  CHECK(says(text, "90 % sure: at most one failure in 1,876 days"));
  CHECK_FALSE(says(text, "do not fit together"));
}

TEST_CASE("a part never watched rests on the belief and says so") {
  auto answer = rate();
  answer.records.clear();
  answer.life.failures = 0;
  answer.life.exposure = 0;
  answer.life.share_learnt = 0;
  answer.class_key.clear();
  answer.belief_source.clear();
  answer.prior_p = 1;
  const std::string text = rate_text(answer);
  check_lines(text);
  CHECK(says(text, "Nothing has been watched yet"));
  CHECK(says(text, "Class belief (no class, so a vague one)"));
  CHECK(says(text, "Learnt from the own record: 0 %"));
  CHECK(says(text, "Source of the belief: not stated."));
  const json read = json::parse(rate_json(answer));
  CHECK(read.at("constant_rate").is_null());
  CHECK(read.at("class").is_null());
  CHECK(read.at("belief").at("source").is_null());
}

TEST_CASE("explain walks through nine numbered steps") {
  const std::string text = explain_text(explain());
  check_lines(text);
  std::size_t before = 0;
  for (int step = 1; step <= 9; ++step) {
    const auto found = text.find("\n" + std::to_string(step) + ". ");
    INFO(step);
    REQUIRE(found != std::string::npos);
    CHECK(found > before);
    before = found;
  }
  CHECK(text.find("\n10. ") == std::string::npos);
}

TEST_CASE("explain shows demand, both levels and the least cost") {
  const std::string text = explain_text(explain());
  // Halves: P(<= 1) = 0.5 + 0.25, P(<= 3) = 0.9375, P(<= 4) = 0.96875.
  CHECK(says(text, "1 25 % 75 % <- aboard"));
  CHECK(says(text, "3 6.2 % 94 % <- target level") != says(text, "3 6.3 % 94 % <- target level"));
  CHECK(says(text, "4 3.1 % 97 % <- carry"));
  CHECK(says(text, "the wanted chance of no shortage is 0.9."));
  CHECK(says(text, "The first k with P(<= k) at least that is 3."));
  // 40, 20 + 1.5, 10 + 3, 5 + 4.5, 2.5 + 6 = 8.5, 1.25 + 7.5 = 8.75: four is the cheapest.
  CHECK(says(text, "4 74 % 0.25 days 2.50 6.00 8.50 <- least"));
  CHECK(says(text, "one piece costs under 0.01 to hold"));
  CHECK(says(text, "Carry 4: the larger of 3 by target and 4 by worth; worth decides."));
  CHECK(says(text, "Were the median life certain, 1 would do"));
}

TEST_CASE("explain shows the lead time and the stock position") {
  const std::string text = explain_text(explain());
  CHECK(says(text,
             "Belief for order-online: 6 days, eight times in ten 3 to 14 days. Supplier: "
             "north-post."));
  CHECK(says(text, "3 orders completed, days taken: 4, 6, 9."));
  CHECK(says(text, "Still open, days waited so far: 2."));
  CHECK(says(text, "order up to S = 4, when the stock position is at or below R = 3"));
  CHECK(says(text, "Stock position 2: 3 on hand, and 0 on order, less 1 owed"));
  CHECK(says(text, "Order 5 pieces (1 pack of 5), cost 2.00."));
}

TEST_CASE("explain without a stretch rests on review and lead time") {
  auto answer = explain();
  answer.carry.reset();
  answer.window.reset();
  answer.worth.clear();
  answer.reorder.order_pieces = 0;
  const std::string text = explain_text(answer);
  check_lines(text);
  CHECK(says(text, "at base with the post in reach"));
  CHECK(says(text, "Pieces wanted over the review period and one lead time:"));
  CHECK(says(text, "No stock is worth weighing here."));
  CHECK(says(text, "Above the reorder point of 3: order nothing."));
  const json read = json::parse(explain_json(answer));
  CHECK(read.at("carry").is_null());
  CHECK(read.at("window").is_null());
}

TEST_CASE("long demand tables are cut with a count unless all rows are asked for") {
  auto answer = explain();
  answer.carry->demand.total = std::vector<double>(200, 0.005);
  const std::string cut = explain_text(answer);
  CHECK(says(cut, "188 rows not shown."));
  CHECK(lines_of(explain_text(answer, {true})).size() > lines_of(cut).size() + 150);
}

TEST_CASE("explain keeps within 80 columns whatever the names hold") {
  auto answer = explain();
  answer.rate.name = answer.rate.belief_source = long_name();
  answer.rate.part = answer.rate.class_key = std::string(40, 'k');
  answer.rate.notes = answer.conditions = {long_name()};
  answer.rate.records.front().position = std::string(40, 'p');
  answer.rate.records.front().remark = long_name();
  answer.rate.unit = "cycles";
  answer.rate.life.scale.high = 5e14;
  answer.carry->positions = std::vector<std::string>(20, std::string(40, 'p'));
  answer.carry->reason = long_name();
  answer.lead.completed = std::vector<double>(50, 123.456);
  check_lines(explain_text(answer, {true}, {{"a", long_name()}}));
}

TEST_CASE("the JSON of rate and explain has its documented keys") {
  const json alone = json::parse(rate_json(rate()));
  CHECK(alone.at("schema") == 1);
  CHECK(alone.at("unit") == "days");
  CHECK(alone.at("failures") == 3);
  CHECK(alone.at("constant_rate").at("level") == 0.9);
  CHECK(alone.at("life").at("median") == 1400);
  CHECK(alone.at("records").size() == 20);
  CHECK(alone.at("records").at(0).at("lower").is_null());
  CHECK(alone.at("records").at(19).at("lower") == 100);
  const json read = json::parse(explain_json(explain()));
  CHECK(read.at("schema") == 1);
  CHECK(read.at("as_of") == "2026-05-25");
  CHECK(read.at("rate").at("share_learnt") == 0.45);
  CHECK(read.at("carry").at("carry") == 4);
  CHECK(read.at("worth").at(4).at("cost_total") == 8.5);
  CHECK(read.at("lead").at("completed_days").size() == 3);
  CHECK(read.at("lead_demand").at(0) == 0.5);
  CHECK(read.at("reorder").at("level") == 4);
}
