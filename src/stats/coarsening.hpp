#pragma once
/// Fewer nodes where less happens: a row is laid for the sharpest chance that anyone may ask of it,
/// that of many failures at small scales; at large ones few are ahead and chances are smoother.

#include <functional>

#include "stats/posterior_grid.hpp"

namespace shearpin::stats {

/// The grid with nodes of its rows left out. Each row is split by smooth windows along ln scale; a
/// window keeps every 2nd, 4th, ... node, as far as the failures ahead under it allow, with 2, 4,
/// ... times the weight. So every sum stays a sum of trapezoid sums of smooth functions, good to
/// the plan's tolerance.
///
/// failures: expected ahead at (t, shape of the row), or more; smooth in t, falling with it and no
/// faster than e^-t.
Grid coarsened(const Grid& grid, const GridPlan& plan,
               const std::function<double(double, double)>& failures);

}  // namespace shearpin::stats
