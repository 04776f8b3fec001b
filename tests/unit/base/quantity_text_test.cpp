#include <catch2/catch.hpp>
#include <cmath>
#include <limits>
#include <random>
#include <stdexcept>

#include "base/quantity.hpp"

using namespace shearpin;

TEST_CASE("plain numbers print without an exponent") {
  CHECK(plain_number(0) == "0");
  CHECK(plain_number(-0.0) == "0");
  CHECK(plain_number(0.1) == "0.1");
  CHECK(plain_number(12000) == "12000");
  CHECK(plain_number(-2.5) == "-2.5");
  CHECK(plain_number(123456789012345) == "123456789012345");
  CHECK(plain_number(0.00001) == "0.00001");
  CHECK(plain_number(1e15) == "1e+15");
}

TEST_CASE("plain numbers read back as the same number") {
  std::mt19937_64 random(20260803);
  std::uniform_real_distribution<double> exponent(-12, 14);
  for (int i = 0; i < 2000; ++i) {
    const double value = std::pow(10.0, exponent(random));
    CHECK(parse_number(plain_number(value), "value") == value);
  }
  CHECK(plain_number(std::numeric_limits<double>::denorm_min()).size() > 300);
}

TEST_CASE("significant figures are kept without an exponent") {
  CHECK(significant(0.01234, 2) == "0.012");
  CHECK(significant(12345, 2) == "12000");
  CHECK(significant(9.96, 2) == "10");
  CHECK(significant(2, 2) == "2.0");
  CHECK(significant(99.5, 3) == "99.5");
  CHECK(significant(0, 3) == "0");
  CHECK(significant(-0.00456, 1) == "-0.005");
}

TEST_CASE("masses and volumes print for people") {
  CHECK(mass_text(1200) == "1.2 kg");
  CHECK(mass_text(300) == "300 g");
  CHECK(mass_text(6) == "6 g");
  CHECK(mass_text(2.5) == "2.5 g");
  CHECK(mass_text(0.05) == "0.05 g");
  CHECK(mass_text(0) == "0 g");
  CHECK(mass_text(999.4) == "999 g");
  CHECK(mass_text(999.7) == "1 kg");
  CHECK(mass_text(80000) == "80 kg");
  CHECK(mass_text(123456) == "123 kg");
  CHECK(volume_text(2500) == "2.5 L");
  CHECK(volume_text(250) == "250 mL");
}

TEST_CASE("a chance has at most two figures and is certain only when it is") {
  CHECK(chance_text(0) == "0 %");
  CHECK(chance_text(1) == "100 %");
  CHECK(chance_text(0.87) == "87 %");
  CHECK(chance_text(0.004) == "0.4 %");
  CHECK(chance_text(0.0149) == "1.5 %");
  CHECK(chance_text(0.0996) == "10 %");
  CHECK(chance_text(0.5) == "50 %");
  CHECK(chance_text(0.994) == "99 %");
  CHECK(chance_text(0.996) == "over 99 %");
  CHECK(chance_text(0.9995) == "over 99.9 %");
  CHECK(chance_text(1 - 1e-12) == "over 99.9 %");
  CHECK(chance_text(1e-12) == "under 0.1 %");
  CHECK(chance_text(0.001) == "0.1 %");
  CHECK(chance_text(1 + 1e-12) == "100 %");
}

TEST_CASE("a value that cannot be shown is a bug") {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  CHECK_THROWS_AS(plain_number(nan), std::logic_error);
  CHECK_THROWS_AS(significant(std::numeric_limits<double>::infinity(), 2), std::logic_error);
  CHECK_THROWS_AS(mass_text(nan), std::logic_error);
  CHECK_THROWS_AS(chance_text(1.01), std::logic_error);
  CHECK_THROWS_AS(chance_text(nan), std::logic_error);
}
