#include "stats/log_density.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "stats/cloglog.hpp"

namespace shearpin::stats {
namespace {

constexpr double kInfinity = std::numeric_limits<double>::infinity();
constexpr double kHugeExponent = 500;
constexpr int kMostModeSteps = 200;

double normal_constant(double precision) {
  return precision > 0 ? 0.5 * std::log(precision / (2 * std::numbers::pi)) : 0;
}

double gamma_constant(const LogPrior& prior) {
  return prior.rate_exposure > 0
             ? prior.rate_shape * std::log(prior.rate_exposure) - std::lgamma(prior.rate_shape)
             : 0;
}

double squared(double x) { return x * x; }

}  // namespace

void RowDensity::set(const LogPrior& prior, const RecordTable& table, double z) {
  shape_ = std::exp(z);
  precision_ = prior.scale_precision;
  mean_ = prior.scale_mean - table.ln_reference;
  linear_ = table.events * shape_ + prior.rate_shape;
  rate_exposure_ = prior.rate_exposure * std::exp(-table.ln_reference);
  constant_ = normal_constant(precision_) + gamma_constant(prior) -
              prior.rate_shape * table.ln_reference + table.events * (z - table.ln_reference) +
              (shape_ - 1) * table.sum_ln_event;
  if (!prior.shape_fixed) {
    constant_ += normal_constant(prior.shape_precision) -
                 0.5 * prior.shape_precision * squared(z - prior.shape_mean);
  }
  hazard_ = 0;
  for (const AgeSpan& span : table.survived) {
    hazard_ += span.count * hazard(span, shape_);
  }
  intervals_.clear();
  for (const AgeSpan& span : table.intervals) {
    intervals_.push_back({log_hazard(span, shape_), span.count});
  }
}

double RowDensity::value(double t) const {
  double sum = constant_ - 0.5 * precision_ * squared(t - mean_) - linear_ * t;
  if (hazard_ > 0) {
    sum -= hazard_ * std::exp(-shape_ * t);
  }
  if (rate_exposure_ > 0) {
    sum -= rate_exposure_ * std::exp(-t);
  }
  for (const Interval& interval : intervals_) {
    sum += interval.count * interval_log(interval.log_hazard - shape_ * t);
  }
  return sum;
}

RowDensity::Force RowDensity::force(double t) const {
  const double survived = hazard_ > 0 ? hazard_ * std::exp(-shape_ * t) : 0;
  const double rate = rate_exposure_ > 0 ? rate_exposure_ * std::exp(-t) : 0;
  Force force{shape_ * survived + rate, precision_ * (t - mean_) + linear_,
              shape_ * shape_ * survived + rate, precision_};
  for (const Interval& interval : intervals_) {
    const IntervalLog log = interval_log_slopes(interval.log_hazard - shape_ * t);
    force.down += interval.count * shape_ * log.slope;
    force.down_curvature -= interval.count * shape_ * shape_ * log.curvature;
  }
  return force;
}

double RowDensity::curvature(double t) const {
  const Force at = force(t);
  return at.up_curvature + at.down_curvature;
}

double RowDensity::mode(double guess, double tolerance) const {
  double low = -kInfinity;
  double high = kInfinity;
  double t = guess;
  for (int step = 0; step < kMostModeSteps; ++step) {
    const double exponent = -shape_ * t + (hazard_ > 0 ? std::log(shape_ * hazard_) : 0);
    if (hazard_ > 0 && exponent > kHugeExponent) {
      low = std::max(low, t);
      t += (exponent - kHugeExponent / 2) / shape_;
      continue;
    }
    const Force at = force(t);
    const double slope = at.up - at.down;
    (slope > 0 ? low : high) = t;
    double move;
    if (at.down > 0 && at.up > 2 * at.down) {
      // Left of the mode the exponential rules and a plain step gains only 1/shape: step on ln up =
      // ln down instead.
      // Where `down` is next to nothing its logarithm is steep and that step dies: the plain one
      // does not.
      move = std::max(
          std::log(at.up / at.down) / (at.up_curvature / at.up + at.down_curvature / at.down),
          slope / (at.up_curvature + at.down_curvature));
    } else {
      move = slope / (at.up_curvature + at.down_curvature);
    }
    const double sd = 1 / std::sqrt(at.up_curvature + at.down_curvature);
    if (std::abs(move) <= tolerance * std::min(sd, 1.0)) {
      return t + move;
    }
    double next = t + move;
    if (!(next > low && next < high)) {
      if (std::isinf(low) && std::isinf(high)) {
        return slope > 0 ? kInfinity : -kInfinity;
      }
      next = std::isinf(low) ? high - 1 : std::isinf(high) ? low + 1 : 0.5 * (low + high);
    }
    if (std::abs(next) > 1e6) {
      return next > 0 ? kInfinity : -kInfinity;
    }
    t = next;
  }
  return t;
}

DensitySlopes density_slopes(const LogPrior& prior, const RecordTable& table, double t, double z) {
  RowDensity row;
  row.set(prior, table, z);
  const double shape = std::exp(z);
  const double from_mean = t + table.ln_reference - prior.scale_mean;
  const double rate = prior.rate_exposure * std::exp(-t - table.ln_reference);
  DensitySlopes d{row.value(t), 0, 0, 0, 0, 0};
  // A known failure gives ln h = z + b (ln a - t) - ln a.
  const double sum_q = shape * (table.sum_ln_event - table.events * t);
  d.t = -prior.scale_precision * from_mean - table.events * shape - prior.rate_shape + rate;
  d.z = table.events + sum_q;
  d.tt = -prior.scale_precision - rate;
  d.tz = -table.events * shape;
  d.zz = sum_q;
  if (!prior.shape_fixed) {
    d.z -= prior.shape_precision * (z - prior.shape_mean);
    d.zz -= prior.shape_precision;
  }
  for (const AgeSpan& span : table.survived) {
    const LogHazard log = log_hazard_slopes(span, shape);
    const double h = span.count * std::exp(log.value - shape * t);
    const double q = log.slope - shape * t;
    d.t += h * shape;
    d.z -= h * q;
    d.tt -= h * shape * shape;
    d.tz += h * shape * (1 + q);
    d.zz -= h * (q * q + log.curvature - shape * t);
  }
  for (const AgeSpan& span : table.intervals) {
    const LogHazard log = log_hazard_slopes(span, shape);
    const IntervalLog term = interval_log_slopes(log.value - shape * t);
    const double q = log.slope - shape * t;
    d.t -= span.count * shape * term.slope;
    d.z += span.count * q * term.slope;
    d.tt += span.count * shape * shape * term.curvature;
    d.tz -= span.count * shape * (term.slope + q * term.curvature);
    d.zz += span.count * (q * q * term.curvature + (log.curvature - shape * t) * term.slope);
  }
  return d;
}

DensityMode find_mode(const LogPrior& prior, const RecordTable& table, double first_z) {
  double low = -kInfinity;
  double high = kInfinity;
  const double first_t = prior.scale_precision > 0 ? prior.scale_mean - table.ln_reference : 0;
  DensityMode best{first_t, first_z, {}, true};
  RowDensity row;
  for (int step = 0; step < kMostModeSteps; ++step) {
    row.set(prior, table, best.z);
    best.t = row.mode(best.t, 1e-11);
    if (std::isinf(best.t)) {
      best.found = false;
      return best;
    }
    best.slopes = density_slopes(prior, table, best.t, best.z);
    if (prior.shape_fixed) {
      return best;
    }
    // Along the ridge the slope in z is the partial one, since the slope in t is 0 there.
    const double slope = best.slopes.z;
    const double bend = best.slopes.zz - squared(best.slopes.tz) / best.slopes.tt;
    (slope > 0 ? low : high) = best.z;
    const double move = bend < 0 ? std::clamp(-slope / bend, -0.7, 0.7) : std::copysign(0.7, slope);
    if (std::abs(move) < 1e-11) {
      return best;
    }
    double next = best.z + move;
    if (!(next > low && next < high)) {
      next = std::isinf(low) || std::isinf(high) ? best.z + std::copysign(0.7, slope)
                                                 : 0.5 * (low + high);
    }
    if (!(std::abs(next) < kLargestLogShape)) {
      best.found = false;
      return best;
    }
    best.z = next;
  }
  return best;
}

}  // namespace shearpin::stats
