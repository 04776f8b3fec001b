#pragma once
/// Trapezoid nodes for a log posterior in (ln scale, ln shape): rows of one shape, placed where the
/// posterior is.

#include <cstddef>
#include <vector>

#include "stats/log_density.hpp"

namespace shearpin::stats {

/// Nodes [first, first + count) of the grid: equidistant in t at one z, until they are coarsened.
struct GridRow {
  double z;
  double shape;
  double step;
  std::size_t first;
  std::size_t count;
  double sd;      ///< of the row's density, about its mode
  double digits;  ///< natural logarithms that the steps leave, see row_step
};

/// weight = density * cell, relative to the density at the mode; total is their sum.
struct Grid {
  std::vector<GridRow> rows;
  std::vector<double> t;
  std::vector<double> weight;
  double total = 0;
};

/// How to lay a grid.
struct GridPlan {
  double tolerance = 1e-6;
  double lives = 1;       ///< see PosteriorOptions::lives
  double shape_step = 1;  ///< factors on the steps that the rule gives
  double scale_step = 1;
  double shape_offset =
      0;  ///< shift of all rows, in steps: 0.5 lays a second grid between the first one's rows
  double scale_offset = 0;  ///< shift of the nodes of each row, likewise
};

/// Step along a row of that deviation and shape for the chance of fewer than `lives` failures: the
/// trapezoid sum errs by e^-digits of the row.
double row_step(double sd, double shape, double lives, double digits);

/// Lays the grid about `mode` (of a proper posterior). NumericError past a million nodes.
Grid lay_grid(const LogPrior& prior, const RecordTable& table, const DensityMode& mode,
              const GridPlan& plan);

/// Grid whose predictive probabilities are good to plan.tolerance: lays the grid and one between
/// its nodes, and closes the steps until the two agree. Two trapezoid sums half a step apart err by
/// equal amounts to opposite sides, so their difference is twice the error. The agreement reached
/// is in `error`.
struct CheckedGrid {
  Grid grid;
  double error;
};
CheckedGrid checked_grid(const LogPrior& prior, const RecordTable& table, const DensityMode& mode,
                         GridPlan plan);

}  // namespace shearpin::stats
