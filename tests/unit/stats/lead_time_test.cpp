#include <catch2/catch.hpp>
#include <cmath>
#include <vector>

#include "shearpin/base/error.hpp"
#include "shearpin/stats/lead_time.hpp"

using namespace shearpin;
using namespace shearpin::stats;

namespace {
const LeadTimePrior kOnline{6, 3, 14};
}

TEST_CASE("With no orders the predictive is the belief itself") {
  const auto lead = lead_time_posterior(kOnline, {}, {});
  // 0.6^2 + 0.8^2 = 1: the whole spread is that of the range.
  CHECK(lead_time_quantile(lead, 0.5) == Approx(6).epsilon(1e-8));
  CHECK(lead_time_quantile(lead, 0.9) == Approx(6 * std::sqrt(14.0 / 3)).epsilon(1e-6));
  const double sd = kOnline.ln_sd();
  CHECK(lead_time_mean(lead) == Approx(6 * std::exp(sd * sd / 2)).epsilon(1e-8));
}

TEST_CASE("Completed orders join in closed form") {
  // Normal about an unknown mean of known spread: precision 1/(0.6 sd)^2 + n/(0.8 sd)^2.
  const std::vector<double> days{12, 15, 73, 10, 14, 9, 14};
  const auto lead = lead_time_posterior(kOnline, days, {});
  const double sd = kOnline.ln_sd(), between = 0.6 * sd, within = 0.8 * sd;
  double weighted = std::log(6) / (between * between);
  double precision = 1 / (between * between);
  for (const double d : days) {
    weighted += std::log(d) / (within * within);
    precision += 1 / (within * within);
  }
  CHECK(lead_time_quantile(lead, 0.5) == Approx(std::exp(weighted / precision)).epsilon(1e-7));
  const double spread = std::sqrt(within * within + 1 / precision);
  CHECK(lead_time_quantile(lead, 0.9) ==
        Approx(std::exp(weighted / precision + 1.2815515655446004 * spread)).epsilon(1e-6));
}

TEST_CASE("An order received the same day counts as half a day") {
  const auto same_day = lead_time_posterior(kOnline, std::vector<double>{0}, {});
  const auto half = lead_time_posterior(kOnline, std::vector<double>{0.5}, {});
  CHECK(lead_time_quantile(same_day, 0.9) == lead_time_quantile(half, 0.9));
}

TEST_CASE("An open order that has waited long lengthens what is believed, a fresh one does not") {
  const auto none = lead_time_posterior(kOnline, {}, {});
  const auto fresh = lead_time_posterior(kOnline, {}, std::vector<double>{0});
  const auto late = lead_time_posterior(kOnline, {}, std::vector<double>{40});
  CHECK(lead_time_quantile(fresh, 0.9) == Approx(lead_time_quantile(none, 0.9)).epsilon(1e-9));
  CHECK(lead_time_quantile(late, 0.9) > lead_time_quantile(none, 0.9));
  CHECK(lead_time_cdf(late, 7) < lead_time_cdf(fresh, 7));
  CHECK(chance_arrived(late, 40, 7) < chance_arrived(late, 40, 14));
}

TEST_CASE("Beliefs out of order are refused") {
  CHECK_THROWS_AS(lead_time_posterior({6, 14, 3}, {}, {}), InputError);
  CHECK_THROWS_AS(lead_time_posterior(kOnline, std::vector<double>{-1}, {}), InputError);
}
