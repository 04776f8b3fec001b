#pragma once
/// Log posterior density of (ln scale, ln shape), up to nothing: priors carry their constants.
/// Inside, t = ln scale - ln_reference of the record table and z = ln shape.

#include <vector>

#include "stats/record_table.hpp"

namespace shearpin::stats {

/// A shape of 8000 is no longer a life, it is an appointment.
inline constexpr double kLargestLogShape = 9;

/// Prior as far as the machinery can serve it. Precision 0 is a flat prior in that logarithm (for
/// likelihood fits). The gamma part is a prior on the rate 1/scale, Gamma(rate_shape,
/// rate_exposure), with density taken in ln scale; it exists so that the machinery can be checked
/// against the gamma-Poisson closed form.
struct LogPrior {
  double scale_mean = 0;  ///< of ln scale
  double scale_precision = 0;
  double shape_mean = 0;  ///< of ln shape
  double shape_precision = 0;
  bool shape_fixed = false;  ///< ln shape is shape_mean for certain
  double rate_shape = 0;
  double rate_exposure = 0;
};

/// Value, gradient and Hessian of the log posterior.
struct DensitySlopes {
  double value;
  double t, z;
  double tt, tz, zz;
};

/// The log posterior along ln scale for one shape: after one pass over the records, each value
/// costs O(1 + intervals). It is concave in t: normal prior, -A exp(-b t) and ln(1 - exp(-D exp(-b
/// t))) each are.
class RowDensity {
 public:
  /// Takes the sums for z; keeps its buffer, so one object serves many rows.
  void set(const LogPrior& prior, const RecordTable& table, double z);

  double value(double t) const;
  /// Its maximum, to `tolerance` standard deviations; -inf or +inf where it only rises towards that
  /// end (flat priors).
  double mode(double guess, double tolerance) const;
  /// -(second derivative).
  double curvature(double t) const;
  double shape() const { return shape_; }
  /// Sum over the spans lived through of their cumulative hazard at t = 0.
  double survived_hazard() const { return hazard_; }

 private:
  struct Interval {
    double log_hazard;
    double count;
  };
  struct Force {
    double up, down;                      ///< slope = up - down; up falls in t, down rises
    double up_curvature, down_curvature;  ///< -d up/dt, d down/dt
  };
  Force force(double t) const;

  double shape_ = 1;
  double constant_ = 0;
  double precision_ = 0;
  double mean_ = 0;
  double linear_ = 0;
  double hazard_ = 0;
  double rate_exposure_ = 0;
  std::vector<Interval> intervals_;
};

/// Full derivatives at one point: a pass over the records.
DensitySlopes density_slopes(const LogPrior& prior, const RecordTable& table, double t, double z);

/// A maximum of the log posterior and the Hessian there.
struct DensityMode {
  double t, z;
  DensitySlopes slopes;
  bool found;  ///< false: it rises without end (only with flat priors)
};

/// Follows the ridge: for each z the best t, then Newton steps in z on the profile, kept inside a
/// shrinking bracket. Exact to about 1e-10 in z.
DensityMode find_mode(const LogPrior& prior, const RecordTable& table, double first_z);

}  // namespace shearpin::stats
