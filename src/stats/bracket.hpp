#pragma once
/// Roots found by stepping outward until the sign changes, then closing in.

#include <algorithm>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>
#include <optional>

namespace shearpin::stats {

/// Root of `f` between `from`, where f is not below 0, and the first point below 0 met going by
/// doubling steps (of the sign of `step`) no farther than `limit`; empty when there is none. Where
/// f(from) is already below 0 by rounding: `from`. To the last digits of a double.
template <class F>
std::optional<double> root_towards(F f, double from, double step, double limit) {
  constexpr double kDeep = -1e6;  // an infinite depth would spoil the interpolation
  const auto bounded = [&](double x) { return std::max(f(x), kDeep); };
  double at = from;
  double value = bounded(from);
  if (!(value > 0)) {
    return from;
  }
  while (true) {
    const bool last = step > 0 ? at + step >= limit : at + step <= limit;
    const double next = last ? limit : at + step;
    const double next_value = bounded(next);
    if (!(next_value > 0)) {
      std::uintmax_t steps = 200;
      const auto ends = at < next ? boost::math::tools::toms748_solve(
                                        bounded, at, next, value, next_value,
                                        boost::math::tools::eps_tolerance<double>(), steps)
                                  : boost::math::tools::toms748_solve(
                                        bounded, next, at, next_value, value,
                                        boost::math::tools::eps_tolerance<double>(), steps);
      return 0.5 * (ends.first + ends.second);
    }
    if (last) {
      return std::nullopt;
    }
    at = next;
    value = next_value;
    step *= 2;
  }
}

/// Root of a falling function anywhere between the limits; empty when it has one sign there.
template <class F>
std::optional<double> falling_root(F f, double guess, double lowest, double highest) {
  if (f(guess) >= 0) {
    return root_towards(f, guess, 1, highest);
  }
  return root_towards([&](double x) { return -f(x); }, guess, -1, lowest);
}

}  // namespace shearpin::stats
