#include "stats/failure_finding.hpp"

#include <algorithm>
#include <boost/math/quadrature/gauss.hpp>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>
#include <limits>

#include "shearpin/base/error.hpp"
#include "stats/check.hpp"
#include "stats/node_check.hpp"
#include "stats/restricted_mean.hpp"

namespace shearpin::stats {
namespace {

constexpr double kHazardPiece = 3;  // a piece of the integral loses no more than e^-3

/// H(age + u) - H(age) for age > 0; start is H(age).
double added_hazard(const WeibullNode& node, double start, double age, double u) {
  return start * std::expm1(node.shape * std::log1p(u / age));
}

/// The u > 0 with H(age + u) - H(age) = hazard.
double stretch_to(const WeibullNode& node, double age, double hazard) {
  if (!(age > 0)) {
    return std::exp(std::log(node.scale) + std::log(hazard) / node.shape);
  }
  const double log_start = node.shape * (std::log(age) - std::log(node.scale));
  return age * std::expm1(std::log1p(hazard * std::exp(-log_start)) / node.shape);
}

/// Share of the interval missed by a unit that starts at age > 0. The integrand is singular this
/// far before 0, so pieces grow no faster than their distance from there.
double missed_share(const WeibullNode& node, double interval, double age) {
  const double start = std::exp(node.shape * (std::log(age) - std::log(node.scale)));
  const double end = std::min(interval, stretch_to(node, age, kSpentHazard));
  double missed = interval - end;
  for (double at = 0; at < end;) {
    const double hazard = at > 0 ? added_hazard(node, start, age, at) : 0;
    const double next = std::min({end, 2 * at + age, stretch_to(node, age, hazard + kHazardPiece)});
    missed += boost::math::quadrature::gauss<double, 15>::integrate(
        [&](double u) { return -std::expm1(-added_hazard(node, start, age, u)); }, at, next);
    if (!(next > at)) {
      break;
    }
    at = next;
  }
  return missed / interval;
}

double unavailability(std::span<const WeibullNode> nodes, double interval, double age) {
  double sum = 0;
  for (const WeibullNode& node : nodes) {
    const double log_hazard = node.shape * (std::log(interval) - std::log(node.scale));
    sum += node.weight * (age > 0 ? missed_share(node, interval, age)
                                  : stretch_shares(node.shape, std::exp(log_hazard)).missed);
  }
  return sum;
}

}  // namespace

double mean_unavailability(std::span<const WeibullNode> nodes, double interval, double age) {
  check_nodes(nodes);
  require_positive("the test interval", interval);
  require_not_negative("the age", age);
  return unavailability(nodes, interval, age);
}

double failure_finding_interval(std::span<const WeibullNode> nodes, double availability,
                                double age) {
  check_nodes(nodes);
  require_fraction("the availability", availability);
  require_not_negative("the age", age);
  // A unit is dead for a smaller share of the interval than its chance to be dead at the end, so
  // none of the nodes reaches the unavailability before this.
  double low = std::numeric_limits<double>::infinity();
  for (const WeibullNode& node : nodes) {
    if (node.weight > 0) {
      low = std::min(low, stretch_to(node, age, -std::log(availability)));
    }
  }
  low = std::max(low, 1e-300);
  const auto excess = [&](double log_interval) {
    return unavailability(nodes, std::exp(log_interval), age) - (1 - availability);
  };
  constexpr double kWiden = 1.5;
  double log_low = std::log(low) - 1e-9;
  double log_high = log_low + kWiden;
  while (excess(log_high) < 0) {
    log_low = log_high;
    log_high += kWiden;
    if (log_high > std::log(std::numeric_limits<double>::max())) {
      throw NumericError("no test interval reaches the unavailability allowed");
    }
  }
  const auto close = [](double a, double b) { return std::abs(b - a) < 1e-13 * (1 + std::abs(a)); };
  std::uintmax_t steps = 100;
  const auto [a, b] = boost::math::tools::toms748_solve(excess, log_low, log_high, close, steps);
  return std::exp(0.5 * (a + b));
}

double failure_finding_interval(const Weibull& life, double availability, double age) {
  const WeibullNode node = certain(life);
  return failure_finding_interval({&node, 1}, availability, age);
}

}  // namespace shearpin::stats
