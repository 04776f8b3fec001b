#include "oracles/shared_stock.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <numeric>

#include "shearpin/base/error.hpp"

namespace shearpin::stocking {
namespace {

constexpr double kWeightSum = 1e-6;

void check_stock(long stock) {
  if (stock < 0) throw InputError(fmt::format("a stock of {} is not 0 or more", stock));
}

void check_pmf(std::span<const double> pmf) {
  if (pmf.empty()) throw InputError("a demand distribution has no entries; {1} is no demand");
  for (const double p : pmf) {
    if (!(p >= 0 && p <= 1 + kWeightSum)) {
      throw InputError(fmt::format("a demand distribution holds {}; chances are 0 to 1", p));
    }
  }
}

// Distribution of (X - n)^+.
Pmf overflow(std::span<const double> demand, long n) {
  const auto covered = static_cast<std::size_t>(n);
  Pmf above(demand.size() > covered ? demand.size() - covered : 1, 0.0);
  for (std::size_t k = demand.size(); k-- > 0;) {
    above[k > covered ? k - covered : 0] += demand[k];
  }
  return above;
}

// Distribution of (O - (n - T)^+)^+: what an overflow finds uncovered after T pieces were asked
// for.
Pmf left_short(std::span<const double> before, std::span<const double> over, long n) {
  Pmf left(over.size(), 0.0);
  for (std::size_t t = 0; t < before.size(); ++t) {
    const long room = std::max(0L, n - static_cast<long>(t));
    add_weighted(left, overflow(over, room), before[t]);
  }
  trim(left, 0);
  return left;
}

void mix(SharedShortage& into, const SharedShortage& one, double weight) {
  into.chance_of_none += weight * one.chance_of_none;
  into.pieces_short.resize(one.pieces_short.size());
  for (std::size_t i = 0; i < one.pieces_short.size(); ++i) {
    add_weighted(into.pieces_short[i], one.pieces_short[i], weight);
  }
}

}  // namespace

SharedShortage shared_shortage(const SharedStock& shared) {
  check_stock(shared.stock);
  check_pmf(shared.own_demand);
  SharedShortage result;
  result.pieces_short.push_back(overflow(shared.own_demand, shared.stock));
  Pmf asked = shared.own_demand;
  for (const SharingPart& part : shared.parts) {
    check_stock(part.stock);
    check_pmf(part.demand);
    const Pmf over = overflow(part.demand, part.stock);
    result.pieces_short.push_back(left_short(asked, over, shared.stock));
    asked = convolve(asked, over);
  }
  result.chance_of_none = chance_at_most(asked, shared.stock);
  return result;
}

SharedShortage shared_shortage(std::span<const double> weights,
                               std::span<const SharedStock> nodes) {
  if (weights.size() != nodes.size() || nodes.empty()) {
    throw InputError(fmt::format("{} weights for {} nodes; give one each, at least one",
                                 weights.size(), nodes.size()));
  }
  SharedShortage result;
  result.chance_of_none = 0;
  double sum = 0;
  for (std::size_t i = 0; i < nodes.size(); ++i) {
    if (!(weights[i] >= 0)) throw InputError(fmt::format("a weight of {} is below 0", weights[i]));
    if (nodes[i].parts.size() != nodes[0].parts.size()) {
      throw InputError(fmt::format("a node of {} parts beside one of {}", nodes[i].parts.size(),
                                   nodes[0].parts.size()));
    }
    sum += weights[i];
    mix(result, shared_shortage(nodes[i]), weights[i]);
  }
  if (!(std::fabs(sum - 1) <= kWeightSum)) {
    throw InputError(fmt::format("weights of nodes sum to {}, not to 1", sum));
  }
  return result;
}

double expected_dead(std::span<const double> pieces_short, long units) {
  if (units < 0) throw InputError(fmt::format("{} units is not 0 or more", units));
  double sum = 0;
  for (std::size_t k = pieces_short.size(); k-- > 1;) {
    sum += static_cast<double>(std::min(static_cast<long>(k), units)) * pieces_short[k];
  }
  return sum;
}

}  // namespace shearpin::stocking
