#pragma once
/// Slow ways to the same counts, sharing no code with the product: simulation, sums on a fine grid,
/// and numerical inversion of the Laplace transform.

#include <random>
#include <span>
#include <vector>

#include "stocking/fitted_demand.hpp"

namespace slow {

using shearpin::stats::WeibullNode;
using shearpin::stocking::Pmf;
using shearpin::stocking::UnitState;

/// Demand of all units in one simulated history: the life is drawn by the nodes' weights once, then
/// every unit runs by itself.
long simulate(std::span<const WeibullNode> nodes, std::span<const UnitState> units, double days,
              std::mt19937_64& random);

/// Relative frequencies of `runs` simulated histories.
Pmf simulated(std::span<const WeibullNode> nodes, std::span<const UnitState> units, double days,
              long runs, unsigned seed);

/// Mixture over nodes of the convolution over units, each unit by Stieltjes sums on a grid of
/// `steps` and twice as many steps over the stretch, extrapolated. Any unit with before = 0; due
/// days and renewal intervals must fall on the coarse grid. Good to about 1e-6 for shapes from 1.2
/// on.
Pmf on_a_grid(std::span<const WeibullNode> nodes, std::span<const UnitState> units, double days,
              int steps);

/// P(N >= k), k = 1 .. count, over `exposure` for a unit of age `age`, Weibull life of scale 1:
/// inversion of f_age(s) f(s)^(k-1) / s by the Euler method of Abate and Whitt (1995), in long
/// double. Good to about 1e-9 for shapes from 0.7 on; at 0.5 to 3e-8.
std::vector<double> by_laplace(double shape, double age, double exposure, int count);

}  // namespace slow
