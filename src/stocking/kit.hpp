#pragma once
/// The whole kit under limits: how many of every part to carry when mass, volume, money and the
/// risk of going short are limited. Works on tables over the number of pieces; knows no names and
/// no severities. Branch and bound on the tables, which need not be convex.

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

namespace shearpin::stocking {

/// One part: tables over the pieces carried, n = 0, 1, ..., all of one length >= 1. Or a group of
/// parts that share stock: tables over the combinations of pieces, with `pieces_of_entry`; then
/// days need not follow the order of entries.
struct KitPart {
  /// Expected days without x cost of a day, >= 0, never rising with n.
  std::vector<double> days;
  /// The share of `days` that is a danger to people, >= 0, <= days, never rising; empty: none.
  std::vector<double> safety_days;
  /// use[limit][n]: what n pieces take of every limit, >= 0, in the limit's unit.
  std::vector<std::vector<double>> use;
  /// Fewer pieces than this are not allowed (what is bolted down and cannot stay at home); of a
  /// group, entries before this one.
  std::size_t least = 0;
  /// For a group: pieces in all in every entry, >= 0. Empty: entry n is n pieces.
  std::vector<long> pieces_of_entry;
};

struct KitProblem {
  std::vector<KitPart> parts;
  /// Most that may be used of every limit, finite and >= 0; the first one (mass by custom) breaks
  /// ties. A sum up to 1e-9 of the limit above it counts as within. A cap on the risk of going
  /// short is a limit too: the sum over parts of -ln P(no shortage) is at most -ln(1 - cap), the
  /// parts' demands taken as independent.
  std::vector<double> limits;
};

/// Sums over a kit.
struct KitTotals {
  double days = 0;
  double safety_days = 0;
  long pieces = 0;
  std::vector<double> use;  ///< by limit
};

/// How sure it is that nothing better exists.
struct KitProof {
  bool optimal = false;     ///< no kit within the limits is better by more than 1e-9 of the value
  double bound = 0;         ///< no kit has less than this
  double gap = 0;           ///< value - bound
  double relative_gap = 0;  ///< gap / value; 0 where both are 0
};

struct KitPlan {
  std::vector<long> pieces;  ///< by part; of a group, the entry
  KitTotals totals;
  KitProof proof;         ///< of the days, safety days being what they are
  KitProof safety_proof;  ///< of the safety days
};

struct KitAnswer {
  std::optional<KitPlan> plan;
  /// True without a plan: the work ran out before a kit was found or shown not to exist.
  bool undecided = false;
};

/// Work allowed, in looks at one (part, pieces) entry: below a second on a slow machine. When it is
/// spent the best kit found and its gap are returned: never a clock, so that the same input gives
/// the same kit.
inline constexpr double kKitWork = 1e8;

/// The kit within the limits with the least safety days and, among those (within 1e-9), the least
/// days. Of kits whose days are equal to 5e-10 the one with fewest pieces, then least use of the
/// first limit. InputError for tables or limits outside what is said above (NaN included). At most
/// half of the work goes into the safety days.
/// Method: multiple-choice knapsack with several constraints. Bounds by Lagrange multipliers
/// (Everett 1963) from the linear master of Dantzig and Wolfe (1960); entries removed by dominance
/// and reduced costs; depth-first branch and bound in bands above the bound, multipliers moved at
/// every node (Polyak 1969); iterated local search where a band is too wide to end. Citations from
/// memory. Equals exhaustive search (tests/unit/stocking/kit_exhaustive_test.cpp).
KitAnswer best_kit(const KitProblem& problem, double work = kKitWork);

/// A limit that stands in the way.
struct LimitConflict {
  std::size_t limit = 0;
  double most = 0;         ///< what is allowed
  double least_alone = 0;  ///< the least that any kit takes of it, looking at nothing else
  /// The least that any kit takes of it within all the others; empty where the others cannot be met
  /// even without it, or the work ran out before the least was known.
  std::optional<double> least_with_others;
};

/// Where there is no kit: every limit that would have to give way; all of them where no single one
/// that gives way would help. `work` for all of them together.
std::vector<LimitConflict> kit_conflicts(const KitProblem& problem, double work = kKitWork);

/// Sums for a given kit, within the limits or not. InputError where pieces are outside a table.
KitTotals kit_totals(const KitProblem& problem, std::span<const long> pieces);

/// A limit that is too small for what safety needs.
struct SafetyNeed {
  std::size_t limit = 0;
  double most = 0;    ///< what is allowed
  double needed = 0;  ///< least use with the fewest pieces that bring safety days to their least
};

/// Limits too small for the pieces that bring every part's safety days to their least (of a group
/// the first such entry), each looked at alone.
std::vector<SafetyNeed> limits_short_for_safety(const KitProblem& problem);

/// One step from kit to kit along one limit.
struct FrontierStep {
  std::size_t part = 0;
  long from = 0;  ///< pieces before
  long to = 0;    ///< pieces after
  /// Days gained (frontier) or lost (leaving) for one unit of the limit. Empty: the step takes
  /// nothing of the limit.
  std::optional<double> per_unit;
};

/// Undominated kits from `start` (pieces by part; empty: every part's `least`) to the kit that
/// cannot get better, by marginal analysis: every step is the one with the most gain for its use of
/// the limit. Steps that take nothing of it come first; equal steps in order of parts. On a part's
/// table only the lower convex hull from its start is stepped on, so one step may add several
/// pieces. No kit that holds at least the start is better than the kit after a step (once those
/// that take nothing are done) without more use; between two steps there may be others: see
/// best_kit. Other limits and safety first are not looked at. InputError for bad tables, a limit
/// that is not there, a start outside its table, or a use of the limit that falls with more pieces
/// (the entries of a group are to be in order of use).
/// Source: Fox 1966; Barlow & Proschan 1965, chapter 6 (chapter from memory).
std::vector<FrontierStep> kit_frontier(const KitProblem& problem, std::size_t limit,
                                       std::span<const long> start = {});

/// What to leave at home first: from a kit, step by step the pieces whose loss is least for what
/// they free of the limit, down to every part's `least`. Pieces that free nothing stay. `to` is
/// below `from`. InputError as above.
std::vector<FrontierStep> leave_first(const KitProblem& problem, std::size_t limit,
                                      std::span<const long> kit);

}  // namespace shearpin::stocking
