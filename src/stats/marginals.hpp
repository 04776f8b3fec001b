#pragma once
/// Densities of ln scale, of ln scale plus a function of the shape, and of ln shape, on fine grids.
/// A quantile is where an indicator steps, which the few nodes of a posterior cannot resolve; so
/// these are tabulated here and integrated by a sixth-order rule.

#include <cstddef>
#include <functional>
#include <vector>

#include "stats/posterior_grid.hpp"

namespace shearpin::stats {

/// Step of a table, in deviations of the sharpest row that weighs anything.
inline constexpr double kTableStep = 1.0 / 7;

/// Density (any factor) at first, first + step, ...; zero beyond both ends.
struct DensityTable {
  double first;
  double step;
  std::vector<double> density;
};

/// The value below which the share `probability` in (0, 1) of the table lies; good to 1e-6 in
/// probability.
double quantile(const DensityTable& table, double probability);

/// Shares of the table below any value: sums once, then each question costs a few operations.
class DensityShares {
 public:
  /// Keeps its own copy of the table.
  explicit DensityShares(DensityTable table);

  double below(double value) const;
  /// The density at table point i, scaled to integrate to 1.
  double density(std::size_t i) const { return table_.density[i] / total_; }
  const DensityTable& table() const { return table_; }

 private:
  DensityTable table_;
  std::vector<double> sums_;  ///< integral up to the start of each cell, in steps
  double steps_total_ = 0;
  double total_ = 0;
};

/// Tabulates marginal densities; rows of shapes finer than the posterior's own. Values are relative
/// to table.ln_reference. Both arguments must outlive it. NumericError past 200 000 points.
class Marginals {
 public:
  Marginals(const LogPrior& prior, const RecordTable& table);

  /// Density of t + shift(shape).
  DensityTable of(const std::function<double(double)>& shift) const;

  /// Density of ln shape: each row's mass. Not for a prior that fixes the shape.
  DensityTable of_shape() const;

 private:
  struct Moments {
    double weight, mean, sd;
  };

  void add_moments(const GridRow& row);
  double row_spacing() const;
  double ridge_step(std::size_t i, const std::function<double(double)>& shift) const;
  template <class Use>
  void for_each_row(double step, Use use) const;
  double density(const RowDensity& row, double t) const;
  double sum_away(const RowDensity& row, double t, double step) const;
  void add_row(const RowDensity& row, double mode, double shift, DensityTable& table) const;

  const LogPrior& prior_;
  const RecordTable& table_;
  DensityMode mode_;
  Grid grid_;
  std::vector<Moments> moments_;
};

}  // namespace shearpin::stats
