#pragma once
/// Owners whose record and coming demand are simulated from one known life, and what the engine
/// advises them. How long an owner watches never depends on the truth.

#include <cmath>
#include <optional>
#include <random>
#include <vector>

#include "shearpin/stats/weibull_posterior.hpp"
#include "simulated_fleet.hpp"
#include "stocking/distribution.hpp"
#include "stocking/fitted_demand.hpp"

namespace simulated {

using shearpin::stocking::FittedDemand;
using shearpin::stocking::Pmf;
using shearpin::stocking::UnitState;

/// The record of one part in several positions, and the ages of the units fitted today.
struct Owner {
  std::vector<LifeRecord> records;
  std::vector<double> ages;
  int failures = 0;
};

/// Each position is watched for `watched`; every third starts with a used unit of known age, up to
/// `oldest`. None when there are more than `most` failures.
inline std::optional<Owner> owner(std::mt19937_64& random, const Weibull& life, int positions,
                                  double watched, double oldest, int most) {
  Owner made;
  for (int position = 0; position < positions; ++position) {
    double entry = uniform(random) < 1.0 / 3 ? oldest * uniform(random) : 0;
    double left = watched;
    for (;;) {
      const double failed = drawn_age(random, life, entry);
      if (failed - entry > left) break;
      if (++made.failures > most) return std::nullopt;
      made.records.push_back({LifeKind::failed, entry, 0, failed});
      left -= failed - entry;
      entry = 0;
    }
    made.records.push_back({LifeKind::alive, entry, 0, entry + left});
    made.ages.push_back(entry + left);
  }
  return made;
}

/// Owners with exactly `failures` on record: others are drawn again, watching time and all.
template <class Truth>
Owner owner_with(std::mt19937_64& random, Truth truth, int positions, int failures, double life,
                 Weibull& drawn) {
  for (;;) {
    const double a_life = (failures + 0.5) / positions * life;
    const double watched = a_life * std::exp(std::log(3.0) * (2 * uniform(random) - 1));
    drawn = truth();
    auto made = owner(random, drawn, positions, watched, 0.5 * life, failures);
    if (made && made->failures == failures) return std::move(*made);
  }
}

inline std::vector<UnitState> units_of(const Owner& owner) {
  std::vector<UnitState> units;
  for (const double age : owner.ages) {
    UnitState unit;
    unit.age = age;
    unit.exposure_per_day = 1;
    units.push_back(unit);
  }
  return units;
}

/// What the posterior must resolve.
inline std::vector<shearpin::stats::ExposureAhead> ahead_of(const Owner& owner, double days) {
  std::vector<shearpin::stats::ExposureAhead> ahead;
  for (const double age : owner.ages) ahead.push_back({age, days});
  return ahead;
}

/// Demand over `days` when the life is known: the truth's own chances.
inline Pmf true_demand(const Weibull& life, const std::vector<UnitState>& units, double days) {
  const std::vector<shearpin::stats::WeibullNode> node{{life.scale, life.shape, 1}};
  return FittedDemand(node, units, days).distribution(days);
}

/// The same, one history of it.
inline long demand_drawn(std::mt19937_64& random, const Weibull& life, const Owner& owner,
                         double days) {
  long count = 0;
  for (double age : owner.ages) {
    double left = days;
    for (;;) {
      const double lasts = drawn_age(random, life, age) - age;
      if (lasts > left) break;
      ++count;
      left -= lasts;
      age = 0;
    }
  }
  return count;
}

}  // namespace simulated
