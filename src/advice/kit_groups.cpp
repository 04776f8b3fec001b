#include "advice/kit_groups.hpp"

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

/// One group in the making.
class GroupMaker {
 public:
  GroupMaker(const Analyst& analyst, const std::vector<KitTable>& tables, const Window& window,
             const StandIns& stand_ins, std::vector<std::size_t> members)
      : analyst_(analyst), tables_(tables), window_(window), stand_ins_(stand_ins) {
    group_.members = std::move(members);
    for (const std::size_t i : group_.members) {
      const bool lends = std::any_of(group_.members.begin(), group_.members.end(),
                                     [&](std::size_t j) { return serves(i, j); });
      group_.lends.push_back(lends ? 1 : 0);
      group_.stand_ins.push_back(own_stand_ins(i));
      group_.most.push_back(most_of(i));
    }
  }

  std::size_t combinations() const {
    double all = 1;
    for (const long most : group_.most) {
      all *= static_cast<double>(most + 1);
    }
    return static_cast<std::size_t>(std::min(all, 1e9));
  }

  std::string keys() const {
    std::vector<std::string> names;
    for (const std::size_t i : group_.members) {
      names.push_back(tables_[i].line.part);
    }
    return join_words(names);
  }

  KitGroup make(const std::vector<std::vector<char>>& at_risk) {
    std::vector<Outlook> parts(group_.members.size());
    for (std::size_t k = 0; k < parts.size(); ++k) {
      parts[k] = outlook_of(analyst_, table(k).line.id, window_);
    }
    std::vector<stocking::StandInPart> asked;
    for (std::size_t k = 0; k < parts.size(); ++k) {
      asked.push_back({parts[k].input, parts[k].plan, parts[k].unit_costs(), parts[k].extra_cost(),
                       group_.stand_ins[k]});
    }
    std::vector<std::vector<long>> stocks;
    for (std::size_t e = 0; e < combinations(); ++e) {
      stocks.push_back(group_.pieces_of(e));
    }
    const auto sets = sets_of(at_risk);
    add_tables(stocks, sets, stocking::stand_in_gains(asked, stocks, sets));
    return std::move(group_);
  }

 private:
  const KitTable& table(std::size_t k) const { return tables_[group_.members[k]]; }

  bool serves(std::size_t i, std::size_t other) const {
    const auto& serving = stand_ins_[other];
    return std::find(serving.begin(), serving.end(), i) != serving.end();
  }

  /// Pieces that a kit may hold of the part, and some more for risk caps.
  long most_of(std::size_t i) const {
    const CarryLine& line = tables_[i].line;
    std::int64_t wanted = line.carry + kPastAdvised;
    for (const std::size_t other : group_.members) {
      wanted += serves(i, other) ? tables_[other].line.carry : 0;
    }
    const auto owned =
        std::min(line.stock.aboard + line.stock.arriving + line.stock.ashore, wanted);
    return static_cast<long>(std::max<std::int64_t>(line.carry + kPastAdvised, owned));
  }

  std::vector<std::size_t> own_stand_ins(std::size_t i) const {
    std::vector<std::size_t> places;
    for (const std::size_t other : stand_ins_[i]) {
      const auto at = std::find(group_.members.begin(), group_.members.end(), other);
      places.push_back(static_cast<std::size_t>(at - group_.members.begin()));
    }
    return places;
  }

  std::vector<std::vector<std::size_t>> sets_of(
      const std::vector<std::vector<char>>& at_risk) const {
    std::vector<std::vector<std::size_t>> sets(1);
    for (std::size_t k = 0; k < group_.members.size(); ++k) {
      sets.front().push_back(k);
      sets.push_back({k});
    }
    for (const auto& risky : at_risk) {
      auto& set = sets.emplace_back();
      for (std::size_t k = 0; k < group_.members.size(); ++k) {
        if (risky[group_.members[k]] != 0) {
          set.push_back(k);
        }
      }
    }
    return sets;
  }

  /// Every part's own figures, and what standing in changes.
  void add_tables(const std::vector<std::vector<long>>& stocks,
                  const std::vector<std::vector<std::size_t>>& sets,
                  const std::vector<stocking::StandInGain>& gains) {
    group_.chances.resize(sets.size());
    for (std::size_t e = 0; e < stocks.size(); ++e) {
      double days = gains[e].days, cost = gains[e].cost, safety = gains[e].safety;
      for (std::size_t k = 0; k < stocks[e].size(); ++k) {
        days += left_by(table(k).days, stocks[e][k]);
        cost += left_by(table(k).cost, stocks[e][k]);
        safety += left_by(table(k).safety_cost, stocks[e][k]);
      }
      group_.days.push_back(std::max(0.0, days));
      group_.cost.push_back(std::max(0.0, cost));
      group_.safety_cost.push_back(std::clamp(safety, 0.0, group_.cost.back()));
      for (std::size_t s = 0; s < sets.size(); ++s) {
        double chance = 1;
        for (const std::size_t k : sets[s]) {
          chance *= chance_at(table(k), stocks[e][k]);
        }
        group_.chances[s].push_back(std::clamp(chance + gains[e].chance[s], 0.0, 1.0));
      }
    }
  }

  const Analyst& analyst_;
  const std::vector<KitTable>& tables_;
  const Window& window_;
  const StandIns& stand_ins_;
  KitGroup group_;
};

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
  std::vector<GroupMaker> makers;
  for (auto& members : tied(stand_ins)) {
    GroupMaker maker(analyst, tables, window, stand_ins, std::move(members));
    if (maker.combinations() > kMostEntries) {
      notes.push_back(fmt::format(
          "{} may stand in for one another in too many ways to look at: each is planned for itself",
          maker.keys()));
    } else {
      makers.push_back(std::move(maker));
    }
  }
  std::vector<KitGroup> groups(makers.size());
  for_each_index(makers.size(), [&](std::size_t g) { groups[g] = makers[g].make(at_risk); });
  return groups;
}

}  // namespace shearpin::advice
