#include "advice/kit_task.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "base/text.hpp"

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
  if (of.added) {
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

Kit KitTask::members_of(const Block& block, const Kit& kit) const {
  Kit pieces;
  for (const std::size_t table : block.tables) {
    pieces.push_back(kit[table]);
  }
  return pieces;
}

void KitTask::put(const Block& block, std::size_t entry, Kit& kit) const {
  if (block.group == nullptr) {
    kit[block.tables.front()] = static_cast<long>(block.entries[entry]);
    return;
  }
  const auto pieces = block.group->pieces_of(block.entries[entry]);
  for (std::size_t k = 0; k < pieces.size(); ++k) {
    // What is aboard past the end of the tables stays where nothing aboard is limited.
    const std::size_t table = block.tables[k];
    const auto kept = asked_.keeps_aboard() ? static_cast<long>(held(tables_[table].line)) : 0;
    kit[table] = std::max(pieces[k], kept);
  }
}

/// What the block's pieces in a kit add to the sums.
void KitTask::add(const Block& block, const Kit& kit, KitSums& sums) const {
  sums.use.resize(limits_.size());
  sums.risk.resize(at_risk_.size());
  for (const std::size_t table : block.tables) {
    for (std::size_t r = 0; r < limits_.size(); ++r) {
      sums.use[r] += use(r, table, kit[table]);
    }
  }
  if (block.group == nullptr) {
    const std::size_t i = block.tables.front();
    const double cost = left_by(tables_[i].cost, kit[i]);
    const double log_chance = log_of(last_or(chances(i), kit[i]));
    sums.days += left_by(tables_[i].days, kit[i]);
    sums.cost += cost;
    sums.safety_cost += std::min(left_by(tables_[i].safety_cost, kit[i]), cost);
    sums.log_chance += log_chance;
    for (std::size_t c = 0; c < at_risk_.size(); ++c) {
      sums.risk[c] -= at_risk_[c][i] != 0 ? log_chance : 0;
    }
    return;
  }
  const KitGroup& group = *block.group;
  const std::size_t entry = group.entry_of(members_of(block, kit));
  sums.days += group.days[entry];
  sums.cost += group.cost[entry];
  sums.safety_cost += group.safety_cost[entry];
  sums.log_chance += log_of(group.chances.front()[entry]);
  for (std::size_t c = 0; c < at_risk_.size(); ++c) {
    sums.risk[c] -= log_of(group.chance_of_cap(c)[entry]);
  }
}

stocking::KitPart KitTask::part_of(const Block& block) const {
  stocking::KitPart part;
  part.use.resize(limits_.size() + at_risk_.size());
  if (block.group == nullptr && asked_.keeps_aboard()) {
    part.least = static_cast<std::size_t>(held(tables_[block.tables.front()].line));
  }
  Kit kit(tables_.size(), 0);
  for (std::size_t e = 0; e < block.entries.size(); ++e) {
    put(block, e, kit);
    KitSums sums;
    add(block, kit, sums);
    part.days.push_back(sums.cost);
    part.safety_days.push_back(sums.safety_cost);
    for (std::size_t r = 0; r < part.use.size(); ++r) {
      const bool risk = r >= limits_.size();
      part.use[r].push_back(risk ? sums.risk[r - limits_.size()] : sums.use[r]);
    }
    if (block.group != nullptr) {
      const Kit pieces = members_of(block, kit);
      part.pieces_of_entry.push_back(std::accumulate(pieces.begin(), pieces.end(), 0L));
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
  for (const auto& cap : asked_.max_risk) {
    problem_.limits.push_back(-std::log1p(-cap.second));
  }
  for (std::size_t i = 0; i < tables_.size(); ++i) {
    if (grouped_[i] == 0) {
      Block block{{i}, nullptr, std::vector<std::size_t>(static_cast<std::size_t>(most_of(i)) + 1)};
      std::iota(block.entries.begin(), block.entries.end(), std::size_t{0});
      blocks_.push_back(std::move(block));
    }
  }
  for (const auto& group : groups_) {
    Block block{group.members, &group, {}};
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
  auto used = sums(kit).use;
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

KitSums KitTask::sums(const Kit& kit) const {
  KitSums sums;
  for (const auto& block : blocks_) {
    add(block, kit, sums);
  }
  return sums;
}

double KitTask::chance(const Kit& kit, std::size_t part) const {
  for (const auto& block : blocks_) {
    const auto at = std::find(block.tables.begin(), block.tables.end(), part);
    if (block.group != nullptr && at != block.tables.end()) {
      const auto place = static_cast<std::size_t>(at - block.tables.begin());
      return block.group->chance_of_member(place)[block.group->entry_of(members_of(block, kit))];
    }
  }
  return last_or(chances(part), kit[part]);
}

std::vector<KitStep> KitTask::changes(const Kit& from, const Kit& to, std::size_t limit) const {
  std::vector<KitStep> steps;
  Kit now = from;
  KitSums before = sums(now);
  for (std::size_t i = 0; i < to.size(); ++i) {
    if (from[i] == to[i]) {
      continue;
    }
    const auto& line = tables_[i].line;
    now[i] = to[i];
    KitSums after = sums(now);
    steps.push_back({line.part, line.name, from[i], to[i],
                     use(limit, i, to[i]) - use(limit, i, from[i]), after.days - before.days,
                     after.cost - before.cost});
    before = std::move(after);
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
    const Kit members = members_of(block, kit);
    if (block.group == nullptr) {
      smaller.parts.push_back(problem_.parts[b]);
      entries.push_back(members.front());
      continue;
    }
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
  for (const auto& left : stocking::leave_first(smaller, limit, entries)) {
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
  std::vector<FrontierPoint> points;
  const auto add_point = [&](std::vector<PieceChange> changed) {
    const auto now = sums(kit);
    points.push_back({now.use[limit], std::exp(now.log_chance), now.days, std::move(changed)});
  };
  add_point({});
  for (const auto& step : stocking::kit_frontier(problem_, limit, kit)) {
    const auto& line = tables_[step.part].line;
    kit[step.part] = step.to;
    add_point({{line.part, line.name, step.from, step.to}});
  }
  return points;
}

}  // namespace shearpin::advice
