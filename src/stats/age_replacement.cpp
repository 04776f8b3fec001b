#include "stats/age_replacement.hpp"

#include <fmt/format.h>

#include <algorithm>
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

constexpr double kSearchStep = 0.1;

void check(std::span<const WeibullNode> nodes, const ReplacementCosts& costs) {
  check_nodes(nodes);
  require_positive("the cost of a planned replacement", costs.planned);
  require_positive("the cost of a failure", costs.failure);
}

double hazard_at(const WeibullNode& node, double log_age) {
  return std::exp(node.shape * (log_age - std::log(node.scale)));
}

/// Cost of one life cut at a cumulative hazard.
double cost_of_life(const ReplacementCosts& costs, double hazard) {
  return costs.planned - (costs.failure - costs.planned) * std::expm1(-hazard);
}

double cost_rate(std::span<const WeibullNode> nodes, const ReplacementCosts& costs,
                 double log_age) {
  double sum = 0;
  for (const WeibullNode& node : nodes) {
    const double hazard = hazard_at(node, log_age);
    sum += node.weight * cost_of_life(costs, hazard) / stretch_shares(node.shape, hazard).lived;
  }
  return sum * std::exp(-log_age);
}

/// T times the derivative of the cost rate in ln T: sum of w R / L [(failure - planned) b H - N/L],
/// L the lived share of T and N the cost of a life.
double cost_slope(std::span<const WeibullNode> nodes, const ReplacementCosts& costs,
                  double log_age) {
  double sum = 0;
  for (const WeibullNode& node : nodes) {
    const double hazard = hazard_at(node, log_age);
    if (hazard > kSpentHazard) {
      continue;
    }
    const double lived = stretch_shares(node.shape, hazard).lived;
    sum += node.weight * std::exp(-hazard) / lived *
           ((costs.failure - costs.planned) * node.shape * hazard -
            cost_of_life(costs, hazard) / lived);
  }
  return sum;
}

double cost_rate_to_failure(std::span<const WeibullNode> nodes, const ReplacementCosts& costs) {
  double sum = 0;
  for (const WeibullNode& node : nodes) {
    sum += node.weight * std::exp(-std::lgamma(1 + 1 / node.shape) - std::log(node.scale));
  }
  return costs.failure * sum;
}

/// Logarithms of the ages between which a least cost can lie; low > high where none can.
struct LogRange {
  double low = std::numeric_limits<double>::infinity();
  double high = -std::numeric_limits<double>::infinity();
};

LogRange search_range(std::span<const WeibullNode> nodes, const ReplacementCosts& costs) {
  LogRange range;
  for (const WeibullNode& node : nodes) {
    // Lives that do not wear out cost the less the later they are cut: they set no end.
    if (!(node.weight > 0) || !(node.shape > 1)) {
      continue;
    }
    const double first = costs.planned / ((costs.failure - costs.planned) * node.shape);
    const double log_scale = std::log(node.scale);
    range.low = std::min(range.low, log_scale + std::log(first) / node.shape);
    range.high = std::max(range.high, log_scale + std::log(kSpentHazard) / node.shape);
  }
  return range;
}

double best_age_between(std::span<const WeibullNode> nodes, const ReplacementCosts& costs,
                        double low, double high) {
  const auto slope = [&](double log_age) { return cost_slope(nodes, costs, log_age); };
  const auto close = [](double a, double b) { return std::abs(b - a) < 1e-13 * (1 + std::abs(a)); };
  std::uintmax_t steps = 100;
  const auto [a, b] = boost::math::tools::toms748_solve(slope, low, high, close, steps);
  return 0.5 * (a + b);
}

}  // namespace

double replacement_cost_rate(std::span<const WeibullNode> nodes, const ReplacementCosts& costs,
                             double age) {
  check(nodes, costs);
  require_positive("the age of replacement", age);
  return cost_rate(nodes, costs, std::log(age));
}

AgeReplacement age_replacement(std::span<const WeibullNode> nodes, const ReplacementCosts& costs,
                               double least_gain) {
  check(nodes, costs);
  if (!(least_gain >= 0 && least_gain < 1)) {
    throw InputError(
        fmt::format("the least gain is {}: it must be a share of 0 or more and below 1, e.g. 0.05",
                    least_gain));
  }
  AgeReplacement out{};
  for (const WeibullNode& node : nodes) {
    out.chance_wears_out += node.shape > 1 ? node.weight : 0;
  }
  out.cost_rate_to_failure = cost_rate_to_failure(nodes, costs);
  out.cost_rate = out.cost_rate_to_failure;
  if (!(costs.failure > costs.planned)) {
    return out;
  }
  const LogRange range = search_range(nodes, costs);
  double best_log_age = 0;
  double best = out.cost_rate_to_failure;
  double before = -1;  // below the range the cost falls
  for (double at = range.low; at < range.high + kSearchStep; at += kSearchStep) {
    const double slope = cost_slope(nodes, costs, at);
    if (before < 0 && slope >= 0) {
      const double root =
          at > range.low ? best_age_between(nodes, costs, at - kSearchStep, at) : range.low;
      const double rate = cost_rate(nodes, costs, root);
      if (rate < best) {
        best = rate;
        best_log_age = root;
      }
    }
    before = slope;
  }
  out.gain = 1 - best / out.cost_rate_to_failure;
  if (out.gain > 0 && out.gain >= least_gain) {
    out.age = std::exp(best_log_age);
    out.cost_rate = best;
  }
  return out;
}

AgeReplacement age_replacement(const Weibull& life, const ReplacementCosts& costs,
                               double least_gain) {
  const WeibullNode node = certain(life);
  return age_replacement({&node, 1}, costs, least_gain);
}

}  // namespace shearpin::stats
