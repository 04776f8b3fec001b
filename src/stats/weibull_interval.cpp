#include "shearpin/stats/weibull_interval.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

#include "stats/bracket.hpp"
#include "stats/check.hpp"
#include "stats/fit_mode.hpp"
#include "stats/log_density.hpp"
#include "stats/normal.hpp"
#include "stats/weibull_likelihood.hpp"

namespace shearpin::stats {
namespace {

constexpr int kShapes = 64;        // stretches of ln shape looked at before closing in
constexpr double kFarthest = 1e6;  // in ln scale: beyond any double

std::optional<double> exp_of(std::optional<double> value) {
  return value ? std::optional(std::exp(*value)) : std::nullopt;
}

/// The lives within the likelihood drop; t = ln(scale / reference), z = ln shape as in the fit.
class LikelihoodRegion {
 public:
  LikelihoodRegion(std::span<const LifeRecord> records, double level)
      : table_(fit_table(records)), best_(fit_mode(table_)), failures_(failure_count(records)) {
    require_fraction("the confidence", level);
    floor_ = best_.slopes.value - chi_square_quantile(1, level) / 2;
    const double step = 1 / std::sqrt(-best_.slopes.zz);
    const auto height = [this](double z) { return height_at(z); };
    lowest_z_ = root_towards(height, best_.z, -step, -kLargestLogShape);
    highest_z_ = root_towards(height, best_.z, step, kLargestLogShape);
  }

  LifeInterval shapes() const { return {exp_of(lowest_z_), exp_of(highest_z_)}; }

  LifeInterval scales() {
    const auto lower = lowest([&](double z) { return end_at(z, -1); });
    const auto upper = lowest([&](double z) { return -end_at(z, 1); });
    const auto to_age = [this](double t) { return std::exp(t + table_.ln_reference); };
    return {lower ? std::optional(to_age(*lower)) : std::nullopt,
            upper ? std::optional(to_age(-*upper)) : std::nullopt};
  }

 private:
  /// How far above the floor the best scale of this shape stands; leaves the row and its mode set.
  double height_at(double z) {
    row_.set({}, table_, z);
    // The best scale if all failures had come at the ends of the spans lived through.
    const double guess = std::log(row_.survived_hazard() / failures_) / row_.shape();
    row_mode_ = row_.mode(guess, 1e-11);
    return row_.value(row_mode_) - floor_;
  }

  /// The region's border at this shape, on the `side` -1 or 1 of its best scale.
  double end_at(double z, int side) {
    if (!(height_at(z) > 0)) {
      return row_mode_;
    }
    const double step = side / row_.shape();
    return root_towards([this](double t) { return row_.value(t) - floor_; }, row_mode_, step,
                        side * kFarthest)
        .value_or(side * kFarthest);
  }

  /// Least value over the region's shapes; empty when it lies where the region has no end.
  std::optional<double> lowest(const RealFunction& f) {
    const double first = lowest_z_.value_or(-kLargestLogShape);
    const double last = highest_z_.value_or(kLargestLogShape);
    const auto shape_at = [&](int i) { return first + (last - first) * i / kShapes; };
    int best = 0;
    double least = std::numeric_limits<double>::infinity();
    for (int i = 0; i <= kShapes; ++i) {
      const double value = f(shape_at(i));
      if (value < least) {
        best = i;
        least = value;
      }
    }
    if ((best == 0 && !lowest_z_) || (best == kShapes && !highest_z_)) {
      return std::nullopt;
    }
    return std::min(least, least_value(f, shape_at(std::max(0, best - 1)),
                                       shape_at(std::min(kShapes, best + 1))));
  }

  RecordTable table_;
  DensityMode best_;
  double failures_;
  double floor_ = 0;
  RowDensity row_;
  double row_mode_ = 0;
  std::optional<double> lowest_z_;
  std::optional<double> highest_z_;
};

}  // namespace

LifeInterval scale_interval(std::span<const LifeRecord> records, double level) {
  return LikelihoodRegion(records, level).scales();
}

LifeInterval shape_interval(std::span<const LifeRecord> records, double level) {
  return LikelihoodRegion(records, level).shapes();
}

}  // namespace shearpin::stats
