#include "stocking/lead_demand.hpp"

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
        const Pmf pmf = demand_over_lead(poisson_by_days(rate), lead, review).demand;
        for (const long n : {0L, 1L, 3L, 20L}) {
          CHECK(std::fabs(chance_at_most(pmf, n) - brute_chance(rate, lead, review, n)) < 1e-6);
        }
      }
    }
  }
}

namespace {

/// Poisson demand that jumps by a piece on each of some days and then starts anew beside the old,
/// its mean growing like a power of the time since.
struct Jumpy {
  double rate;
  double power;
  std::vector<double> days;

  /// P(D <= n) at `at` days.
  double chance(double at, long n) const {
    double mean = rate * at;
    for (const double day : days) {
      if (at < day) continue;
      --n;
      mean += rate * std::pow(at - day, power);
    }
    return n < 0 ? 0 : chance_at_most(poisson_pmf(std::min(mean, 1e3)), n);
  }

  DemandByDays demand() const {
    return [this](std::span<const double> asked) {
      std::vector<Pmf> pmfs;
      for (const double at : asked) {
        Pmf pmf;
        double before = 0;
        for (long n = 0; n < 60; ++n) {
          const double up_to = chance(at, n);
          pmf.push_back(up_to - before);
          before = up_to;
        }
        pmfs.push_back(pmf);
      }
      return pmfs;
    };
  }

  /// P(D <= n) by brute force: between the jumps 4,000 midpoints in ln L, crowded towards both ends
  /// by a cubic step.
  double brute(const LeadTimePosterior& lead, double review, long n) const {
    std::vector<double> cuts{std::log(1e-6)};
    for (const double day : days) {
      if (day > review) cuts.push_back(std::log(day - review));
    }
    cuts.push_back(std::log(1e9));
    double sum = 0;
    double mass = 0;
    for (std::size_t c = 1; c < cuts.size(); ++c) {
      for (int i = 0; i < 4000; ++i) {
        const double t = (i + 0.5) / 4000;
        const double log_days = cuts[c - 1] + (cuts[c] - cuts[c - 1]) * t * t * (3 - 2 * t);
        double weight = 0;
        for (const auto& node : lead.nodes) {
          const double x = (log_days - node.log_mean) / lead.spread;
          weight += node.weight * std::exp(-x * x / 2);
        }
        weight *= 6 * t * (1 - t) * (cuts[c] - cuts[c - 1]);
        mass += weight;
        if (weight > 1e-14) sum += weight * chance(review + std::exp(log_days), n);
      }
    }
    return sum / mass;
  }
};

}  // namespace

TEST_CASE("Where demand jumps on named days, the integral over a lead time still agrees") {
  const LeadTimePosterior narrow{{{std::log(6.0), 1}}, 0.48, 0, 0};
  const LeadTimePosterior wide{{{1.2, 0.2}, {1.8, 0.5}, {2.6, 0.3}}, 0.9, 0, 0};
  for (const LeadTimePosterior& lead : {narrow, wide}) {
    for (const double review : {0.0, 30.0}) {
      for (const Jumpy& jumpy : {Jumpy{0.02, 0.5, {3}}, Jumpy{0.02, 1.7, {36}},
                                 Jumpy{0.2, 0.7, {2, 5, 33, 41, 60}}, Jumpy{0.001, 3, {400}}}) {
        CAPTURE(review, lead.spread, jumpy.rate, jumpy.days);
        const auto found = demand_over_lead(jumpy.demand(), lead, review, jumpy.days);
        CHECK_FALSE(found.bounded);
        for (const long n : {0L, 1L, 2L, 5L}) {
          CAPTURE(n);
          CHECK(std::fabs(chance_at_most(found.demand, n) - jumpy.brute(lead, review, n)) < 1e-6);
        }
      }
    }
  }
}

TEST_CASE("A jump that nobody named gives a bound that is never too few pieces, and says so") {
  const LeadTimePosterior lead{{{std::log(6.0), 1}}, 0.48, 0, 0};
  const Jumpy jumpy{0.02, 1, {7.3}};
  const auto found = demand_over_lead(jumpy.demand(), lead, 0);
  CHECK(found.bounded);
  for (const long n : {0L, 1L, 2L}) {
    const double exact = jumpy.brute(lead, 0, n);
    CHECK(chance_at_most(found.demand, n) < exact + 1e-9);
    CHECK(chance_at_most(found.demand, n) > exact - 0.02);
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
  const Pmf pmf = demand_over_lead(poisson_by_days(0.3), lead, 1).demand;
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
