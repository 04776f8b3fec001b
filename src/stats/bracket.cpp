#include "stats/bracket.hpp"

#include <algorithm>
#include <boost/math/tools/minima.hpp>
#include <boost/math/tools/toms748_solve.hpp>
#include <cstdint>
#include <limits>
#include <utility>

namespace shearpin::stats {
namespace {

constexpr double kDeep = -1e6;  // an infinite depth would spoil the interpolation
constexpr std::uintmax_t kMostRootSteps = 200;

struct Point {
  double x;
  double value;
};

double root_between(const RealFunction& f, Point a, Point b) {
  if (a.x > b.x) {
    std::swap(a, b);
  }
  std::uintmax_t steps = kMostRootSteps;
  const auto ends = boost::math::tools::toms748_solve(
      f, a.x, b.x, a.value, b.value, boost::math::tools::eps_tolerance<double>(), steps);
  return 0.5 * (ends.first + ends.second);
}

}  // namespace

std::optional<double> root_towards(const RealFunction& f, double from, double step, double limit) {
  const RealFunction bounded = [&](double x) { return std::max(f(x), kDeep); };
  Point at{from, bounded(from)};
  if (!(at.value > 0)) {
    return from;
  }
  while (true) {
    const bool last = step > 0 ? at.x + step >= limit : at.x + step <= limit;
    Point next{last ? limit : at.x + step, 0};
    next.value = bounded(next.x);
    if (!(next.value > 0)) {
      return root_between(bounded, at, next);
    }
    if (last) {
      return std::nullopt;
    }
    at = next;
    step *= 2;
  }
}

double least_value(const RealFunction& f, double low, double high) {
  std::uintmax_t steps = kMostRootSteps;
  return boost::math::tools::brent_find_minima(f, low, high,
                                               std::numeric_limits<double>::digits / 2, steps)
      .second;
}

}  // namespace shearpin::stats
