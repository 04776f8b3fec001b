#include <algorithm>
#include <cmath>
#include <limits>

#include "stocking/kit_bound.hpp"
#include "stocking/kit_branch.hpp"
#include "stocking/kit_start.hpp"

namespace shearpin::stocking {
namespace {

// Costs are scaled so that the dearest kit costs 1: what a bound must pass to show that there is no
// kit, and the least weight of ties where the best costs nothing.
constexpr double kAboveAll = 1e-9;
constexpr double kSmallestTie = 1e-15;
// Bands above the root's bound that are searched, each so many times wider than the one before.
constexpr int kBands = 6;
constexpr double kWidening = 3;
constexpr double kBandShare = 0.3;
constexpr double kShakeShare = 0.5;

double dearest(const Choice& choice) {
  double sum = 0;
  for (std::size_t j = 0; j < choice.classes(); ++j) {
    sum +=
        *std::max_element(choice.cost.begin() + static_cast<std::ptrdiff_t>(choice.first[j]),
                          choice.cost.begin() + static_cast<std::ptrdiff_t>(choice.first[j + 1]));
  }
  return sum;
}

/// Limits become 1, so that rows of kilograms and litres weigh alike, and so does the cost of the
/// dearest kit, which is returned (1 where all is free). Rows left by reduce() have limits above 0:
/// under a limit of 0 no option with a use survives.
double scale(Choice& choice) {
  for (std::size_t r = 0; r < choice.rows; ++r) {
    for (std::size_t o = 0; o < choice.options(); ++o) choice.uses(o)[r] /= choice.limit[r];
    choice.limit[r] = 1;
  }
  const double dear = dearest(choice);
  const double unit = dear > 0 ? dear : 1;
  for (double& cost : choice.cost) cost /= unit;
  return unit;
}

/// The best of the kits that the root's relaxed choices can be repaired into; empty: none.
Picks best_start(const Choice& choice, const Root& root, double& work) {
  Picks best;
  double least = std::numeric_limits<double>::infinity();
  for (auto met = root.met.rbegin(); met != root.met.rend(); ++met) {
    Picks picks = *met;
    if (!repair(choice, root.price, picks, work)) continue;
    improve(choice, root.price, picks, work);
    const double cost = cost_of(choice, picks);
    if (cost < least) {
      least = cost;
      best = std::move(picks);
    }
  }
  return best;
}

struct Widened {
  bool found = false;
  Picks picks;
  double bound = 0;
  bool settled = false;
  double work = 0;  // spent
};

/// Looks for kits close to the root's bound first and widens the band when there is none: most
/// options fall to their reduced costs while the band is narrow. A kit found in a band that was
/// searched to its end is the best of all.
Widened widening_search(const Choice& choice, const Root& root, const Picks& start, double step,
                        double work) {
  Widened result;
  result.bound = root.bound;
  result.picks = start;
  result.found = result.picks.size() == choice.classes();
  double top = result.found ? cost_of(choice, start) : dearest(choice) + kAboveAll;
  for (int band = kBands; band >= 0 && work > 0 && !result.settled; --band) {
    const double ceiling = root.bound + (top - root.bound) * std::pow(kWidening, -band);
    const Branched found =
        branch_and_bound(choice, root.price, ceiling, band > 0 ? work * kBandShare : work);
    work -= found.work;
    result.work += found.work;
    if (found.found) {
      result.found = true;
      result.picks = found.picks;
    }
    if (found.ended) {
      result.settled = found.found || band == 0;
      result.bound = std::max(result.bound, ceiling - step);
      continue;
    }
    // A band too wide to end. Wider ones are no easier: what is left of the work goes into a better
    // kit first, then into the last band.
    if (band > 0 && result.found) {
      const double before = result.work;
      shake(choice, root.price, result.picks, work * kShakeShare, result.work);
      work -= result.work - before;
      top = cost_of(choice, result.picks);
      band = 1;
    }
  }
  return result;
}

}  // namespace

ChoiceResult cheapest(Choice choice, double work) {
  ChoiceResult result;
  result.price.assign(choice.rows, 0.0);
  if (!reduce(choice)) {
    result.settled = true;
    return result;
  }
  const std::vector<double> limit = choice.limit;
  const double unit = scale(choice);
  double used = 0;
  const double top = dearest(choice) + kAboveAll;
  const Root root = root_multipliers(choice, top, used);
  result.work = used;
  if (root.bound > top) {
    result.settled = true;
    return result;
  }
  for (std::size_t r = 0; r < choice.rows; ++r) {
    result.price[choice.row[r]] = root.price[r] * unit / limit[r];
  }
  const Picks start = best_start(choice, root, used);
  const double reached = start.empty() ? top : cost_of(choice, start);
  const std::vector<double> plain = choice.cost;
  const double step = std::max(kEqual * reached, kSmallestTie);
  for (std::size_t o = 0; o < choice.options(); ++o) choice.cost[o] += step * choice.tie[o];

  const Widened best = widening_search(choice, root, start, step, work - used);
  result.work = used + best.work;
  result.settled = best.settled;
  result.found = best.found;
  result.bound = best.bound * unit;
  if (!result.found) return result;
  for (const std::size_t option : best.picks) {
    result.entry.push_back(choice.entry[option]);
    result.cost += plain[option] * unit;
  }
  result.bound = result.settled ? result.cost : std::min(result.bound, result.cost);
  return result;
}

}  // namespace shearpin::stocking
