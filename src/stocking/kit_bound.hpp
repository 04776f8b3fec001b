#pragma once
/// Bounds by Lagrange multipliers: limits priced instead of held, so that every class chooses by
/// itself.

#include <vector>

#include "stocking/kit_choice.hpp"

namespace shearpin::stocking {

/// One price a row, >= 0.
using Multipliers = std::vector<double>;

/// cost + sum over rows of multiplier x use.
inline double priced(const Choice& choice, std::size_t option, const Multipliers& price) {
  double sum = choice.cost[option];
  const double* use = choice.uses(option);
  for (std::size_t r = 0; r < choice.rows; ++r) sum += price[r] * use[r];
  return sum;
}

/// The relaxed problem's answer at some multipliers.
struct Relaxed {
  double bound = 0;  ///< sum of the least priced options - multipliers x limits
  Picks picks;       ///< the least priced option of every class, the first of equals
};
Relaxed relaxed(const Choice& choice, const Multipliers& price);

/// The multipliers with the greatest bound that was reached.
struct Root {
  Multipliers price;
  double bound = 0;
  /// Picks met on the way, the last ones: starts for a search within the limits.
  std::vector<Picks> met;
};

/// Linear master of Dantzig and Wolfe over whole kits: rows + 1 equations, kits as columns, priced
/// out by `relaxed`. Stops at a gap of 1e-10 of the value, after 400 columns, or once the bound
/// passes `hopeless` (the cost of any kit: then no kit is within the limits). Every bound met is
/// valid, whatever the master's rounding. Adds the looks at options to `work`.
Root root_multipliers(const Choice& choice, double hopeless, double& work);

}  // namespace shearpin::stocking
