#pragma once
/// Hazards of one Weibull life, and the exposure at which nothing is left of it.

#include <cmath>
#include <limits>

#include "shearpin/stats/weibull.hpp"

namespace shearpin::stocking {

/// A day that never comes.
inline constexpr double kNever = std::numeric_limits<double>::infinity();

/// Cumulative hazard past which a life counts as ended (survival below 3e-13).
inline constexpr double kSpentHazard = 29;

/// One life in its own unit.
class Life {
 public:
  Life(double scale, double shape) : scale_(scale), shape_(shape) {}

  double scale() const { return scale_; }
  double shape() const { return shape_; }

  /// H(age + u) - H(age), without cancellation for u much smaller than age.
  double hazard(double age, double u) const {
    if (!(u > 0)) return 0;
    if (!(age > 0)) return std::pow(u / scale_, shape_);
    if (u > age) return std::pow((age + u) / scale_, shape_) - std::pow(age / scale_, shape_);
    return std::pow(age / scale_, shape_) * std::expm1(shape_ * std::log1p(u / age));
  }

  double survival(double age, double u) const { return std::exp(-hazard(age, u)); }

  /// Density of the residual life at u > 0.
  double density(double age, double u) const {
    const double rate = shape_ / scale_ * std::pow((age + u) / scale_, shape_ - 1);
    return rate * survival(age, u);
  }

  /// The u at which hazard(age, u) reaches `hazard`, without cancellation where little is left.
  double reach(double age, double hazard) const {
    if (!(age > 0)) return scale_ * std::pow(hazard, 1 / shape_);
    const double start = std::pow(age / scale_, shape_);
    if (hazard < 0.01 * start) return age * std::expm1(std::log1p(hazard / start) / shape_);
    return scale_ * std::pow(start + hazard, 1 / shape_) - age;
  }

  /// The u at which nothing is left.
  double spent(double age) const { return reach(age, kSpentHazard); }

 private:
  double scale_;
  double shape_;
};

}  // namespace shearpin::stocking
