#pragma once
/// The whole kit under limits: how many of every part to carry when mass, volume, money and the
/// risk of going short are limited. Works on tables over the number of pieces; knows no names and
/// no severities. Exact: branch and bound on the tables, which need not be convex.

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

namespace shearpin::stocking {

/// One part: tables over the pieces carried, n = 0, 1, ..., all of one length >= 1.
/// Or a group of parts that share stock (shared_stock.hpp): tables over the combinations of pieces
/// worth a look, with `pieces_of_entry`; then days and chances need not follow the order of
/// entries.
struct KitPart {
  /// Expected days without x cost of a day, >= 0, never rising with n.
  std::vector<double> days;
  /// The share of `days` that is a danger to people, >= 0, <= days, never rising; empty: none.
  std::vector<double> safety_days;
  /// ln of the chance of no shortage, <= 0, never falling; -infinity is taken as kLeastLogChance.
  std::vector<double> log_chance;
  /// use[limit][n]: what n pieces take of every limit, >= 0, in the limit's unit. See pieces_use.
  std::vector<std::vector<double>> use;
  /// Fewer pieces than this are not allowed (what is bolted down and cannot stay at home); of a
  /// group, entries before this one.
  std::size_t least = 0;
  /// For a group: pieces in all in every entry, >= 0. Empty: entry n is n pieces.
  std::vector<long> pieces_of_entry;
};

inline constexpr double kLeastLogChance = -700;

/// At most this chance that any of `parts` goes short. The parts' demands are taken as independent:
/// sum of -ln P(no shortage) <= -ln(1 - most).
struct RiskCap {
  std::vector<std::size_t> parts;  ///< indices into KitProblem::parts, each once
  double most = 0.01;              ///< in (0, 1)
  /// By part of `parts` its ln P(no shortage) for this cap, by entry, <= 0 (of a group: of those
  /// members that the cap looks at); an empty table: the part's own. Empty: all the parts' own.
  std::vector<std::vector<double>> log_chance = {};
};

struct KitProblem {
  std::vector<KitPart> parts;
  /// Most that may be used of every limit, finite and >= 0; the first one (mass by custom) breaks
  /// ties. A sum up to 1e-9 of the limit above it counts as within.
  std::vector<double> limits;
  std::vector<RiskCap> risk_caps;
};

enum class KitGoal {
  least_days,  ///< least sum of `days`
  most_ready   ///< greatest sum of `log_chance`
};

struct KitOptions {
  KitGoal goal = KitGoal::least_days;
  /// First the least sum of safety_days; the goal only among kits that keep it (within 1e-9 of it).
  bool safety_first = true;
  /// Work allowed, in looks at one (part, pieces) entry; about 1.5 x 10^8 a second on a slow
  /// machine. At most half of it goes into the safety days. When it is spent the best kit found and
  /// its gap are returned: never a clock, so that the same input gives the same kit.
  double work = 1e8;
};

/// Sums over a kit.
struct KitTotals {
  double days = 0;
  double safety_days = 0;
  double log_chance = 0;
  long pieces = 0;
  std::vector<double> use;   ///< by limit
  std::vector<double> risk;  ///< by risk cap: chance that any of its parts goes short
};

/// How sure it is that nothing better exists.
struct KitProof {
  bool optimal = false;  ///< no kit within the limits is better by more than 1e-9 of the value
  double bound = 0;      ///< no kit is better than this, in the units of the value
  double gap = 0;        ///< |value - bound|
  /// gap / value for days (0 where both are 0); for readiness the share by which the product of
  /// chances may fall short of the best, 1 - exp(-gap).
  double relative_gap = 0;
};

struct KitPlan {
  std::vector<long> pieces;  ///< by part; of a group, the entry
  KitTotals totals;
  KitProof proof;         ///< of the goal, safety days being what they are
  KitProof safety_proof;  ///< of the safety days; optimal without safety_first
};

/// A limit or risk cap that stands in the way.
struct LimitConflict {
  bool is_risk_cap = false;
  std::size_t index = 0;  ///< into limits or risk_caps
  double most = 0;        ///< what is allowed
  /// The least that any kit takes of it, looking at nothing else.
  double least_alone = 0;
  /// The least that any kit takes of it within all the others; empty where the others cannot be met
  /// even without it, or the work ran out before the least was known.
  std::optional<double> least_with_others;
};

/// What came of it: a kit, or the reasons why there is none.
struct KitAnswer {
  std::optional<KitPlan> plan;
  /// Without a plan: every limit and risk cap that would have to give way.
  std::vector<LimitConflict> conflicts;
  /// True without a plan: the work ran out before a kit was found or shown not to exist.
  bool undecided = false;
};

/// The best kit under the limits. Of kits whose values are equal to 5e-10 the one with fewest
/// pieces, then least use of the first limit, is returned. InputError for tables or limits outside
/// what is said above (NaN included). The same input gives the same kit.
/// Method: multiple-choice knapsack with several constraints. Bounds by Lagrange multipliers
/// (Everett 1963) from the linear master of Dantzig and Wolfe (1960); entries removed by dominance
/// and reduced costs; depth-first branch and bound in bands above the bound, multipliers moved at
/// every node (Polyak 1969); iterated local search where a band is too wide to end. Citations from
/// memory. Equals exhaustive search (tests/unit/stocking/kit_exhaustive_test.cpp).
KitAnswer best_kit(const KitProblem& problem, const KitOptions& options = {});

/// Sums for a given kit, within the limits or not. InputError where pieces are outside a table.
KitTotals kit_totals(const KitProblem& problem, std::span<const long> pieces);

/// What a limit is short of for the parts that matter for safety.
struct SafetyNeed {
  std::size_t limit = 0;
  double most = 0;    ///< what is allowed
  double needed = 0;  ///< least use with `wanted` pieces of every part, or more
  double short_by = 0;
};

/// Limits too small to carry `wanted[j]` pieces of every part j (0 for parts that need none; of a
/// group the entry) by themselves: each looked at alone. InputError where wanted is outside a
/// table.
std::vector<SafetyNeed> limits_short_for(const KitProblem& problem, std::span<const long> wanted);

/// The pieces of every part that bring its safety days to their least, the fewest such (of a group
/// the first such entry); 0 for parts without safety days (or `least`).
std::vector<long> safest_pieces(const KitProblem& problem);

/// How pieces count against a limit.
enum class Counted {
  all_aboard,  ///< every piece, those aboard already too
  added        ///< only pieces beyond those aboard (money: only what is bought)
};

/// use[limit] of a KitPart for n = 0 .. most: per_piece x n, or per_piece x max(0, n - aboard).
/// per_piece finite and >= 0, aboard and most >= 0 (InputError).
std::vector<double> pieces_use(double per_piece, long most, long aboard, Counted counted);

/// One part's change between two kits.
struct KitChange {
  std::size_t part = 0;
  long from = 0;
  long to = 0;
};

/// Parts whose pieces differ, in order.
std::vector<KitChange> kit_changes(std::span<const long> from, std::span<const long> to);

/// What `extra` more of a limit would buy: the best kit with it, and what changes. Days and chances
/// gained are the difference of the totals.
struct KitExtra {
  KitAnswer now;
  KitAnswer with_extra;
  std::vector<KitChange> changes;  ///< empty where one of the two has no plan
};

/// Solves with limits[limit] and with limits[limit] + extra (extra may be negative, down to a limit
/// of 0: what would be lost). InputError for a limit that is not there.
KitExtra what_more_buys(const KitProblem& problem, const KitOptions& options, std::size_t limit,
                        double extra);

}  // namespace shearpin::stocking
