#pragma once
/// The posterior of a life once more, from the formulas of prior and likelihood alone: rows of one
/// shape, in each the log density along ln scale. Shares no code with the engine, and lays its rows
/// by its own rule, closer than the engine does.

#include <algorithm>
#include <cmath>
#include <limits>
#include <span>
#include <vector>

#include "shearpin/stats/weibull_posterior.hpp"

namespace dense {

using shearpin::stats::LifeKind;
using shearpin::stats::LifeRecord;
using shearpin::stats::WeibullPrior;

inline constexpr double kGolden = 0.6180339887498949;

/// Where a function with one peak has it, within [low, high]; where it is -infinity it rises
/// towards `low` or, if `at_low`, away from it.
template <class F>
double peak(F f, double low, double high, bool empty_at_low, int steps) {
  double a = high - kGolden * (high - low);
  double b = low + kGolden * (high - low);
  double fa = f(a);
  double fb = f(b);
  for (int step = 0; step < steps; ++step) {
    const bool right = fa < fb || (std::isinf(fa) && std::isinf(fb) && empty_at_low);
    if (right) {
      low = a;
      a = b;
      fa = fb;
      b = low + kGolden * (high - low);
      fb = f(b);
    } else {
      high = b;
      b = a;
      fb = fa;
      a = high - kGolden * (high - low);
      fa = f(a);
    }
  }
  return 0.5 * (low + high);
}

/// How far from `top` to the side of `sign` f has fallen by `by`; at most `longest`.
template <class F>
double fall(F f, double top, double sign, double by, double longest) {
  const double level = f(top) - by;
  double near = 0;
  double far = 1e-7 * longest;
  while (far < longest && f(top + sign * far) > level) {
    near = far;
    far *= 2;
  }
  for (int step = 0; step < 30; ++step) {
    const double middle = 0.5 * (near + far);
    (f(top + sign * middle) > level ? near : far) = middle;
  }
  return std::min(far, longest);
}

/// ln density along t = ln scale for one shape; up to a constant that all rows share.
class Row {
 public:
  Row(const WeibullPrior& prior, std::span<const LifeRecord> records, double ln_shape)
      : shape_(std::exp(ln_shape)), mean_(std::log(prior.scale_median)), sd_(prior.ln_scale_sd()) {
    double oldest = 0;
    for (const LifeRecord& r : records) oldest = std::max(oldest, r.exit);
    ln_oldest_ = oldest > 0 ? std::log(oldest) : mean_;
    const double from_belief = (ln_shape - std::log(prior.shape_median)) / prior.shape_log_sd;
    constant_ = -0.5 * from_belief * from_belief;
    for (const LifeRecord& r : records) add(r, ln_shape);
    const auto f = [this](double t) { return value(t); };
    top_ = peak(f, mean_ - 40 * sd_ - 40, mean_ + 40 * sd_ + 40, true, 90);
    top_value_ = value(top_);
    width_ = std::min(fall(f, top_, -1, 0.5, 3 * sd_), fall(f, top_, 1, 0.5, 3 * sd_));
  }

  double shape() const { return shape_; }
  double top() const { return top_; }
  double top_value() const { return top_value_; }
  /// The nearer of the two places where the density has fallen by a half in its logarithm: one
  /// deviation of a bell.
  double width() const { return width_; }

  double value(double t) const {
    const double from_belief = (t - mean_) / sd_;
    const double from_oldest = t - ln_oldest_;
    const double thin = std::exp(-shape_ * from_oldest);
    double sum = constant_ - 0.5 * from_belief * from_belief - events_ * shape_ * from_oldest;
    if (hazard_ > 0) sum -= hazard_ * thin;
    for (const double hazard : intervals_) {
      const double h = hazard * thin;
      sum += h > 1e-300 ? std::log(-std::expm1(-h)) : std::log(hazard) - shape_ * from_oldest;
    }
    return std::isnan(sum) ? -std::numeric_limits<double>::infinity() : sum;
  }

 private:
  // (high^shape - low^shape), ages over the oldest.
  double between(double low, double high) const {
    const double ln_high = std::log(high) - ln_oldest_;
    if (!(low > 0)) return std::exp(shape_ * ln_high);
    return -std::exp(shape_ * ln_high) * std::expm1(shape_ * std::log(low / high));
  }

  void add(const LifeRecord& r, double ln_shape) {
    const bool seen = r.kind == LifeKind::failed || r.kind == LifeKind::repaired;
    if (seen) {
      events_ += 1;
      constant_ += ln_shape + (shape_ - 1) * (std::log(r.exit) - ln_oldest_);
    }
    if (r.kind == LifeKind::interval) {
      if (r.lower > r.entry) hazard_ += between(r.entry, r.lower);
      intervals_.push_back(between(r.lower, r.exit));
    } else if (r.kind != LifeKind::repaired && r.exit > r.entry) {
      hazard_ += between(r.entry, r.exit);
    }
  }

  double shape_;
  double mean_;
  double sd_;
  double ln_oldest_ = 0;
  double constant_ = 0;
  double events_ = 0;
  double hazard_ = 0;
  std::vector<double> intervals_;
  double top_ = 0;
  double top_value_ = 0;
  double width_ = 0;
};

/// Where the posterior lies across shapes.
struct Ridge {
  double ln_shape;
  double width;  ///< one deviation, the nearer of the two sides
  double ln_mass;
};

inline double ln_mass(const Row& row) { return row.top_value() + std::log(row.width()); }

inline Ridge ridge(const WeibullPrior& prior, std::span<const LifeRecord> records) {
  const auto f = [&](double z) { return ln_mass(Row(prior, records, z)); };
  const double middle = std::log(prior.shape_median);
  const double reach = 12 * prior.shape_log_sd;
  const double top = peak(f, middle - reach, middle + reach, false, 40);
  const double width = std::min(fall(f, top, -1, 0.5, reach), fall(f, top, 1, 0.5, reach));
  return {top, width, f(top)};
}

}  // namespace dense
