#include "report/display.hpp"

#include <catch2/catch.hpp>
#include <limits>
#include <stdexcept>

#include "report/phrases.hpp"
#include "sample.hpp"

using namespace shearpin;
using namespace shearpin::report;

TEST_CASE("money is shown with two decimals and grouped thousands") {
  CHECK(money_text(Money{0}) == "0.00");
  CHECK(money_text(Money{5}) == "0.05");
  CHECK(money_text(Money{450}) == "4.50");
  CHECK(money_text(Money{125'000}) == "1,250.00");
  CHECK(money_text(Money{-100'045}) == "-1,000.45");
  CHECK(money_text(Money{100'000'000'000}) == "1,000,000,000.00");
  CHECK(money_text(std::optional<Money>{}) == "not known");
}

TEST_CASE("days are shown to two figures, whole from ten on") {
  CHECK(days_text(0) == "0 days");
  CHECK(days_text(1) == "1 day");
  CHECK(days_text(3.0) == "3 days");
  CHECK(days_text(3.47) == "3.5 days");
  CHECK(days_text(9.96) == "10 days");
  CHECK(days_text(13.6) == "14 days");
  CHECK(days_text(0.031) == "0.031 days");
  CHECK(days_text(0.004) == "under 0.01 days");
  CHECK_THROWS_AS(days_text(std::numeric_limits<double>::quiet_NaN()), std::logic_error);
}

TEST_CASE("exposure is shown in its unit, with years beside long lives in days") {
  CHECK(amount_text(93, "h") == "93 h");
  CHECK(amount_text(0.5, "h") == "0.5 h");
  CHECK(amount_text(12'400.4, "km") == "12,400 km");
  CHECK(amount_text(1, "nights") == "1 night");
  CHECK(amount_text(1, "h") == "1 h");
  CHECK(amount_text(7.123, "") == "7.12");
  CHECK(amount_text(3e17, "days") == "3.00e+17 days");
  // 1,095 days are three years of 365 days; 18 years of 365.25 days are 6,574.5 days.
  CHECK(life_text(1095, "days") == "1,095 days (3.0 years)");
  CHECK(life_text(6574, "days") == "6,574 days (18 years)");
  CHECK(life_text(500, "days") == "500 days");
  CHECK(life_text(5000, "km") == "5,000 km");
}

TEST_CASE("a chance in a column keeps to two figures") {
  CHECK(short_chance(0.873) == "87 %");
  CHECK(short_chance(0.9999) == ">99.9 %");
  CHECK(short_chance(0.0001) == "<0.1 %");
  CHECK(short_chance(1) == "100 %");
}

TEST_CASE("a small cost is not shown as nothing") {
  CHECK(cost_text(0) == "0.00");
  CHECK(cost_text(0.004) == "under 0.01");
  CHECK(cost_text(1234.567) == "1,234.57");
}

TEST_CASE("fields of comma-separated values are quoted where RFC 4180 wants it") {
  // RFC 4180, section 2, rules 5 to 7.
  CHECK(csv_field("plain text") == "plain text");
  CHECK(csv_field("a,b") == "\"a,b\"");
  CHECK(csv_field("5\" hose") == "\"5\"\" hose\"");
  CHECK(csv_field("two\nlines") == "\"two\nlines\"");
  CHECK(csv_line({"a", "", "b,c"}) == "a,,\"b,c\"\n");
}

TEST_CASE("long lists of keys are cut with a count") {
  CHECK(listed({}) == "");
  CHECK(listed({"a", "b", "c"}) == "a, b and c");
  CHECK(listed({"a", "b", "c", "d"}, 2) == "a, b and 2 more");
}

TEST_CASE("days over and days left read as words") {
  CHECK(due_text(3) == "over by 3 days");
  CHECK(due_text(0) == "today");
  CHECK(due_text(-1) == "in 1 day");
}

TEST_CASE("the caution about estimates comes first and once") {
  const std::string own = closing_cautions({{"fuses", "Mind the wire."}});
  CHECK(own.rfind("Caution: These are estimates", 0) == 0);
  CHECK(sample::says(own, "Caution: Mind the wire."));
  const std::string given =
      closing_cautions({{"fuses", "Mind the wire."}, {"estimate-limits", "Only estimates."}});
  CHECK(given == "Caution: Only estimates.\nCaution: Mind the wire.\n");
}

TEST_CASE("the same caution is shown once") {
  CHECK(caution_text({}) == "");
  CHECK(caution_text({{"a", "Mind it."}, {"b", "Mind it."}}) == "Caution: Mind it.\n");
}
