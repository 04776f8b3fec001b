#pragma once
/// Problems from the whole domain that a person can enter, and the same chances by a refined
/// computation: a posterior to 1e-9, every node of it counted with tables of the finest kind as far
/// as its lives go, nothing merged, nothing left out.

#include <algorithm>
#include <cmath>
#include <map>
#include <memory>
#include <random>
#include <vector>

#include "shearpin/stats/weibull_likelihood.hpp"
#include "shearpin/stats/weibull_posterior.hpp"
#include "shearpin/stocking/distribution.hpp"
#include "shearpin/stocking/fitted_demand.hpp"
#include "simulated_fleet.hpp"
#include "stocking/count_table.hpp"
#include "stocking/position.hpp"

namespace entered {

using namespace shearpin::stats;
using namespace shearpin::stocking;

struct Problem {
  WeibullPrior prior;
  std::vector<LifeRecord> records;
  std::vector<UnitState> units;
  double days = 0;
  double ahead = 0;  ///< exposure of all positions together
};

class Draw {
 public:
  explicit Draw(unsigned long seed) : random_(seed) {}
  double in(double low, double high) { return low + (high - low) * simulated::uniform(random_); }
  double log_in(double low, double high) { return std::exp(in(std::log(low), std::log(high))); }
  bool one_in(int n) { return in(0, n) < 1; }
  std::mt19937_64& random() { return random_; }

 private:
  std::mt19937_64 random_;
};

/// A failure, a life that goes on, a look now and then, or a repair of a life that goes on.
inline void add_record(Problem& problem, Draw& draw, const Weibull& truth, double watched) {
  const double entry = draw.one_in(4) ? 0.5 * watched * draw.in(0, 1) : 0;
  const double failed = simulated::drawn_age(draw.random(), truth, entry);
  const double end = entry + watched * draw.in(0.02, 1);
  auto& records = problem.records;
  if (draw.one_in(8)) {
    const double mended = simulated::drawn_age(draw.random(), truth, entry);
    if (mended < end) records.push_back({LifeKind::repaired, entry, 0, mended});
    records.push_back({LifeKind::alive, entry, 0, end});
  } else if (failed > end) {
    records.push_back({LifeKind::alive, entry, 0, end});
  } else if (draw.one_in(4)) {
    const double look = watched / 7;
    const double lower = entry + look * std::floor((failed - entry) / look);
    records.push_back({LifeKind::interval, entry, lower, lower + look});
  } else {
    records.push_back({LifeKind::failed, entry, 0, std::max(failed, entry + 1e-6)});
  }
}

inline Problem drawn_problem(unsigned long seed) {
  Draw draw(seed);
  Problem p;
  const double ratio = draw.log_in(1.01, 1000);
  p.prior = {1000, 1000 / std::sqrt(ratio), 1000 * std::sqrt(ratio), draw.log_in(0.5, 8), 0.35};
  Weibull truth = simulated::drawn_life(draw.random(), p.prior);
  if (draw.one_in(6)) truth.scale *= draw.log_in(0.05, 20);  // a belief that is contradicted
  const int most = draw.one_in(3) ? 0 : static_cast<int>(draw.log_in(1, 500));
  const double watched = 1000 * draw.log_in(0.05, 5);
  while (static_cast<int>(p.records.size()) < most) add_record(p, draw, truth, watched);
  p.days = 1000 * (draw.one_in(3) ? draw.in(0, 50) : draw.log_in(0.001, 50));
  const int states = 1 + static_cast<int>(draw.in(0, 3));
  const int positions = static_cast<int>(draw.log_in(1, 501));
  for (int s = 0; s < states; ++s) {
    UnitState unit;
    unit.age = draw.one_in(4) ? 0 : draw.one_in(3) ? 1000 * draw.in(0, 50) : draw.in(0, 2000);
    unit.exposure_per_day = draw.one_in(3) ? draw.log_in(0.1, 1) : 1;
    if (draw.one_in(5)) unit.untested = draw.log_in(1, 2000);
    if (draw.one_in(8)) unit.down = true;
    const int copies = std::max(1, positions / states);
    p.units.insert(p.units.end(), static_cast<std::size_t>(copies), unit);
    // The age of a unit is itself on record: a belief never meets an age it has not heard of.
    if (!unit.down && unit.age > 0) {
      p.records.insert(p.records.end(), static_cast<std::size_t>(copies),
                       {LifeKind::alive, 0, 0, unit.age});
    }
    p.ahead += copies * (unit.untested + unit.exposure_per_day * p.days);
  }
  return p;
}

inline WeibullPosterior posterior_of(const Problem& p, double tolerance) {
  return weibull_posterior(p.prior, p.records, {.tolerance = tolerance, .ahead = p.ahead});
}

/// P(D = k) by the engine as it ships.
inline Pmf by_engine(const Problem& p) {
  const auto posterior = posterior_of(p, 1e-6);
  return FittedDemand(posterior.nodes, p.units, p.days).distribution(p.days);
}

inline double worst_difference(const Pmf& a, const Pmf& b) {
  double difference = 0;
  double worst = 0;
  for (std::size_t n = 0; n < std::max(a.size(), b.size()); ++n) {
    difference += (n < a.size() ? a[n] : 0) - (n < b.size() ? b[n] : 0);
    worst = std::max(worst, std::fabs(difference));
  }
  return worst;
}

/// Counts of one shape, each by a table that reaches as far as asked.
class RefinedRow {
 public:
  static constexpr double kLongest = 256;  // lives that are counted by a table,
  static constexpr double kLight = 1e-8;  // past kLongestTable where the node weighs more than this

  explicit RefinedRow(double shape) : shape_(shape) {}

  Pmf count(const UnitState& unit, double scale, double weight, double days) {
    Position position;
    position.state = unit;
    const Life life(scale, shape_);
    const double z = unit.exposure_per_day * days / scale;
    if (z > kLongest || (z > kLongestTable && weight < kLight)) {
      const PmfBand band = over_many_lives(position, life, days, 1e-15);
      Pmf pmf(band.first, 0.0);
      pmf.insert(pmf.end(), band.values.begin(), band.values.end());
      return pmf;
    }
    const CountTable& table = table_for(z);
    FirstDemand first;
    first_demand(first, position, life, days, {}, 20);
    std::vector<double> tails(table.order(), 0.0);
    for (std::size_t q = 0; q < first.rest.size(); ++q) {
      table.add_tails(first.rest[q] / scale, first.weight[q], 1e-17, tails);
    }
    Pmf pmf{1 - first.chance};
    double above = first.chance;
    for (const double tail : tails) {
      const double next = std::clamp(tail, 0.0, above);
      pmf.push_back(above - next);
      above = next;
    }
    pmf.push_back(above);
    return pmf;
  }

 private:
  // A table for each doubling, so that short stretches are not read off long panels.
  const CountTable& table_for(double z) {
    const int doubling = static_cast<int>(std::ceil(std::log2(std::max(z, 1e-9))));
    auto& table = tables_[doubling];
    if (!table) {
      table = std::make_unique<CountTable>(
          CountTableSpec{.shape = shape_, .z_max = std::ldexp(1.0, doubling), .most = 5000});
    }
    return *table;
  }

  double shape_;
  std::map<int, std::unique_ptr<CountTable>> tables_;
};

/// P(D = k) by the refined computation over all nodes of a posterior.
inline Pmf refined(const Problem& p, const std::vector<WeibullNode>& nodes) {
  std::vector<std::pair<UnitState, std::size_t>> groups;
  for (const UnitState& unit : p.units) {
    if (!groups.empty() && groups.back().first.age == unit.age &&
        groups.back().first.exposure_per_day == unit.exposure_per_day &&
        groups.back().first.untested == unit.untested && groups.back().first.down == unit.down) {
      ++groups.back().second;
    } else {
      groups.emplace_back(unit, 1);
    }
  }
  Pmf mixture;
  std::unique_ptr<RefinedRow> row;
  double shape = 0;
  for (const WeibullNode& node : nodes) {
    if (node.weight < 1e-13) continue;
    if (node.shape != shape) {
      shape = node.shape;
      row = std::make_unique<RefinedRow>(shape);
    }
    Pmf sum = no_demand();
    for (const auto& [unit, copies] : groups) {
      sum = convolve(
          sum, convolve_copies(row->count(unit, node.scale, node.weight, p.days), copies, 1e-13),
          1e-13);
    }
    add_weighted(mixture, sum, node.weight);
  }
  return mixture;
}

}  // namespace entered
