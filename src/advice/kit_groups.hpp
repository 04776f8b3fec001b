#pragma once
/// Parts of the kit that may stand in for one another, taken together.

#include <string>
#include <vector>

#include "advice/kit_view.hpp"

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

}  // namespace shearpin::advice
