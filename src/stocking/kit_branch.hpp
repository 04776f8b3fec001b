#pragma once
/// Depth-first branch and bound below a ceiling.

#include "stocking/kit_bound.hpp"
#include "stocking/kit_choice.hpp"

namespace shearpin::stocking {

struct Branched {
  bool found = false;
  Picks picks;  ///< the cheapest below the ceiling that was met
  bool ended =
      true;         ///< all was looked at: found ones are the cheapest, none found: there are none
  double work = 0;  ///< spent
};

/// Looks for picks within the limits that cost less than `ceiling`, until `work` is spent. Rows
/// must have limits of 1 (sums are compared with an absolute slack). `price`: multipliers to start
/// from. At every node the multipliers move (Polyak 1969), options whose priced cost puts them at
/// or above the best cost known are dropped, and the class that the prices decide least is branched
/// on.
Branched branch_and_bound(const Choice& choice, const Multipliers& price, double ceiling,
                          double work);

}  // namespace shearpin::stocking
