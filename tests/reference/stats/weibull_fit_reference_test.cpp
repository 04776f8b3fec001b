#include <catch2/catch.hpp>
#include <cmath>

#include "life_sets.hpp"
#include "shearpin/stats/constant_rate.hpp"
#include "stats/weibull_fit.hpp"
#include "stats/weibull_likelihood.hpp"

using namespace shearpin::stats;
using reference::number;

namespace {

void check_relative(double found, double expected, double tolerance) {
  CHECK(found == Approx(expected).epsilon(tolerance));
}

}  // namespace

TEST_CASE("Weibull fits equal the reference fits") {
  const auto sets = reference::life_sets();
  const auto rows = reference::read("stats/weibull_fit.csv");
  REQUIRE(rows.size() == 24);
  for (const auto& row : rows) {
    INFO(row.at("id") << ": " << row.at("source"));
    const auto& records = sets.at(row.at("set"));
    const double tolerance = number(row, "tolerance");
    const WeibullFit fit = weibull_fit(records);
    check_relative(fit.life.shape, number(row, "shape"), tolerance);
    check_relative(fit.life.scale, number(row, "scale"), tolerance);
    CHECK(fit.log_likelihood == Approx(number(row, "log_likelihood")).epsilon(0).margin(tolerance));
    CHECK(log_likelihood(fit.life, records) ==
          Approx(number(row, "log_likelihood")).epsilon(0).margin(tolerance));
    if (!row.at("se_log_scale").empty()) {
      check_relative(fit.se_log_scale, number(row, "se_log_scale"), 1e-5);
      check_relative(fit.se_log_inverse_shape, number(row, "se_log_inverse_shape"), 1e-5);
    }
  }
}

TEST_CASE("The fit of the handbook's data has the printed mean and deviation") {
  // NIST/SEMATECH e-Handbook 8.4.1.3 R code prints mean 540.175, standard deviation 322.647, AIC
  // 154.24.
  const auto sets = reference::life_sets();
  const WeibullFit fit = weibull_fit(sets.at("nist55"));
  const double first = std::tgamma(1 + 1 / fit.life.shape);
  const double second = std::tgamma(1 + 2 / fit.life.shape);
  CHECK(fit.life.scale * first == Approx(540.175).margin(5e-4));
  CHECK(fit.life.scale * std::sqrt(second - first * first) == Approx(322.647).margin(5e-4));
  CHECK(4 - 2 * fit.log_likelihood == Approx(154.24).margin(5e-3));
}

TEST_CASE("Without failures a known shape leaves a lower limit of the scale") {
  // No failures at 1000, 1500, 2000, shape 2: 95 % lower limit of the scale, 1555.670098 (R 4.2.2
  // qgamma).
  const double exposure = 1e6 + 1.5 * 1.5e6 + 4e6;
  CHECK(std::sqrt(1 / rate_interval({0, exposure}, 0.95).upper) ==
        Approx(1555.670098).epsilon(1e-9));
}
