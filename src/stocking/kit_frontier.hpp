#pragma once
/// Kits against one limit at a time: what each step of more money or mass gains, and what to leave
/// at home first.

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "stocking/kit.hpp"

namespace shearpin::stocking {

/// One step on the way and the kit's sums after it.
struct FrontierStep {
  std::size_t part = 0;
  long from = 0;  ///< pieces before
  long to = 0;    ///< pieces after
  /// Gained (frontier) or lost (leaving) for one unit of the limit, in cost of days or, for
  /// most_ready, in ln of readiness. Empty: the step takes nothing of the limit.
  std::optional<double> per_unit;
  double use = 0;  ///< of the limit, by the whole kit
  double days = 0;
  double safety_days = 0;
  double log_chance = 0;
};

/// Undominated kits from `start` (pieces by part; empty: every part's `least`) to the kit that
/// cannot get better, by marginal analysis: every step is the one with the most gain for its use of
/// the limit. Steps that take nothing of it come first; equal steps in order of parts. On a part's
/// table only the lower convex hull from its start is stepped on, so one step may add several
/// pieces. No kit that holds at least the start is better than the kit after a step (once those
/// that take nothing are done) without more use; between two steps there may be others: see
/// best_kit. Other limits, risk caps and safety first are not looked at. InputError for bad tables,
/// a limit that is not there, a start outside its table, or a use of the limit that falls with more
/// pieces (the entries of a group are to be in order of use).
/// Source: Fox 1966; Barlow & Proschan 1965, chapter 6 (chapter from memory).
std::vector<FrontierStep> kit_frontier(const KitProblem& problem, KitGoal goal, std::size_t limit,
                                       std::span<const long> start = {});

/// What to leave at home first: from a kit, step by step the pieces whose loss is least for what
/// they free of the limit, down to every part's `least`. Pieces that free nothing stay. `to` is
/// below `from`. InputError as above.
std::vector<FrontierStep> leave_first(const KitProblem& problem, KitGoal goal, std::size_t limit,
                                      std::span<const long> kit);

}  // namespace shearpin::stocking
