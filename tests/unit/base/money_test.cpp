#include "shearpin/base/money.hpp"

#include <catch2/catch.hpp>

#include "shearpin/base/error.hpp"

using namespace shearpin;

TEST_CASE("money is read as whole minor units") {
  CHECK(parse_money("4.50").minor == 450);
  CHECK(parse_money("4.5").minor == 450);
  CHECK(parse_money(" 4 ").minor == 400);
  CHECK(parse_money("0").minor == 0);
  CHECK(parse_money("0.07").minor == 7);
  CHECK(parse_money(".5").minor == 50);
  CHECK(parse_money("1,250.00").minor == 125000);
  CHECK(parse_money("1 250").minor == 125000);
  CHECK(parse_money("1000000000").minor == 100'000'000'000);
  // 1.15 and 0.29 have no exact double: 100 times them must still not lose a cent.
  CHECK(parse_money("1.15").minor == 115);
  CHECK(parse_money("0.29").minor == 29);
}

TEST_CASE("what is no amount of money is refused") {
  const auto text = GENERATE("", "-1", "4.505", "4,50", "1,25", "12,50.00", "1e3", "0x10", "nan",
                             "inf", "010", "00", "+4", "$4", "4 eur", "4.", "1000000000.01",
                             "99999999999", "1,,000", ",100", "1, 000", "--4", "4.5.0", "1_000");
  CAPTURE(text);
  CHECK_THROWS_AS(parse_money(text), InputError);
}

TEST_CASE("money prints so that it reads back") {
  CHECK(to_text(Money{450}) == "4.50");
  CHECK(to_text(Money{7}) == "0.07");
  CHECK(to_text(Money{125000}) == "1250.00");
  CHECK(to_text(Money{-7}) == "-0.07");
  for (std::int64_t minor = 0; minor < 100'000; minor += 7) {
    CHECK(parse_money(to_text(Money{minor})) == Money{minor});
  }
}

TEST_CASE("money adds, subtracts and multiplies exactly") {
  CHECK(Money{10} + Money{20} == Money{30});
  CHECK(Money{10} - Money{20} == Money{-10});
  CHECK(Money{450} * 5 == Money{2250});
  CHECK(Money{450}.major() == Approx(4.5));
}

TEST_CASE("a refused amount names the text and an accepted example") {
  CHECK_THROWS_WITH(parse_money("4,50"), Catch::Contains("\"4,50\"") && Catch::Contains("4.50"));
}
