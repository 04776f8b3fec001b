#pragma once
/// A belief and histories of events that several tests start from.

#include <utility>
#include <vector>

#include "shearpin/stats/weibull_posterior.hpp"
#include "stats/event_history.hpp"

namespace shearpin::stats::testing {

inline constexpr WeibullPrior kBelief{1000, 400, 2500, 1.5, 0.35};

using Systems = std::vector<EventHistory>;

/// Watched up to `end`.
inline EventHistory timed(std::vector<double> ages, double end) {
  return {std::move(ages), end, Termination::time};
}

/// Watched up to its last event.
inline EventHistory until_failure(std::vector<double> ages) {
  const double end = ages.back();
  return {std::move(ages), end, Termination::failure};
}

}  // namespace shearpin::stats::testing
