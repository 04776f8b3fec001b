#include "stats/failure_finding.hpp"

#include <algorithm>
#include <boost/math/quadrature/tanh_sinh.hpp>
#include <catch2/catch.hpp>
#include <cmath>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include "shearpin/base/error.hpp"
#include "shearpin/stats/weibull_posterior.hpp"

using namespace shearpin;
using namespace shearpin::stats;

namespace {

/// The share of the interval a unit stands dead, from the formula as it is written.
double plain_unavailability(const Weibull& life, double interval, double age) {
  const auto hazard = [&](double a) { return std::pow(a / life.scale, life.shape); };
  const double spent = life.scale * std::pow(hazard(age) + 50, 1 / life.shape) - age;
  const double end = std::min(interval, spent);
  boost::math::quadrature::tanh_sinh<double> integrator;
  const double missed = integrator.integrate(
      [&](double u) { return -std::expm1(-(hazard(age + u) - hazard(age))); }, 0.0, end, 1e-12);
  return (missed + interval - end) / interval;
}

/// Belief of a shipped class; columns by their names.
WeibullPrior shipped_class(const std::string& key) {
  std::ifstream in(SHEARPIN_SOURCE_DIR "/data/classes/component-classes.csv");
  std::string header;
  std::getline(in, header);
  std::vector<std::string> names;
  std::istringstream heads(header);
  for (std::string name; std::getline(heads, name, ',');) {
    names.push_back(name);
  }
  for (std::string line; std::getline(in, line);) {
    if (line.compare(0, line.find(','), key) != 0) {
      continue;
    }
    std::istringstream fields(line);
    std::vector<std::string> values;
    for (std::string value; std::getline(fields, value, ',');) {
      values.push_back(value);
    }
    const auto field = [&](const std::string& name) {
      for (std::size_t i = 0; i < names.size(); ++i) {
        if (names[i] == name) {
          return std::stod(values.at(i));
        }
      }
      throw std::runtime_error("no such column");
    };
    return {field("life"), field("life_low"), field("life_high"), field("shape")};
  }
  throw std::runtime_error("no such class");
}

}  // namespace

TEST_CASE("Unavailability is the formula, for new and for aged units") {
  for (const double shape : {0.5, 1.0, 1.6, 3.0, 8.0}) {
    for (const double age : {0.0, 1e-4, 0.05, 0.8, 1.4}) {
      for (const double interval : {1e-3, 0.1, 0.7, 4.0, 30.0}) {
        CAPTURE(shape, age, interval);
        const WeibullNode node{300, shape, 1};
        const double found = mean_unavailability({&node, 1}, 300 * interval, 300 * age);
        // tanh-sinh meets the sharp bend of old units only to some 1e-9.
        CHECK(found == Approx(plain_unavailability({300, shape}, 300 * interval, 300 * age))
                           .epsilon(1e-7)
                           .margin(1e-10));
      }
    }
  }
}

TEST_CASE("With a constant rate the interval is the exponential one and age does not matter") {
  const Weibull life{900, 1};
  for (const double availability : {0.5, 0.9, 0.99, 0.9999, 0.999999}) {
    CAPTURE(availability);
    const double interval = failure_finding_interval(life, availability);
    const double x = interval / 900;
    CHECK(1 + std::expm1(-x) / x == Approx(1 - availability).epsilon(1e-9));
    CHECK(failure_finding_interval(life, availability, 2000) == Approx(interval).epsilon(1e-9));
    // The linear rule of reliability-centred maintenance, 2 (1 - A) MTTF (NAVAIR 00-25-403, from
    // memory), errs to the short, safe side, and by less than 8 % from 90 % on.
    const double linear = 2 * (1 - availability) * 900;
    CHECK(linear < interval);
    if (availability >= 0.9) {
      CHECK(linear > 0.92 * interval);
    }
  }
}

TEST_CASE("A unit that wears out must be tested the more often the older it is") {
  const Weibull life{1500, 1.5};
  double before = 1e9;
  for (const double age : {0.0, 100.0, 500.0, 1500.0, 3000.0}) {
    const double interval = failure_finding_interval(life, 0.99, age);
    CHECK(interval < before);
    before = interval;
  }
}

TEST_CASE("Over a posterior the mean unavailability is exactly what is allowed") {
  for (const double shape : {0.5, 1.5, 4.0, 8.0}) {
    for (const double range : {6.0, 1000.0}) {
      for (const double availability : {0.2, 0.99, 0.9999}) {
        CAPTURE(shape, range, availability);
        const double half = std::sqrt(range);
        const auto belief = weibull_posterior({700, 700 / half, 700 * half, shape, 0.35}, {});
        const double interval = failure_finding_interval(belief.nodes, availability);
        double mean = 0;
        for (const auto& node : belief.nodes) {
          // 1 - (1/t) integral R = H/(b+1) - H^2/(2 (2b+1)) + ... where H is small.
          const double hazard = std::pow(interval / node.scale, node.shape);
          mean += node.weight * (hazard < 1e-6
                                     ? hazard / (node.shape + 1)
                                     : plain_unavailability({node.scale, node.shape}, interval, 0));
        }
        CHECK(mean == Approx(1 - availability).epsilon(1e-6));
      }
    }
  }
}

TEST_CASE("What is not known of the life shortens the interval") {
  // At one median life, doubt adds lives shorter than it, and those are what the test is for.
  const double sure = failure_finding_interval({1000, 1.5}, 0.99);
  const auto narrow = weibull_posterior({1000, 700, 1430, 1.5, 0.35}, {});
  const auto wide = weibull_posterior({1000, 250, 4000, 1.5, 0.35}, {});
  const double some = failure_finding_interval(narrow.nodes, 0.99);
  const double much = failure_finding_interval(wide.nodes, 0.99);
  CHECK(some < sure);
  CHECK(much < some);
}

TEST_CASE("A breakaway switch wanted at 99 % is tested every few weeks") {
  // Common practice, no source: pulled at the start of each trip, or monthly while on the road.
  const auto belief = weibull_posterior(shipped_class("breakaway-switch"), {});
  const double new_one = failure_finding_interval(belief.nodes, 0.99);
  CHECK(new_one > 2 * 7);
  CHECK(new_one < 15 * 7);
  const std::vector<LifeRecord> passed{{LifeKind::alive, 0, 0, 730}};
  const auto two_years = weibull_posterior(shipped_class("breakaway-switch"), passed);
  const double old_one = failure_finding_interval(two_years.nodes, 0.99, 730);
  CHECK(old_one > 7);
  CHECK(old_one < 6 * 7);
}

TEST_CASE("Availabilities and intervals outside their domain are refused") {
  const Weibull life{100, 2};
  CHECK_THROWS_AS(failure_finding_interval(life, 0), InputError);
  CHECK_THROWS_AS(failure_finding_interval(life, 1), InputError);
  CHECK_THROWS_AS(failure_finding_interval(life, 0.9, -1), InputError);
  CHECK_THROWS_AS(failure_finding_interval({0, 2}, 0.9), InputError);
  const std::vector<WeibullNode> one{{100, 2, 1}};
  CHECK_THROWS_AS(mean_unavailability(one, 0), InputError);
  CHECK_THROWS_AS(mean_unavailability(std::vector<WeibullNode>{}, 1), InputError);
}
