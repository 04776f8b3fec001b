#include "shearpin/stocking/lead_demand.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <random>

#include "shearpin/base/error.hpp"

using namespace shearpin::stocking;
using shearpin::stats::LeadTimePosterior;

namespace {

DemandByDays poisson_by_days(double rate) {
  return [rate](std::span<const double> days) {
    std::vector<Pmf> pmfs;
    for (const double d : days) pmfs.push_back(poisson_pmf(rate * d));
    return pmfs;
  };
}

/// P(D <= n) by brute force: 2001 points of the trapezoid rule over +-9 spreads.
double brute_chance(double rate, const LeadTimePosterior& lead, double review, long n) {
  double sum = 0;
  double mass = 0;
  for (const auto& node : lead.nodes) {
    for (int i = 0; i <= 2000; ++i) {
      const double x = -9 + 18.0 * i / 2000;
      const double weight = node.weight * std::exp(-x * x / 2);
      const double days = review + std::exp(node.log_mean + lead.spread * x);
      mass += weight;
      sum += weight * chance_at_most(poisson_pmf(rate * days), n);
    }
  }
  return sum / mass;
}

}  // namespace

TEST_CASE("Demand over a lognormal lead time agrees with a brute-force integral") {
  const LeadTimePosterior narrow{{{std::log(6.0), 1}}, 0.48, 0, 0};
  const LeadTimePosterior wide{{{1.2, 0.2}, {1.8, 0.5}, {2.6, 0.3}}, 0.9, 0, 0};
  for (const LeadTimePosterior& lead : {narrow, wide}) {
    for (const double review : {0.0, 30.0}) {
      for (const double rate : {0.004, 0.2, 2.0}) {
        CAPTURE(review, rate, lead.spread);
        const Pmf pmf = demand_over_lead(poisson_by_days(rate), lead, review);
        for (const long n : {0L, 1L, 3L, 20L}) {
          CHECK(std::fabs(chance_at_most(pmf, n) - brute_chance(rate, lead, review, n)) < 1e-6);
        }
      }
    }
  }
}

TEST_CASE("Few stretches are asked for, none longer than announced") {
  const LeadTimePosterior lead{{{1.2, 0.2}, {1.8, 0.5}, {2.6, 0.3}}, 0.5, 0, 0};
  std::size_t asked = 0;
  double longest = 0;
  const DemandByDays counting = [&](std::span<const double> days) {
    asked += days.size();
    for (const double d : days) longest = std::max(longest, d);
    return poisson_by_days(0.02)(days);
  };
  demand_over_lead(counting, lead, 30);
  CHECK(asked < 40);
  CHECK(longest <= longest_days(lead, 30) * (1 + 1e-12));
}

TEST_CASE("A lead time without spread is a plain mixture") {
  const LeadTimePosterior lead{{{std::log(4.0), 0.25}, {std::log(9.0), 0.75}}, 0, 0, 0};
  const Pmf pmf = demand_over_lead(poisson_by_days(0.3), lead, 1);
  for (long n = 0; n < 6; ++n) {
    const double exact =
        0.25 * chance_at_most(poisson_pmf(1.5), n) + 0.75 * chance_at_most(poisson_pmf(3.0), n);
    CHECK(chance_at_most(pmf, n) == Approx(exact).margin(1e-9));
  }
}

TEST_CASE("Lead times outside the domain are refused") {
  const DemandByDays demand = poisson_by_days(1);
  CHECK_THROWS_AS(demand_over_lead(demand, {{{1, 0.5}}, 0.5, 0, 0}, 0), shearpin::InputError);
  CHECK_THROWS_AS(demand_over_lead(demand, {{{1, 1}}, -0.5, 0, 0}, 0), shearpin::InputError);
  CHECK_THROWS_AS(demand_over_lead(demand, {{{1, 1}}, 0.5, 0, 0}, -1), shearpin::InputError);
  CHECK_THROWS_AS(demand_over_log_time(
                      demand, [](double) { return 1.0; }, 2, 1, 0),
                  shearpin::InputError);
  CHECK_THROWS_AS(demand_over_log_time(
                      demand, [](double) { return 0.0; }, 1, 2, 0),
                  shearpin::NumericError);
}
