// Sentences about signs of a fault, what is lent, replacing and testing in time, conditions, the
// comparison of two parts.

#include <catch2/catch.hpp>
#include <nlohmann/json.hpp>

#include "report/answers.hpp"
#include "sample.hpp"

using namespace shearpin;
using namespace shearpin::report;
using namespace shearpin::report::sample;
using nlohmann::json;

namespace {

advice::FaultSign sign() {
  advice::FaultSign one;
  one.position = "l21";
  one.name = "Sample fridge fuse";
  one.part = "p13";
  one.failures = 3;
  one.failed = {"p13"};
  one.first_day = day() - std::chrono::days(30);
  one.window_days = 30;
  one.chance = 0.004;
  return one;
}

advice::CompareAnswer comparison() {
  advice::CompareAnswer answer;
  answer.as_of = day();
  answer.first = answer.second = rate();
  answer.second.part = "fuse-b";
  answer.prior = {1095, 182, 6574, 1.2, 0.35};
  answer.first_life = answer.second_life = rate().life;
  answer.lives = {0.3, {0.4, 0.8, 1.6}, stats::LongerLife::not_proven};
  return answer;
}

}  // namespace

TEST_CASE("a sign names place, number, window, chance and what to do first") {
  CHECK(
      says(fault_warning(sign()),
           "Too many to be luck? l21: Sample fridge fuse: 3 failures of p13 within 30 days; by bad "
           "luck alone the chance is 0.4 %. Look for a cause before buying more."));
  auto trend = sign();
  trend.laplace = 0.039;
  trend.handbook = 0.29;
  CHECK(says(fault_warning(trend),
             "coming ever faster by luck: 3.9 % (Laplace), 29 % "
             "(MIL-HDBK-189C)."));
  auto open = sign();
  open.open_fault = "l21-feed";
  CHECK(says(fault_warning(open),
             "Put down to fault l21-feed, which is still open: repair that "
             "first."));
  CHECK_FALSE(says(fault_warning(open), "buying more"));
}

TEST_CASE("now, rate and explain show a sign, and nothing of it without one") {
  auto due = now();
  CHECK_FALSE(says(now_text(due), "Too many to be luck"));
  due.signs = {sign()};
  CHECK(says(now_text(due), "1 sign of a fault"));
  CHECK(says(now_text(due), "l21: Sample fridge fuse: 3 failures of p13 within 30 days"));
  check_lines(now_text(due));
  CHECK(json::parse(now_json(due)).at("fault_signs").at(0).at("position") == "l21");

  auto alone = rate();
  CHECK_FALSE(says(rate_text(alone), "Bad luck or a fault?"));
  alone.signs = {sign()};
  CHECK(says(rate_text(alone), "Bad luck or a fault? -------------------- - l21:"));
  const json read = json::parse(rate_json(alone));
  CHECK(read.at("fault_signs").at(0).at("failures") == 3);
  CHECK(read.at("fault_signs").at(0).at("chance_by_luck") == 0.004);

  auto steps = explain();
  steps.rate.signs = {sign()};
  steps.level_without_signs = 2;
  CHECK(says(explain_text(steps), "Level at base with those failures 4, without them 2."));
  CHECK(json::parse(explain_json(steps)).at("level_without_fault_signs") == 2);
  check_lines(explain_text(steps));
}

TEST_CASE("what is lent says from whom and how to do without") {
  auto answer = rate();
  CHECK_FALSE(says(rate_text(answer), "heard first"));
  answer.prior.scale_median = 730;
  answer.lenders = {{"b", 0, 900, 0.1}, {"c", 4, 1200, -0.5}, {"d", 1, 10, 0.001}};
  const std::string text = rate_text(answer);
  check_lines(text);
  CHECK(
      says(text, "with 3 of them the belief about this one is a characteristic life of 730 days"));
  CHECK(says(text, "(0.67 times the class's own)"));
  // The one that moved it most comes first.
  CHECK(says(text,
             "From c (4 failures in 1,200 days: shorter), b (0 failures in 900 days: longer) "
             "and d (1 failure in 10 days: unmoved). To have each part stand alone: "
             "shearpin policy set borrow 0."));
  const json read = json::parse(rate_json(answer));
  CHECK(read.at("borrowed").at("life_median") == 730);
  CHECK(read.at("belief").at("life_median") == 1095);
  CHECK(read.at("borrowed").at("from").at(1).at("shift_ln_life") == -0.5);
}

TEST_CASE("a replacement age tells belief from record, and that it may never pay") {
  auto answer = rate();
  CHECK_FALSE(says(rate_text(answer), "Before it fails"));
  answer.replacement = advice::ReplacementLine{483, 0.489, 0.97, 20, 110, true};
  CHECK(says(rate_text(answer),
             "Replace before it fails at 483 days of use: that saves 49 % of "
             "what running to failure costs (a planned swap costs 20.00, a "
             "failure 110.00, days without counted). So far this is belief more "
             "than record: chance that it wears out at all 97 %, 3 failures."));
  answer.replacement->belief = false;
  CHECK(says(rate_text(answer), "Chance that it wears out 97 %."));
  CHECK_FALSE(says(rate_text(answer), "belief more than record"));
  answer.replacement->age.reset();
  CHECK(says(rate_text(answer), "Replacing before it fails never pays"));
  check_lines(rate_text(answer));
  CHECK(json::parse(rate_json(answer)).at("replacement").at("age").is_null());
}

TEST_CASE("a test interval tells the share wanted, the age and the custom") {
  auto answer = rate();
  advice::TestIntervalLine line;
  line.availability = 0.99;
  line.age = 378;
  line.interval = 23.9;
  line.class_days = 30;
  answer.test_interval = line;
  const std::string text = rate_text(answer);
  check_lines(text);
  CHECK(says(text,
             "Fails unseen: to work 99 % of the time when needed, test it every 23.9 days (it "
             "was last known good at an age of 378 days); common practice for the class: "
             "every 30 days."));
  answer.unit = "h";
  answer.test_interval->days = 12;
  answer.test_interval->age = 0;
  CHECK(says(rate_text(answer), "test it every 23.9 h, about every 12 days at the usual use"));
  const json read = json::parse(rate_json(answer)).at("test_interval");
  CHECK(read.at("interval_days") == 12);
  CHECK(read.at("age") == 0);
  CHECK(read.at("class_days") == 30);
}

TEST_CASE("a condition hurts, does no harm, or neither is proven") {
  auto answer = rate();
  answer.factors = {{"dust", 4, {1.8, 3.3, 5.9}, 0.99, 0.4, 0.3, 120},
                    {"frost", 1.5, {0.7, 1.4, 2.6}, 0.7, 0.5, 0, 60},
                    {"salt", 2, {0.3, 0.5, 0.9}, 0.05, 0.01, 0.2, 30}};
  const std::string text = rate_text(answer);
  check_lines(text);
  CHECK(says(text, "dust 4.0 times 3.3 times 1.8 to 5.9 99 % it hurts"));
  CHECK(says(text, "frost 1.5 times 1.4 times 0.70 to 2.6 70 % not proven"));
  CHECK(says(text, "salt 2.0 times 0.50 times 0.30 to 0.90 5 % it does no harm"));
  const json read = json::parse(rate_json(answer)).at("condition_factors");
  CHECK(read.at(0).at("class_factor") == 4);
  CHECK(read.at(2).at("exposed") == 30);
}

TEST_CASE("a comparison names the leader, whether it is proven and from which belief") {
  auto answer = comparison();
  const std::string text = compare_text(answer);
  check_lines(text);
  CHECK(says(text,
             "Not proven. fuse-b: Blade fuse 15 A looks the longer lived, with a chance of "
             "70 %; nine in ten either way would be called proven."));
  CHECK(says(text,
             "Median life of fuse-15a over that of fuse-b: 0.80, eight times in ten 0.40 to "
             "1.6."));
  CHECK(says(text,
             "Both are judged from one belief, that of their class: characteristic life 1,095 "
             "days (3.0 years), eight times in ten 182 to 6,574 days, shape 1.2."));
  answer.lives = {0.95, {2, 3, 4}, stats::LongerLife::first};
  answer.one_class = false;
  answer.notes = {"they are of different classes"};
  CHECK(says(compare_text(answer),
             "fuse-15a: Blade fuse 15 A lasts longer, with a chance of 95 %: "
             "of such verdicts about one in 20 is wrong."));
  CHECK(says(compare_text(answer), "half of either class's"));
  answer.lives.chance_first_longer = 1 - 1e-9;
  CHECK_FALSE(says(compare_text(answer), "is wrong"));
  const json read = json::parse(compare_json(answer));
  CHECK(read.at("verdict") == "first");
  CHECK(read.at("median_life_ratio").at("median") == 3);
  CHECK(read.at("belief").at("one_class") == false);
  CHECK(read.at("first_life").at("failures") == 3);
  CHECK(read.at("second").at("part") == "fuse-b");
  answer.lives = {0.02, {0.1, 0.2, 0.3}, stats::LongerLife::second};
  CHECK(json::parse(compare_json(answer)).at("verdict") == "second");
}
