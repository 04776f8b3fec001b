#include "shearpin/stats/power_law_process.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <random>

#include "samples.hpp"
#include "shearpin/base/error.hpp"

using namespace shearpin;
using namespace shearpin::stats;
using namespace shearpin::stats::testing;

namespace {

/// Log-likelihood of the process as such: sum of ln intensity at the events less the events
/// expected.
double process_log_likelihood(const PowerLaw& law, const Systems& systems) {
  double sum = 0;
  for (const EventHistory& system : systems) {
    for (const double age : system.ages) {
      sum += std::log(event_intensity(law, age));
    }
    sum -= expected_events(law, system.end);
  }
  return sum;
}

/// Events of a power law to `end`: powers of a constant-rate process.
EventHistory simulated(const PowerLaw& law, double end, std::mt19937_64& random) {
  std::exponential_distribution<double> gap(1);
  EventHistory system = timed({}, end);
  for (double sum = gap(random); sum < expected_events(law, end); sum += gap(random)) {
    system.ages.push_back(std::pow(sum / law.rate, 1 / law.shape));
  }
  return system;
}

}  // namespace

TEST_CASE("The power law of a lone event, by hand") {
  // One event at T/e: ln(T/t) = 1, so shape 1 and rate 1/T; one event has no bias to correct.
  const PowerLawFit fit = power_law_fit(Systems{timed({100 / std::exp(1.0)}, 100)});
  CHECK(fit.law.shape == Approx(1));
  CHECK(fit.law.rate == Approx(0.01));
  CHECK_FALSE(fit.unbiased.has_value());
  CHECK(fit.events == 1);
}

TEST_CASE("Two events, by hand, time- and failure-terminated") {
  // t = T/e^2 and T/e: shape 2/3, corrected 1/3.
  const double e = std::exp(1.0);
  const PowerLawFit timed_fit = power_law_fit(Systems{timed({100 / (e * e), 100 / e}, 100)});
  CHECK(timed_fit.law.shape == Approx(2.0 / 3));
  CHECK(timed_fit.unbiased.value().shape == Approx(1.0 / 3));
  CHECK(timed_fit.unbiased.value().rate == Approx(2 / std::cbrt(100.0)));
  // The same and a last one at T that ended the watch: shape 3/3 = 1, corrected (3 - 2)/3.
  const PowerLawFit stopped = power_law_fit(Systems{until_failure({100 / (e * e), 100 / e, 100})});
  CHECK(stopped.law.shape == Approx(1));
  CHECK(stopped.unbiased.value().shape == Approx(1.0 / 3));
  CHECK(stopped.counted == 2);
  // Cramer-von Mises with z = (t/T)^(1/3): e^(-2/3) against 1/4, e^(-1/3) against 3/4.
  const double statistic =
      1.0 / 24 + std::pow(std::exp(-2.0 / 3) - 0.25, 2) + std::pow(std::exp(-1.0 / 3) - 0.75, 2);
  const CramerVonMises found = cramer_von_mises(Systems{timed({100 / (e * e), 100 / e}, 100)});
  CHECK(found.statistic == Approx(statistic));
  CHECK(found.points == 2);
}

TEST_CASE("Two groups, by hand") {
  // 1 event in (0, 1], 3 in (1, 2]: (1/2)^shape = 1/4, so shape 2, rate 1; nothing left to test.
  const GroupedPowerLawFit fit = power_law_fit(GroupedEvents{{0, 1, 2}, {1, 3}});
  CHECK(fit.law.shape == Approx(2));
  CHECK(fit.law.rate == Approx(1));
  CHECK(fit.expected[0] == Approx(1));
  CHECK(fit.expected[1] == Approx(3));
  CHECK(fit.chi_square == Approx(0).margin(1e-12));
  CHECK_FALSE(fit.chance.has_value());
}

TEST_CASE("The fit stands at the top of the process's own likelihood") {
  const unsigned seed = GENERATE(1u, 2u, 3u, 4u);
  INFO("seed " << seed);
  std::mt19937_64 random(seed);
  const PowerLaw truth{0.7 + 0.4 * seed, 0.02};
  Systems systems;
  for (const double end : {90.0, 30.0, 55.0, 90.0}) {
    systems.push_back(simulated(truth, end, random));
  }
  const PowerLaw law = power_law_fit(systems).law;
  const double top = process_log_likelihood(law, systems);
  for (const double nudge : {1e-3, -1e-3}) {
    CHECK(process_log_likelihood({law.shape * (1 + nudge), law.rate}, systems) < top);
    CHECK(process_log_likelihood({law.shape, law.rate * (1 + nudge)}, systems) < top);
    // Along the ridge too: the rate that goes with another shape keeps the expected total.
    PowerLaw ridge{law.shape * (1 + nudge), law.rate};
    double total = 0;
    double events = 0;
    for (const EventHistory& system : systems) {
      total += expected_events(ridge, system.end);
      events += static_cast<double>(system.ages.size());
    }
    ridge.rate *= events / total;
    CHECK(process_log_likelihood(ridge, systems) < top);
  }
}

TEST_CASE("Another unit of exposure leaves the shape and scales the rate") {
  const Systems days{timed({3, 11, 29}, 40), timed({20}, 25)};
  const Systems hours{timed({72, 264, 696}, 960), timed({480}, 600)};
  const PowerLaw in_days = power_law_fit(days).law;
  const PowerLaw in_hours = power_law_fit(hours).law;
  CHECK(in_days.shape == Approx(in_hours.shape));
  CHECK(expected_events(in_days, 40) == Approx(expected_events(in_hours, 960)));
  CHECK(cramer_von_mises(days).statistic == Approx(cramer_von_mises(hours).statistic));
}

TEST_CASE("The exact interval of the shape covers as often as it says") {
  std::mt19937_64 random(99);
  const PowerLaw truth{1.6, 0.001};
  int covered = 0;
  int runs = 0;
  for (int run = 0; run < 2000; ++run) {
    const Systems systems{simulated(truth, 150, random), simulated(truth, 80, random)};
    if (systems[0].ages.empty() && systems[1].ages.empty()) {
      continue;
    }
    const ShapeInterval interval = power_law_shape_interval(systems, 0.9);
    covered += interval.lower <= truth.shape && truth.shape <= interval.upper ? 1 : 0;
    ++runs;
  }
  // Four standard deviations: sqrt(0.09 / 2000) = 0.0067.
  CHECK(static_cast<double>(covered) / runs == Approx(0.9).margin(0.027));
}

TEST_CASE("The limits of the ending MTBF hold around it, few events leave no upper one") {
  const EventHistory system = timed({5, 40, 43, 175, 389, 712}, 1500);
  const double mtbf = 1 / event_intensity(power_law_fit(Systems{system}).unbiased.value(), 1500);
  const MtbfInterval interval = ending_mtbf_interval(system, 0.8);
  CHECK(interval.lower < mtbf);
  CHECK(mtbf < interval.upper.value());
  CHECK_FALSE(ending_mtbf_interval(timed({5, 40}, 1500), 0.99).upper.has_value());
  CHECK_THROWS_AS(ending_mtbf_interval(until_failure({5, 40}), 0.8), InputError);
  CHECK_THROWS_AS(ending_mtbf_interval(timed({5}, 40), 0.8), InputError);
}

TEST_CASE("Critical values between rows lie between them, and the last row holds beyond") {
  const double at_45 = cramer_von_mises_critical(45, 0.05);
  CHECK(at_45 > cramer_von_mises_critical(30, 0.05));
  CHECK(at_45 < cramer_von_mises_critical(60, 0.05));
  CHECK(cramer_von_mises_critical(5000, 0.01) == cramer_von_mises_critical(100, 0.01));
  CHECK_THROWS_AS(cramer_von_mises_critical(1, 0.05), InputError);
  CHECK_THROWS_WITH(cramer_von_mises_critical(9, 0.07), Catch::Contains("0.07"));
}

TEST_CASE("Where no best power law exists the fit is refused") {
  CHECK_THROWS_AS(power_law_fit(Systems{timed({}, 9)}), InputError);
  CHECK_THROWS_AS(power_law_fit(Systems{until_failure({9})}), InputError);
  CHECK_THROWS_AS(power_law_fit(Systems{timed({9, 9}, 9)}), InputError);
  CHECK_THROWS_AS(cramer_von_mises(Systems{timed({5}, 9)}), InputError);
  CHECK_THROWS_AS(power_law_shape_interval(Systems{timed({5}, 9)}, 0), InputError);
  CHECK_THROWS_AS(expected_events({0, 1}, 1), InputError);
  CHECK_THROWS_AS(event_intensity({1, 1}, 0), InputError);
}

TEST_CASE("Groups that cannot be, or set no shape, are refused") {
  const auto refused = [](const GroupedEvents& events, const std::string& word) {
    CHECK_THROWS_AS(power_law_fit(events), InputError);
    CHECK_THROWS_WITH(power_law_fit(events), Catch::Contains(word));
  };
  refused({{0, 1}, {1, 2}}, "2 edges for 2 groups");
  refused({{}, {}}, "0 edges");
  refused({{1, 2, 3}, {1, 2}}, "start at 0");
  refused({{0, 2, 2}, {1, 2}}, "ascend");
  refused({{0, 1, 2}, {1, -2}}, "-2");
  refused({{0, 1, 2}, {0, 0}}, "0 events");
  refused({{0, 1, 2}, {4, 0}}, "4 of them in the first");
  refused({{0, 1, 2}, {0, 4}}, "4 in the last");
}
