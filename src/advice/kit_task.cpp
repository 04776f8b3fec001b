#include "advice/kit_task.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "base/text.hpp"
#include "stocking/kit_frontier.hpp"

namespace shearpin::advice {
namespace {

/// Pieces aboard past the advised level that a kit looks at; beyond, a box of a thousand fuses
/// would be a table of its own, and no piece more of it makes a difference.
constexpr std::int64_t kPastNeed = 100;
constexpr double kLeastChance = 1e-300;

double last_or(const std::vector<double>& values, long n) {
  return values[std::min(static_cast<std::size_t>(n), values.size() - 1)];
}

double log_of(double chance) { return std::log(std::clamp(chance, kLeastChance, 1.0)); }

}  // namespace

std::int64_t held(const CarryLine& line) {
  return std::min<std::int64_t>(line.stock.aboard + line.stock.arriving, line.carry + kPastNeed);
}

KitTask::KitTask(const Analyst& analyst, const std::vector<KitTable>& tables,
                 const KitLimits& asked, std::vector<KitLimit> limits, std::vector<KitGroup> groups,
                 std::vector<std::vector<char>> at_risk)
    : analyst_(analyst),
      tables_(tables),
      asked_(asked),
      limits_(std::move(limits)),
      groups_(std::move(groups)),
      at_risk_(std::move(at_risk)),
      grouped_(tables.size(), 0) {
  for (const auto& table : tables) {
    pieces_.push_back(piece_of(table.line));
  }
  for (const auto& group : groups_) {
    for (const std::size_t member : group.members) {
      grouped_[member] = 1;
    }
  }
  build();
}

void KitTask::allow_more() {
  past_advised_ = kPastAdvised;
  build();
}

stocking::KitProblem KitTask::with_more_of(std::size_t limit) const {
  auto wider = problem_;
  wider.limits[limit] += limits_[limit].more;
  return wider;
}

KitPiece KitTask::piece_of(const CarryLine& line) const {
  KitPiece piece;
  piece.grams = line.mass_g.value_or(0);
  piece.price = line.price ? line.price->major() : 0;
  piece.millilitres = outside(line) ? 0 : line.volume_ml.value_or(0);
  return piece;
}

/// Carried outside (wheels on their carriers): it takes no room in the boxes.
bool KitTask::outside(const CarryLine& line) const {
  const auto& part = analyst_.catalogue().at(line.id);
  if (part.home_bin && analyst_.catalogue().at(*part.home_bin).outside_volume) {
    return true;
  }
  const auto& stock = analyst_.snapshot().stock;
  return std::any_of(stock.begin(), stock.end(), [&](const auto& lot) {
    return lot.part == line.id && analyst_.catalogue().at(lot.bin).outside_volume;
  });
}

double KitTask::use(std::size_t limit, std::size_t part, long pieces) const {
  const KitLimit& of = limits_[limit];
  const auto& line = tables_[part].line;
  std::int64_t free = 0;
  if (of.counted == stocking::Counted::added) {
    free = held(line) + (of.bought ? line.stock.ashore : 0);
  }
  return pieces_[part].*of.of * static_cast<double>(std::max<std::int64_t>(0, pieces - free));
}

bool KitTask::risky(std::size_t table) const {
  return std::any_of(at_risk_.begin(), at_risk_.end(),
                     [&](const auto& cap) { return cap[table] != 0; });
}

/// Worn take-offs aboard count where nothing that is aboard is weighed against a limit: a kit that
/// must be light does not carry them along.
const std::vector<double>& KitTask::chances(std::size_t table) const {
  return asked_.keeps_aboard() ? tables_[table].chances_with_worn : tables_[table].chances;
}

long KitTask::most_of(std::size_t table) const {
  const auto& line = tables_[table].line;
  return static_cast<long>(std::max<std::int64_t>(line.carry, held(line)) +
                           (risky(table) ? past_advised_ : 0));
}

/// No more of a part than is advised or held; to stand in for others in their stead also what lies
/// ashore, but no more of all together.
bool KitTask::allowed(const KitGroup& group, const Kit& pieces) const {
  long all = 0, most_of_all = 0;
  for (std::size_t k = 0; k < pieces.size(); ++k) {
    const auto& line = tables_[group.members[k]].line;
    const long own = most_of(group.members[k]);
    const auto owned = group.lends[k] != 0 ? held(line) + line.stock.ashore : 0;
    const auto least =
        asked_.keeps_aboard() ? std::min<std::int64_t>(held(line), group.most[k]) : 0;
    if (pieces[k] > std::max<std::int64_t>(own, owned) || pieces[k] < least) {
      return false;
    }
    all += pieces[k];
    most_of_all += own;
  }
  return all <= most_of_all;
}

Kit KitTask::members_of(const KitGroup& group, const Kit& kit) const {
  Kit pieces;
  for (const std::size_t member : group.members) {
    pieces.push_back(kit[member]);
  }
  return pieces;
}

void KitTask::put(const Block& block, std::size_t entry, Kit& kit) const {
  if (block.group == nullptr) {
    kit[block.table] = static_cast<long>(entry);
    return;
  }
  const auto pieces = block.group->pieces_of(block.entries[entry]);
  for (std::size_t k = 0; k < pieces.size(); ++k) {
    // What is aboard past the end of the tables stays where nothing aboard is limited.
    const auto kept =
        asked_.keeps_aboard() ? static_cast<long>(held(tables_[block.group->members[k]].line)) : 0;
    kit[block.group->members[k]] = std::max(pieces[k], kept);
  }
}

stocking::KitPart KitTask::part_of(std::size_t table) const {
  stocking::KitPart part;
  const long most = most_of(table);
  part.least = asked_.keeps_aboard() ? static_cast<std::size_t>(held(tables_[table].line)) : 0;
  for (long n = 0; n <= most; ++n) {
    part.days.push_back(left_by(tables_[table].cost, n));
    part.safety_days.push_back(std::min(left_by(tables_[table].safety_cost, n), part.days.back()));
    part.log_chance.push_back(log_of(last_or(chances(table), n)));
  }
  for (std::size_t r = 0; r < limits_.size(); ++r) {
    auto& use_of = part.use.emplace_back();
    for (long n = 0; n <= most; ++n) {
      use_of.push_back(use(r, table, n));
    }
  }
  return part;
}

stocking::KitPart KitTask::part_of(const Block& block) const {
  if (block.group == nullptr) {
    return part_of(block.table);
  }
  stocking::KitPart part;
  part.use.resize(limits_.size());
  Kit kit(tables_.size(), 0);
  for (std::size_t e = 0; e < block.entries.size(); ++e) {
    const std::size_t entry = block.entries[e];
    put(block, e, kit);
    long pieces = 0;
    for (const std::size_t member : block.group->members) {
      pieces += kit[member];
    }
    part.pieces_of_entry.push_back(pieces);
    part.days.push_back(block.group->cost[entry]);
    part.safety_days.push_back(block.group->safety_cost[entry]);
    part.log_chance.push_back(log_of(block.group->chances.front()[entry]));
    for (std::size_t r = 0; r < limits_.size(); ++r) {
      double taken = 0;
      for (const std::size_t member : block.group->members) {
        taken += use(r, member, kit[member]);
      }
      part.use[r].push_back(taken);
    }
  }
  return part;
}

void KitTask::build() {
  problem_ = {};
  blocks_.clear();
  for (const auto& limit : limits_) {
    problem_.limits.push_back(limit.most);
  }
  for (std::size_t i = 0; i < tables_.size(); ++i) {
    if (grouped_[i] == 0) {
      blocks_.push_back({i, nullptr, {}});
    }
  }
  for (const auto& group : groups_) {
    Block block{0, &group, {}};
    for (std::size_t e = 0; e < group.entries(); ++e) {
      if (allowed(group, group.pieces_of(e))) {
        block.entries.push_back(e);
      }
    }
    blocks_.push_back(std::move(block));
  }
  for (const auto& block : blocks_) {
    problem_.parts.push_back(part_of(block));
  }
  for (std::size_t c = 0; c < at_risk_.size(); ++c) {
    problem_.risk_caps.push_back(cap_of(c));
  }
}

stocking::RiskCap KitTask::cap_of(std::size_t c) const {
  stocking::RiskCap cap;
  cap.most = asked_.max_risk[c].second;
  for (std::size_t b = 0; b < blocks_.size(); ++b) {
    const KitGroup* group = blocks_[b].group;
    if (group == nullptr && at_risk_[c][blocks_[b].table] == 0) {
      continue;
    }
    cap.parts.push_back(b);
    auto& logs = cap.log_chance.emplace_back();
    if (group != nullptr) {
      for (const std::size_t entry : blocks_[b].entries) {
        logs.push_back(log_of(group->chance_of_cap(c)[entry]));
      }
    }
  }
  return cap;
}

Kit KitTask::kit_of(const std::vector<long>& entries) const {
  Kit kit(tables_.size(), 0);
  for (std::size_t b = 0; b < blocks_.size(); ++b) {
    put(blocks_[b], static_cast<std::size_t>(entries[b]), kit);
  }
  return kit;
}

Kit KitTask::aboard() const {
  Kit kit;
  for (const auto& table : tables_) {
    kit.push_back(static_cast<long>(held(table.line)));
  }
  return kit;
}

void KitTask::keep_what_fits(const std::vector<double>& limits, Kit& kit) const {
  std::vector<std::size_t> order(tables_.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return pieces_[a].grams < pieces_[b].grams;
  });
  auto used = totals(kit).use;
  for (const std::size_t i : order) {
    bool fits = true;
    while (fits && kit[i] < held(tables_[i].line)) {
      auto more = used;
      for (std::size_t r = 0; r < more.size(); ++r) {
        more[r] += use(r, i, kit[i] + 1) - use(r, i, kit[i]);
        fits = fits && more[r] <= limits[r];
      }
      if (fits) {
        used = std::move(more);
        ++kit[i];
      }
    }
  }
}

stocking::KitTotals KitTask::totals(const Kit& kit) const {
  stocking::KitTotals totals;
  totals.use.assign(limits_.size(), 0.0);
  std::vector<double> risk(at_risk_.size(), 0.0);
  for (const auto& block : blocks_) {
    if (block.group == nullptr) {
      const std::size_t i = block.table;
      const double log_chance = log_of(last_or(chances(i), kit[i]));
      totals.days += left_by(tables_[i].cost, kit[i]);
      totals.safety_days +=
          std::min(left_by(tables_[i].safety_cost, kit[i]), left_by(tables_[i].cost, kit[i]));
      totals.log_chance += log_chance;
      for (std::size_t c = 0; c < risk.size(); ++c) {
        risk[c] -= at_risk_[c][i] != 0 ? log_chance : 0;
      }
      continue;
    }
    const KitGroup& group = *block.group;
    const std::size_t entry = group.entry_of(members_of(group, kit));
    totals.days += group.cost[entry];
    totals.safety_days += group.safety_cost[entry];
    totals.log_chance += log_of(group.chances.front()[entry]);
    for (std::size_t c = 0; c < risk.size(); ++c) {
      risk[c] -= log_of(group.chance_of_cap(c)[entry]);
    }
  }
  for (std::size_t i = 0; i < kit.size(); ++i) {
    totals.pieces += kit[i];
    for (std::size_t r = 0; r < limits_.size(); ++r) {
      totals.use[r] += use(r, i, kit[i]);
    }
  }
  for (const double sum : risk) {
    totals.risk.push_back(-std::expm1(-sum));
  }
  return totals;
}

double KitTask::days(const Kit& kit) const {
  double days = 0;
  for (const auto& block : blocks_) {
    days += block.group == nullptr
                ? left_by(tables_[block.table].days, kit[block.table])
                : block.group->days[block.group->entry_of(members_of(*block.group, kit))];
  }
  return days;
}

double KitTask::chance(const Kit& kit, std::size_t part) const {
  for (const auto& group : groups_) {
    const auto at = std::find(group.members.begin(), group.members.end(), part);
    if (at != group.members.end()) {
      const auto place = static_cast<std::size_t>(at - group.members.begin());
      return group.chance_of_member(place)[group.entry_of(members_of(group, kit))];
    }
  }
  return last_or(chances(part), kit[part]);
}

std::vector<KitStep> KitTask::changes(const Kit& from, const Kit& to, std::size_t limit) const {
  std::vector<KitStep> steps;
  Kit now = from;
  for (const auto& change : stocking::kit_changes(from, to)) {
    const auto& line = tables_[change.part].line;
    KitStep step{line.part, line.name, change.from, change.to};
    const double days_before = days(now), cost_before = totals(now).days;
    now[change.part] = change.to;
    step.use = use(limit, change.part, change.to) - use(limit, change.part, change.from);
    step.days_without = days(now) - days_before;
    step.cost_without = totals(now).days - cost_before;
    steps.push_back(std::move(step));
  }
  return steps;
}

/// By use of the limit; of equal use the one that leaves most to be missed first.
void KitTask::sort_entries(Block& block, std::size_t limit) const {
  const auto part = part_of(block);
  std::vector<std::size_t> order(block.entries.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return std::pair(part.use[limit][a], -part.days[a]) <
           std::pair(part.use[limit][b], -part.days[b]);
  });
  std::vector<std::size_t> sorted;
  for (const std::size_t e : order) {
    sorted.push_back(block.entries[e]);
  }
  block.entries = std::move(sorted);
}

std::vector<KitStep> KitTask::leave_first(const Kit& kit, std::size_t limit) const {
  stocking::KitProblem smaller;
  smaller.limits = problem_.limits;
  std::vector<Block> blocks = blocks_;
  std::vector<long> entries;
  for (std::size_t b = 0; b < blocks.size(); ++b) {
    Block& block = blocks[b];
    if (block.group == nullptr) {
      smaller.parts.push_back(problem_.parts[b]);
      entries.push_back(kit[block.table]);
      continue;
    }
    const Kit members = members_of(*block.group, kit);
    std::erase_if(block.entries, [&](std::size_t entry) {
      const auto pieces = block.group->pieces_of(entry);
      return !std::equal(pieces.begin(), pieces.end(), members.begin(), std::less_equal<>());
    });
    sort_entries(block, limit);
    smaller.parts.push_back(part_of(block));
    const auto own =
        std::find(block.entries.begin(), block.entries.end(), block.group->entry_of(members));
    entries.push_back(own - block.entries.begin());
  }
  std::vector<KitStep> steps;
  Kit now = kit;
  for (const auto& left :
       stocking::leave_first(smaller, stocking::KitGoal::least_days, limit, entries)) {
    Kit then = now;
    put(blocks[left.part], static_cast<std::size_t>(left.to), then);
    for (auto& step : changes(now, then, limit)) {
      steps.push_back(std::move(step));
    }
    now = std::move(then);
  }
  return steps;
}

std::vector<FrontierPoint> KitTask::frontier(std::size_t limit) const {
  Kit kit = aboard();
  const auto first = totals(kit);
  std::vector<FrontierPoint> points{{first.use[limit], std::exp(first.log_chance), days(kit), {}}};
  for (const auto& step :
       stocking::kit_frontier(problem_, stocking::KitGoal::least_days, limit, kit)) {
    const auto& line = tables_[step.part].line;
    kit[step.part] = step.to;
    const std::vector<PieceChange> changed{{line.part, line.name, step.from, step.to}};
    points.push_back({step.use, std::exp(step.log_chance), days(kit), changed});
  }
  return points;
}

}  // namespace shearpin::advice
