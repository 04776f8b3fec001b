#pragma once
/// ln(1 - exp(-e^v)), the log-probability of a failure inside an interval of cumulative hazard e^v,
/// and its slopes in v. Concave in v, so sums of it over records stay concave in ln scale.

#include <cmath>

namespace shearpin::stats {

/// Value and first two derivatives in v.
struct IntervalLog {
  double value;
  double slope;      ///< x / (e^x - 1), x = e^v; between 0 and 1
  double curvature;  ///< never positive
};

inline constexpr double kTinyLogHazard = -37;  ///< below, 1 - exp(-x) is x to double precision
inline constexpr double kHugeHazard = 700;     ///< above, exp(-x) is 0 to double precision

inline double interval_log(double v) {
  if (v < kTinyLogHazard) {
    return v;
  }
  const double x = std::exp(v);
  if (x > kHugeHazard) {
    return 0;
  }
  return x < 0.7 ? std::log(-std::expm1(-x)) : std::log1p(-std::exp(-x));
}

inline IntervalLog interval_log_slopes(double v) {
  if (v < kTinyLogHazard) {
    return {v, 1, 0};
  }
  const double x = std::exp(v);
  if (x > kHugeHazard) {
    return {0, 0, 0};
  }
  const double slope = x / std::expm1(x);
  return {interval_log(v), slope, slope * (1 - x - slope)};
}

}  // namespace shearpin::stats
