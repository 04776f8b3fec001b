#include "stocking/stand_ins.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>

#include "shearpin/base/error.hpp"
#include "stocking/tally.hpp"
#include "stocking/trip_histories.hpp"

namespace shearpin::stocking {
namespace {

constexpr std::uint64_t kHistories = 1U << 16U;

void check_cost(const DayCost& cost) {
  if (!(cost.cost >= 0) || !std::isfinite(cost.cost) || !(cost.safety >= 0) ||
      !(cost.safety <= cost.cost)) {
    throw InputError(fmt::format(
        "a day's cost of {} of which {} is a danger: both are numbers >= 0 and the second is a "
        "share of the first",
        cost.cost, cost.safety));
  }
}

void check_part(std::span<const StandInPart> parts, std::size_t m) {
  const StandInPart& part = parts[m];
  check_trip(part.demand, part.plan);
  if (part.plan.days != parts.front().plan.days) {
    throw InputError(fmt::format("plans of {} and {} days are not of one trip",
                                 parts.front().plan.days, part.plan.days));
  }
  if (part.unit_costs.size() != part.demand.units.size()) {
    throw InputError(fmt::format("part {}: {} costs of a day for {} units; give one each", m,
                                 part.unit_costs.size(), part.demand.units.size()));
  }
  std::for_each(part.unit_costs.begin(), part.unit_costs.end(), check_cost);
  check_cost(part.extra_cost);
  for (const std::size_t other : part.stand_ins) {
    const bool known = other < parts.size() && other != m &&
                       (part.demand.units.empty() || !parts[other].demand.nodes.empty());
    if (!known) {
      throw InputError(
          fmt::format("stand-in {} of part {} is not another part of the {} whose life is known",
                      other, m, parts.size()));
    }
  }
}

void check(std::span<const StandInPart> parts, std::span<const std::vector<long>> stocks,
           std::span<const std::vector<std::size_t>> sets) {
  for (std::size_t m = 0; m < parts.size(); ++m) {
    check_part(parts, m);
  }
  for (const auto& stock : stocks) {
    const bool good = stock.size() == parts.size() &&
                      std::all_of(stock.begin(), stock.end(), [](long n) { return n >= 0; });
    if (!good) {
      throw InputError(fmt::format("a combination of {} stocks for {} parts: one each, 0 or more",
                                   stock.size(), parts.size()));
    }
  }
  for (const auto& set : sets) {
    for (const std::size_t m : set) {
      if (m >= parts.size()) {
        throw InputError(fmt::format("a set names part {} of {}", m, parts.size()));
      }
    }
  }
}

struct Tallies {
  std::vector<Tally> chance;  // by set
  Tally days, cost, safety;
};

/// What every part does for itself in the history at hand; played when first asked for.
class Alone {
 public:
  Alone(const TripHistories& history, std::size_t parts) : history_(history), parts_(parts) {}

  void start() { parts_.assign(parts_.size(), {}); }

  /// Nothing where these pieces are enough.
  const Played* short_with(std::size_t part, long stock) {
    OfPart& of = parts_[part];
    if (of.enough <= stock) {
      return nullptr;
    }
    const auto n = static_cast<std::size_t>(stock);
    if (of.played.size() <= n) {
      of.played.resize(n + 1);
    }
    if (of.played[n].parts.empty()) {
      of.played[n] = history_.play_alone(part, stock);
      if (!of.played[n].parts[part].was_short) {
        of.enough = stock;
        return nullptr;
      }
    }
    return &of.played[n];
  }

 private:
  struct OfPart {
    long enough = std::numeric_limits<long>::max();
    std::vector<Played> played;  // by stock
  };

  const TripHistories& history_;
  std::vector<OfPart> parts_;
};

/// The difference in one history, if there is one.
void add_history(const TripHistories& history, Alone& alone, const std::vector<long>& stock,
                 std::span<const std::vector<std::size_t>> sets, Tallies& tallies) {
  std::vector<Played::Part> parts_alone(stock.size());
  Played apart;
  bool any = false;
  for (std::size_t m = 0; m < stock.size(); ++m) {
    if (const Played* played = alone.short_with(m, stock[m])) {
      any = true;
      parts_alone[m].was_short = true;
      apart.days += played->days;
      apart.cost += played->cost;
      apart.safety += played->safety;
    }
  }
  if (!any) {
    return;  // nothing is lent where nothing is short
  }
  const Played together = history.play(stock, true);
  const auto none_short = [](const std::vector<Played::Part>& parts,
                             const std::vector<std::size_t>& set) {
    return std::none_of(set.begin(), set.end(), [&](std::size_t m) { return parts[m].was_short; });
  };
  for (std::size_t s = 0; s < sets.size(); ++s) {
    const int gain = static_cast<int>(none_short(together.parts, sets[s])) -
                     static_cast<int>(none_short(parts_alone, sets[s]));
    tallies.chance[s].add(gain);
  }
  tallies.days.add(together.days - apart.days);
  tallies.cost.add(together.cost - apart.cost);
  tallies.safety.add(together.safety - apart.safety);
}

}  // namespace

std::vector<StandInGain> stand_in_gains(std::span<const StandInPart> parts,
                                        std::span<const std::vector<long>> stocks,
                                        std::span<const std::vector<std::size_t>> sets) {
  check(parts, stocks, sets);
  TripHistories history(parts);
  Alone alone(history, parts.size());
  std::vector<Tallies> tallies(stocks.size());
  for (Tallies& one : tallies) {
    one.chance.resize(sets.size());
  }
  for (std::uint64_t h = 0; h < kHistories; ++h) {
    if (!history.start(h << 48U)) {
      continue;
    }
    alone.start();
    for (std::size_t i = 0; i < stocks.size(); ++i) {
      add_history(history, alone, stocks[i], sets, tallies[i]);
    }
  }
  std::vector<StandInGain> gains;
  for (const Tallies& one : tallies) {
    StandInGain gain;
    for (const Tally& chance : one.chance) {
      gain.chance.push_back(chance.mean(kHistories));
      gain.chance_error.push_back(chance.error(kHistories));
    }
    gain.days = one.days.mean(kHistories);
    gain.cost = one.cost.mean(kHistories);
    gain.safety = one.safety.mean(kHistories);
    gain.cost_error = one.cost.error(kHistories);
    gains.push_back(std::move(gain));
  }
  return gains;
}

}  // namespace shearpin::stocking
