#include "base/quantity.hpp"

#include <catch2/catch.hpp>
#include <stdexcept>

#include "shearpin/base/error.hpp"

using namespace shearpin;

TEST_CASE("plain numbers are read, grouped or not") {
  CHECK(parse_number("0", "shape") == 0.0);
  CHECK(parse_number("1.4", "shape") == 1.4);
  CHECK(parse_number(".5", "shape") == 0.5);
  CHECK(parse_number("0.1", "shape") == 0.1);
  CHECK(parse_number("-2.5", "shape") == -2.5);
  CHECK(parse_number(" 12,000 ", "life") == 12000.0);
  CHECK(parse_number("1,234,567.25", "life") == 1234567.25);
  CHECK(parse_number("7 500", "life") == 7500.0);
  CHECK(parse_number("999999999999999", "life") == 999999999999999.0);
}

TEST_CASE("numbers that another program would read otherwise are refused") {
  const auto text =
      GENERATE("010", "00", "-010", "0,500", "0x10", "0X1p3", "nan", "NaN", "inf", "-inf",
               "infinity", "1e3", "1E-3", "1e999", "1,5", "12,00", "1234,567", "1,2345", "1 2",
               "7 50", "1,000 000", "1_000", "+5", "5.", ".", "-", "", " ", "1.2.3", "--5", "- 5",
               "5-", "1000000000000000", "1/2", "\xd9\xa3", "5\n6", "12.0,000");
  CAPTURE(text);
  CHECK_THROWS_AS(parse_number(text, "life"), InputError);
}

TEST_CASE("a refused number names what it is, the text and an example") {
  CHECK_THROWS_WITH(parse_number("1e3", "shape"),
                    Catch::Contains("shape \"1e3\"") && Catch::Contains("for example"));
}

TEST_CASE("a fraction of any length is read without overflow") {
  CHECK(parse_number("0." + std::string(400, '0') + "1", "share") == 0.0);
  CHECK(parse_number("0." + std::string(400, '3'), "share") == Approx(1.0 / 3));
}

TEST_CASE("counts are whole numbers within bounds") {
  CHECK(parse_count("1", "count") == 1);
  CHECK(parse_count("12,000", "count") == 12000);
  CHECK(parse_count("1000000", "count") == 1'000'000);
  CHECK(parse_count("0", "count", 0) == 0);
  CHECK(parse_count("-3", "count", -5) == -3);
  const auto text = GENERATE("0", "-1", "1000001", "99999999999999999999", "2.0", "1.5", "010",
                             "0x10", "1e3", "two", "", "3 pcs");
  CAPTURE(text);
  CHECK_THROWS_AS(parse_count(text, "count"), InputError);
}

TEST_CASE("masses are read in grams") {
  // Source: NIST SP 811 (2008), appendix B.8: 1 oz = 28.349 523 125 g, 1 lb = 453.592 37 g.
  CHECK(parse_mass_g("12g") == 12.0);
  CHECK(parse_mass_g("300 g") == 300.0);
  CHECK(parse_mass_g("12 kg") == 12000.0);
  CHECK(parse_mass_g("1.5KG") == 1500.0);
  CHECK(parse_mass_g("4 oz") == Approx(113.3980925).epsilon(1e-14));
  CHECK(parse_mass_g("2 lb") == Approx(907.18474).epsilon(1e-14));
  CHECK(parse_mass_g("1,200 g") == 1200.0);
  CHECK(parse_mass_g("0 g") == 0.0);
}

TEST_CASE("volumes are read in millilitres") {
  CHECK(parse_volume_ml("5ml") == 5.0);
  CHECK(parse_volume_ml("2.5 l") == 2500.0);
  CHECK(parse_volume_ml("2.5L") == 2500.0);
  CHECK(parse_volume_ml("1 cl") == 10.0);
  CHECK(parse_volume_ml("900 cm3") == 900.0);
  CHECK(parse_volume_ml("900 cm\u00b3") == 900.0);
}

TEST_CASE("a mass or volume without its unit is refused") {
  const auto text = GENERATE("12", "12 stone", "12 m", "kg", "-1 kg", "1e3 g", "0x1 g", "012 g",
                             "1 2 g", "1,5 kg", "nan g", "");
  CAPTURE(text);
  CHECK_THROWS_AS(parse_mass_g(text), InputError);
  CHECK_THROWS_AS(parse_volume_ml(text), InputError);
}

TEST_CASE("spans are read in days") {
  CHECK(parse_days("5", "days") == 5.0);
  CHECK(parse_days("5d", "days") == 5.0);
  CHECK(parse_days("5 days", "days") == 5.0);
  CHECK(parse_days("3 weeks", "days") == 21.0);
  CHECK(parse_days("36 h", "days") == Approx(1.5));
  CHECK(parse_days("6 months", "days") == Approx(182.625));
  CHECK(parse_days("10y", "days") == 3652.5);
  const auto text = GENERATE("-5", "5 m", "5 fortnights", "d", "", "05", "1e2 d", "inf");
  CAPTURE(text);
  CHECK_THROWS_AS(parse_days(text, "days"), InputError);
}

TEST_CASE("rates are read per day") {
  CHECK(parse_per_day("60/day", "usual rate") == 60.0);
  CHECK(parse_per_day("0.5", "usual rate") == 0.5);
  CHECK(parse_per_day("420/week", "usual rate") == Approx(60.0));
  CHECK(parse_per_day("1000/month", "usual rate") == Approx(1000 / 30.4375));
  CHECK(parse_per_day("12,000/year", "usual rate") == Approx(12000 / 365.25));
  CHECK(parse_per_day("60 per day", "usual rate") == 60.0);
  CHECK(parse_per_day("60 / day", "usual rate") == 60.0);
  const auto text = GENERATE("60/", "60 days", "60 per", "60/fortnight", "-1/day", "1e2/day",
                             "060/day", "/day", "60//day", "60/day/day", "60 km/day", "60 perday");
  CAPTURE(text);
  CHECK_THROWS_AS(parse_per_day(text, "usual rate"), InputError);
}

TEST_CASE("shares are read as per cent or fraction") {
  CHECK(parse_share("2%", "risk") == Approx(0.02));
  CHECK(parse_share("2 %", "risk") == Approx(0.02));
  CHECK(parse_share("0.02", "risk") == 0.02);
  CHECK(parse_share("100%", "risk") == 1.0);
  CHECK(parse_share("0", "risk") == 0.0);
  const auto text = GENERATE("2", "101%", "-1%", "-0.1", "1.01", "2 percent", "%", "", "1e-2");
  CAPTURE(text);
  CHECK_THROWS_AS(parse_share(text, "risk"), InputError);
}

TEST_CASE("ratings are read in amperes") {
  CHECK(parse_ampere("15A") == 15.0);
  CHECK(parse_ampere("7.5 A") == 7.5);
  CHECK(parse_ampere("250") == 250.0);
  CHECK(parse_ampere("500mA") == 0.5);
  const auto text = GENERATE("0", "0A", "-5A", "15 V", "15W", "A", "015A", "1e1A");
  CAPTURE(text);
  CHECK_THROWS_AS(parse_ampere(text), InputError);
}

TEST_CASE("exposure is read in the meter's own unit") {
  // Source: NIST SP 811 (2008), appendix B.8: 1 mi = 1.609 344 km.
  CHECK(parse_exposure("12,000 km", "km", "reading") == 12000.0);
  CHECK(parse_exposure("12000", "km", "reading") == 12000.0);
  CHECK(parse_exposure("7 500 mi", "km", "reading") == Approx(12070.08).epsilon(1e-14));
  CHECK(parse_exposure("1.609344 km", "mi", "reading") == Approx(1.0).epsilon(1e-14));
  CHECK(parse_exposure("7 500 mi", "mi", "reading") == 7500.0);
  CHECK(parse_exposure("93 h", "h", "reading") == 93.0);
  CHECK(parse_exposure("30 min", "h", "reading") == Approx(0.5));
  CHECK(parse_exposure("250 cycles", "cycles", "reading") == 250.0);
  CHECK(parse_exposure("1 cycle", "cycles", "reading") == 1.0);
  CHECK(parse_exposure("12 nights", "nights", "reading") == 12.0);
  CHECK(parse_exposure("3 weeks", "days", "reading") == 21.0);
}

TEST_CASE("exposure of another kind is refused") {
  CHECK_THROWS_AS(parse_exposure("5 km", "h", "reading"), InputError);
  CHECK_THROWS_AS(parse_exposure("5 h", "km", "reading"), InputError);
  CHECK_THROWS_AS(parse_exposure("5 days", "nights", "reading"), InputError);
  CHECK_THROWS_AS(parse_exposure("-5 km", "km", "reading"), InputError);
  CHECK_THROWS_AS(parse_exposure("5 furlongs", "km", "reading"), InputError);
  CHECK_THROWS_AS(parse_exposure("0x10", "km", "reading"), InputError);
  CHECK_THROWS_WITH(parse_exposure("5 km", "h", "reading"),
                    Catch::Contains("\"5 km\"") && Catch::Contains("1,250 h"));
}

TEST_CASE("a unit of exposure that we made up ourselves is a bug") {
  CHECK_THROWS_AS(parse_exposure("5", "furlongs", "reading"), std::logic_error);
}
