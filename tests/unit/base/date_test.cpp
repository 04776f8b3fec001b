#include "shearpin/base/date.hpp"

#include <catch2/catch.hpp>
#include <string>

#include "shearpin/base/error.hpp"

using namespace shearpin;

namespace {

Date day(int year, unsigned month, unsigned d) {
  return std::chrono::year(year) / std::chrono::month(month) / std::chrono::day(d);
}

// A Monday.
const Date kToday = day(2026, 8, 3);

std::string read(const std::string& text) { return to_text(parse_date(text, kToday)); }

}  // namespace

TEST_CASE("a calendar date reads and prints as ISO 8601") {
  CHECK(parse_date("2026-08-03", kToday) == day(2026, 8, 3));
  CHECK(read(" 2024-02-29 ") == "2024-02-29");
  CHECK(read("1950-01-01") == "1950-01-01");
  CHECK(read("2199-12-31") == "2199-12-31");
}

TEST_CASE("a month means its first day") { CHECK(read("2025-10") == "2025-10-01"); }

TEST_CASE("today, yesterday and days ago count from the given day") {
  CHECK(read("today") == "2026-08-03");
  CHECK(read(" Yesterday") == "2026-08-02");
  CHECK(read("3d ago") == "2026-07-31");
  CHECK(read("3 d ago") == "2026-07-31");
  CHECK(read("3 days ago") == "2026-07-31");
  CHECK(read("1 day ago") == "2026-08-02");
  CHECK(read("2 Weeks  Ago") == "2026-07-20");
  CHECK(read("2w ago") == "2026-07-20");
}

TEST_CASE("last weekday is the latest one before today") {
  CHECK(read("last friday") == "2026-07-31");
  CHECK(read("last sunday") == "2026-08-02");
  CHECK(read("Last Fri") == "2026-07-31");
  // Today is a Monday, so the last one is a week back.
  CHECK(read("last monday") == "2026-07-27");
}

TEST_CASE("a week code means the Monday of the ISO week") {
  // Source: GNU coreutils 9.1, `date -d 2022-04-18 +%G-W%V-%u` prints 2022-W16-1, and likewise
  // below.
  CHECK(read("1622") == "2022-04-18");
  CHECK(read("2022-W16") == "2022-04-18");
  CHECK(read("0120") == "2019-12-30");
  CHECK(read("5320") == "2020-12-28");
  CHECK(read("0121") == "2021-01-04");
  CHECK(read("5226") == "2026-12-21");
}

TEST_CASE("a year alone is not taken for a week code") {
  REQUIRE_THROWS_WITH(read("2027"), Catch::Matchers::Contains("2027-01-01") &&
                                        Catch::Matchers::Contains("2027-W20"));
  // GNU coreutils 9.1: `date -d 2027-05-17 +%G-W%V` prints 2027-W20; the day is a Monday.
  CHECK(read("2027-W20") == "2027-05-17");
}

TEST_CASE("a week that its year does not have is refused") {
  // Source: GNU coreutils 9.1, `date -d 2021-12-28 +%V` prints 52: 2021 has 52 weeks.
  CHECK_THROWS_AS(parse_date("5321", kToday), InputError);
  CHECK_THROWS_AS(parse_date("0022", kToday), InputError);
  CHECK_THROWS_AS(parse_date("5422", kToday), InputError);
}

TEST_CASE("what is no date is refused") {
  const auto text =
      GENERATE("2025-02-30", "2025-02-29", "2025-13-01", "2025-00-10", "2025-1-1", "03.08.2026",
               "8/3/2026", "20260803", "", "   ", "soon", "ago", "d ago", "-3d ago", "3 months ago",
               "0x3d ago", "last", "last fr", "last fridays", "last friday night", "2025-10-",
               "2025-10-01-02", "2025-+1-01", "12345", "3d", "tomorrow");
  CAPTURE(text);
  CHECK_THROWS_AS(parse_date(text, kToday), InputError);
}

TEST_CASE("a date outside the years kept is refused") {
  CHECK_THROWS_AS(parse_date("1949-12-31", kToday), InputError);
  CHECK_THROWS_AS(parse_date("2200-01-01", kToday), InputError);
  CHECK_THROWS_AS(parse_date("99999d ago", kToday), InputError);
}

TEST_CASE("a refused date names the text and an accepted example") {
  CHECK_THROWS_WITH(parse_date("2025-02-30", kToday),
                    Catch::Contains("\"2025-02-30\"") && Catch::Contains("2026-08-03"));
}

TEST_CASE("days between two dates are signed") {
  CHECK(days_between(day(2024, 2, 28), day(2024, 3, 1)) == 2);
  CHECK(days_between(day(2024, 3, 1), day(2024, 2, 28)) == -2);
  CHECK(days_between(kToday, kToday) == 0);
}

TEST_CASE("every day kept reads back from its own text") {
  for (Date date = day(1950, 1, 1); date <= day(2199, 12, 31); date += std::chrono::days(1)) {
    if (parse_date(to_text(date), kToday) != date) {
      FAIL("does not read back: " << to_text(date));
    }
  }
}
