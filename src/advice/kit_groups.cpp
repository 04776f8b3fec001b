#include "advice/kit_task.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

#include "advice/outlook.hpp"
#include "advice/parallel.hpp"
#include "base/text.hpp"
#include "domain/plan_fitting.hpp"
#include "stocking/stand_ins.hpp"

namespace shearpin::advice {
namespace {

/// Combinations of a group that are looked at; a pair of parts has some dozens.
constexpr std::size_t kMostEntries = 4096;

using StandIns = std::vector<std::vector<std::size_t>>;

/// Lists of parts that are tied to each other, those that are tied to none left out.
std::vector<std::vector<std::size_t>> tied(const StandIns& stand_ins) {
  std::vector<std::size_t> group(stand_ins.size());
  std::iota(group.begin(), group.end(), std::size_t{0});
  for (std::size_t i = 0; i < stand_ins.size(); ++i) {
    for (const std::size_t j : stand_ins[i]) {
      const std::size_t from = std::max(group[i], group[j]), to = std::min(group[i], group[j]);
      std::replace(group.begin(), group.end(), from, to);
    }
  }
  std::map<std::size_t, std::vector<std::size_t>> lists;
  for (std::size_t i = 0; i < group.size(); ++i) {
    lists[group[i]].push_back(i);
  }
  std::vector<std::vector<std::size_t>> result;
  for (auto& [first, members] : lists) {
    if (members.size() > 1) {
      result.push_back(std::move(members));
    }
  }
  return result;
}

double chance_at(const KitTable& table, long n) {
  return table.chances[std::min(static_cast<std::size_t>(n), table.chances.size() - 1)];
}

bool contains(const std::vector<std::size_t>& places, std::size_t place) {
  return std::find(places.begin(), places.end(), place) != places.end();
}

/// The group without its tables: who stands in for whom, and how many pieces are looked at of each:
/// what a kit may hold, and some more for risk caps.
KitGroup group_of(const std::vector<KitTable>& tables, const StandIns& stand_ins,
                  std::vector<std::size_t> members) {
  KitGroup group;
  group.members = std::move(members);
  for (const std::size_t member : group.members) {
    auto& places = group.stand_ins.emplace_back();
    for (const std::size_t other : stand_ins[member]) {
      const auto at = std::find(group.members.begin(), group.members.end(), other);
      places.push_back(static_cast<std::size_t>(at - group.members.begin()));
    }
  }
  for (std::size_t k = 0; k < group.members.size(); ++k) {
    const CarryLine& line = tables[group.members[k]].line;
    const std::int64_t own = line.carry + kPastAdvised;
    std::int64_t wanted = own;
    bool lends = false;
    for (std::size_t j = 0; j < group.members.size(); ++j) {
      if (contains(group.stand_ins[j], k)) {
        lends = true;
        wanted += tables[group.members[j]].line.carry;
      }
    }
    const auto owned = line.stock.aboard + line.stock.arriving + line.stock.ashore;
    group.lends.push_back(lends ? 1 : 0);
    group.most.push_back(static_cast<long>(std::max(own, std::min(owned, wanted))));
  }
  return group;
}

bool too_many(const KitGroup& group) {
  double all = 1;
  for (const long most : group.most) {
    all *= static_cast<double>(most + 1);
  }
  return all > static_cast<double>(kMostEntries);
}

std::string keys_of(const KitGroup& group, const std::vector<KitTable>& tables) {
  std::vector<std::string> keys;
  for (const std::size_t member : group.members) {
    keys.push_back(tables[member].line.part);
  }
  return join_words(keys);
}

/// The places that shall not be short together: see KitGroup::chances.
std::vector<std::vector<std::size_t>> sets_of(const KitGroup& group,
                                              const std::vector<std::vector<char>>& at_risk) {
  std::vector<std::vector<std::size_t>> sets(1);
  for (std::size_t k = 0; k < group.members.size(); ++k) {
    sets.front().push_back(k);
    sets.push_back({k});
  }
  for (const auto& risky : at_risk) {
    auto& set = sets.emplace_back();
    for (std::size_t k = 0; k < group.members.size(); ++k) {
      if (risky[group.members[k]] != 0) {
        set.push_back(k);
      }
    }
  }
  return sets;
}

/// Every part's own figures, and what standing in changes.
void add_tables(const Analyst& analyst, const std::vector<KitTable>& tables, const Window& window,
                const std::vector<std::vector<char>>& at_risk, KitGroup& group) {
  std::vector<stocking::StandInPart> asked;
  for (std::size_t k = 0; k < group.members.size(); ++k) {
    const auto& line = tables[group.members[k]].line;
    const Outlook part = outlook_of(analyst, line.id, window);
    asked.push_back(
        {part.input, part.plan, part.unit_costs(), part.extra_cost(), group.stand_ins[k]});
  }
  std::size_t entries = 1;
  for (const long most : group.most) {
    entries *= static_cast<std::size_t>(most + 1);
  }
  std::vector<std::vector<long>> stocks;
  for (std::size_t e = 0; e < entries; ++e) {
    stocks.push_back(group.pieces_of(e));
  }
  const auto sets = sets_of(group, at_risk);
  const auto gains = stocking::stand_in_gains(asked, stocks, sets);
  group.chances.resize(sets.size());
  for (std::size_t e = 0; e < entries; ++e) {
    double days = gains[e].days, cost = gains[e].cost, safety = gains[e].safety;
    for (std::size_t k = 0; k < stocks[e].size(); ++k) {
      const KitTable& table = tables[group.members[k]];
      days += left_by(table.days, stocks[e][k]);
      cost += left_by(table.cost, stocks[e][k]);
      safety += left_by(table.safety_cost, stocks[e][k]);
    }
    group.days.push_back(std::max(0.0, days));
    group.cost.push_back(std::max(0.0, cost));
    group.safety_cost.push_back(std::clamp(safety, 0.0, group.cost.back()));
    for (std::size_t s = 0; s < sets.size(); ++s) {
      double chance = 1;
      for (const std::size_t k : sets[s]) {
        chance *= chance_at(tables[group.members[k]], stocks[e][k]);
      }
      group.chances[s].push_back(std::clamp(chance + gains[e].chance[s], 0.0, 1.0));
    }
  }
}

}  // namespace

std::size_t KitGroup::entry_of(const std::vector<long>& pieces) const {
  std::size_t entry = 0;
  for (std::size_t k = 0; k < members.size(); ++k) {
    entry = entry * static_cast<std::size_t>(most[k] + 1) +
            static_cast<std::size_t>(std::min(pieces[k], most[k]));
  }
  return entry;
}

std::vector<long> KitGroup::pieces_of(std::size_t entry) const {
  std::vector<long> pieces(members.size());
  for (std::size_t k = members.size(); k-- > 0;) {
    const auto size = static_cast<std::size_t>(most[k] + 1);
    pieces[k] = static_cast<long>(entry % size);
    entry /= size;
  }
  return pieces;
}

std::vector<std::vector<std::size_t>> stand_ins_among(const Analyst& analyst,
                                                      const std::vector<PartId>& parts) {
  const auto& catalogue = analyst.catalogue();
  StandIns stand_ins(parts.size());
  const auto never = [&](PartId part, PartId stands_for) {
    return std::any_of(catalogue.substitutes.begin(), catalogue.substitutes.end(),
                       [&](const domain::Substitute& row) {
                         return row.part == part && row.stands_for == stands_for && row.forbidden;
                       }) ||
           !domain::rating_objection(catalogue, catalogue.at(part), catalogue.at(stands_for))
                .empty();
  };
  for (const bool temporary : {false, true}) {
    for (const auto& row : catalogue.substitutes) {
      if (row.temporary != temporary || row.only || never(row.part, row.stands_for)) {
        continue;
      }
      const auto part = std::find(parts.begin(), parts.end(), row.part);
      const auto served = std::find(parts.begin(), parts.end(), row.stands_for);
      if (part != parts.end() && served != parts.end() && part != served) {
        stand_ins[static_cast<std::size_t>(served - parts.begin())].push_back(
            static_cast<std::size_t>(part - parts.begin()));
      }
    }
  }
  return stand_ins;
}

std::vector<KitGroup> kit_groups(const Analyst& analyst, const std::vector<KitTable>& tables,
                                 const Window& window,
                                 const std::vector<std::vector<char>>& at_risk,
                                 std::vector<std::string>& notes) {
  std::vector<PartId> parts;
  for (const auto& table : tables) {
    parts.push_back(table.line.id);
  }
  const auto stand_ins = stand_ins_among(analyst, parts);
  std::vector<KitGroup> groups;
  for (auto& members : tied(stand_ins)) {
    KitGroup group = group_of(tables, stand_ins, std::move(members));
    if (too_many(group)) {
      notes.push_back(fmt::format(
          "{} may stand in for one another in too many ways to look at: each is planned for itself",
          keys_of(group, tables)));
    } else {
      groups.push_back(std::move(group));
    }
  }
  for_each_index(groups.size(),
                 [&](std::size_t g) { add_tables(analyst, tables, window, at_risk, groups[g]); });
  return groups;
}

}  // namespace shearpin::advice
