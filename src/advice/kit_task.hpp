#pragma once
/// The optimiser's problem made of the parts' tables, those of parts that may stand in for one
/// another taken together, and the way back from its entries to pieces.

#include <string>
#include <vector>

#include "advice/kit_view.hpp"
#include "stocking/kit.hpp"

namespace shearpin::advice {

/// What every combination of the members' pieces leaves uncovered. A combination's place in the
/// tables is entry_of.
struct KitGroup {
  std::vector<std::size_t> members;  ///< places in the list of tables
  /// By member: places in `members` of those that may stand in for it, in order of preference.
  std::vector<std::vector<std::size_t>> stand_ins;
  std::vector<char> lends;                      ///< by member: it may stand in for another
  std::vector<long> most;                       ///< pieces by member that the tables go to
  std::vector<double> days, cost, safety_cost;  ///< by entry
  /// Of no shortage, by set and entry. Sets: all members; each by itself, in order; then one for
  /// each risk cap, its members at risk (no members: 1).
  std::vector<std::vector<double>> chances;

  const std::vector<double>& chance_of_member(std::size_t member) const {
    return chances[1 + member];
  }
  const std::vector<double>& chance_of_cap(std::size_t cap) const {
    return chances[1 + members.size() + cap];
  }
  std::size_t entries() const { return days.size(); }
  /// Of pieces by member; more than the tables go to count as the most.
  std::size_t entry_of(const std::vector<long>& pieces) const;
  std::vector<long> pieces_of(std::size_t entry) const;
};

/// For every part of the list the places of those that may stand in for it at all of its places, in
/// order of preference: permanent ones first, each kind in the order declared. Never a fuse of a
/// larger or unknown rating, one recorded as forbidden, or one declared for a single position.
std::vector<std::vector<std::size_t>> stand_ins_among(const Analyst& analyst,
                                                      const std::vector<PartId>& parts);

/// The groups that declared stand-ins tie together. A part counts up to what is advised of it for
/// its own places or, to stand in, what is owned of it, aboard and ashore: nothing is bought merely
/// to stand in. `at_risk`: by risk cap and part. Where the combinations are too many the parts are
/// left apart, with a note.
std::vector<KitGroup> kit_groups(const Analyst& analyst, const std::vector<KitTable>& tables,
                                 const Window& window,
                                 const std::vector<std::vector<char>>& at_risk,
                                 std::vector<std::string>& notes);

/// What one piece takes: its own figure or its class's; nothing where nobody knows.
struct KitPiece {
  double grams = 0, millilitres = 0, price = 0;
};

/// One of the limits given, and how a piece counts against it.
struct KitLimit {
  std::string what, unit;
  double most = 0;
  double more = 0;  ///< what is asked for "a little more" of it
  double KitPiece::*of = &KitPiece::grams;
  bool added = false;   ///< pieces aboard are free
  bool bought = false;  ///< and those ashore
};

/// A kit is a number of pieces for every table, aboard after loading.
using Kit = std::vector<long>;

/// Pieces aboard as the kit counts them, with those on order that come before the departure.
std::int64_t held(const CarryLine& line);

/// Sums over a kit, or over a part of it.
struct KitSums {
  double days = 0, cost = 0, safety_cost = 0, log_chance = 0;
  std::vector<double> use;   ///< by limit
  std::vector<double> risk;  ///< by risk cap: -ln of the chance that none of its parts goes short
};

/// The limits of its problem are those given, then the risk caps.
class KitTask {
 public:
  /// `groups`: parts that stand in for one another; the others count for themselves.
  KitTask(const Analyst& analyst, const std::vector<KitTable>& tables, const KitLimits& asked,
          std::vector<KitLimit> limits, std::vector<KitGroup> groups,
          std::vector<std::vector<char>> at_risk);

  const std::vector<KitLimit>& limits() const { return limits_; }
  const std::vector<KitGroup>& groups() const { return groups_; }
  const stocking::KitProblem& problem() const { return problem_; }

  /// Parts that count for a risk cap may have some pieces more than advised.
  void allow_more();
  stocking::KitProblem with_more_of(std::size_t limit) const;

  Kit kit_of(const std::vector<long>& entries) const;
  /// What is aboard.
  Kit aboard() const;
  /// Pieces that are aboard already and do no harm to any limit need not be carried off the rig:
  /// the lightest first.
  void keep_what_fits(const std::vector<double>& limits, Kit& kit) const;

  KitSums sums(const Kit& kit) const;
  double chance(const Kit& kit, std::size_t part) const;  ///< of no shortage of one part
  double use(std::size_t limit, std::size_t part, long pieces) const;

  /// Parts whose pieces differ, one at a time: what each change takes of the limit and what it does
  /// to the days without.
  std::vector<KitStep> changes(const Kit& from, const Kit& to, std::size_t limit) const;
  /// What to leave at home first, for the limit.
  std::vector<KitStep> leave_first(const Kit& kit, std::size_t limit) const;
  /// From what is aboard to all that is advised; of a task without groups.
  std::vector<FrontierPoint> frontier(std::size_t limit) const;

 private:
  /// One part of the problem: a table, or a group with those of its entries that are allowed.
  struct Block {
    std::vector<std::size_t> tables;
    const KitGroup* group = nullptr;
    std::vector<std::size_t> entries;
  };

  void build();
  KitPiece piece_of(const CarryLine& line) const;
  bool outside(const CarryLine& line) const;
  long most_of(std::size_t table) const;
  bool allowed(const KitGroup& group, const Kit& pieces) const;
  bool risky(std::size_t table) const;
  const std::vector<double>& chances(std::size_t table) const;
  stocking::KitPart part_of(const Block& block) const;
  Kit members_of(const Block& block, const Kit& kit) const;
  void add(const Block& block, const Kit& kit, KitSums& sums) const;
  void put(const Block& block, std::size_t entry, Kit& kit) const;
  void sort_entries(Block& block, std::size_t limit) const;

  const Analyst& analyst_;
  const std::vector<KitTable>& tables_;
  KitLimits asked_;
  std::vector<KitLimit> limits_;
  std::vector<KitGroup> groups_;
  std::vector<std::vector<char>> at_risk_;  ///< by risk cap and table
  std::vector<KitPiece> pieces_;
  std::vector<char> grouped_;  ///< by table
  std::vector<Block> blocks_;
  stocking::KitProblem problem_;
  std::int64_t past_advised_ = 0;
};

}  // namespace shearpin::advice
