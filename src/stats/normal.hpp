#pragma once
/// The standard normal and chi-square laws as the classical tests need them.

#include <boost/math/special_functions/erf.hpp>
#include <boost/math/special_functions/gamma.hpp>
#include <cmath>
#include <numbers>

namespace shearpin::stats {

/// P(Z > z), accurate far out.
inline double normal_tail(double z) { return 0.5 * std::erfc(z / std::numbers::sqrt2); }

/// z with P(|Z| <= z) = level, 0 < level < 1.
inline double normal_two_sided(double level) {
  return std::numbers::sqrt2 * boost::math::erf_inv(level);
}

// A chi-square variable with d degrees of freedom is twice a gamma variable of shape d / 2.
inline double chi_square_cdf(double degrees, double x) {
  return boost::math::gamma_p(degrees / 2, x / 2);
}
inline double chi_square_tail(double degrees, double x) {
  return boost::math::gamma_q(degrees / 2, x / 2);
}
inline double chi_square_quantile(double degrees, double probability) {
  return 2 * boost::math::gamma_p_inv(degrees / 2, probability);
}
/// Exceeded with `probability`; accurate for small ones.
inline double chi_square_upper_quantile(double degrees, double probability) {
  return 2 * boost::math::gamma_q_inv(degrees / 2, probability);
}

}  // namespace shearpin::stats
