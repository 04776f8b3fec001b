#pragma once
/// Records of simulated fleets, for tests of calibration: how a unit is watched never depends on
/// the truth, else the likelihood would leave something out.

#include <cmath>
#include <random>
#include <vector>

#include "shearpin/stats/weibull_posterior.hpp"
#include "stats/condition_factor.hpp"

namespace simulated {

using shearpin::stats::LifeKind;
using shearpin::stats::LifeRecord;
using shearpin::stats::SplitAge;
using shearpin::stats::SplitRecord;
using shearpin::stats::Weibull;
using shearpin::stats::WeibullPrior;

inline constexpr double kLooks = 200;  ///< days between looks at a unit that fails unseen

inline double uniform(std::mt19937_64& random) {
  return std::uniform_real_distribution<double>(1e-12, 1)(random);
}

/// A life drawn from the belief.
inline Weibull drawn_life(std::mt19937_64& random, const WeibullPrior& prior) {
  std::normal_distribution<double> normal;
  const double x = normal(random);
  const double y = normal(random);
  return {prior.scale_median * std::exp(prior.ln_scale_sd() * x),
          prior.shape_median * std::exp(prior.shape_log_sd * y)};
}

/// Age at failure of a unit that is alive at `entry`.
inline double drawn_age(std::mt19937_64& random, const Weibull& life, double entry) {
  const double hazard = std::pow(entry / life.scale, life.shape) - std::log(uniform(random));
  return life.scale * std::pow(hazard, 1 / life.shape);
}

/// A third of the units known only from some age on; a quarter looked at only now and then, from
/// their entry; all watched for up to `longest`.
inline std::vector<LifeRecord> fleet(std::mt19937_64& random, const Weibull& life, int units,
                                     double longest) {
  std::vector<LifeRecord> records;
  for (int unit = 0; unit < units; ++unit) {
    const double entry = uniform(random) < 1.0 / 3 ? 0.4 * longest * uniform(random) : 0;
    const double watched = longest * uniform(random);
    const bool unseen = uniform(random) < 0.25;
    const double failed = drawn_age(random, life, entry);
    if (!unseen) {
      const bool seen = failed <= entry + watched;
      records.push_back(
          {seen ? LifeKind::failed : LifeKind::alive, entry, 0, seen ? failed : entry + watched});
      continue;
    }
    const double last = entry + kLooks * std::floor(watched / kLooks);
    if (failed > last) {
      records.push_back({LifeKind::alive, entry, 0, last});
    } else {
      const double lower = entry + kLooks * std::floor((failed - entry) / kLooks);
      records.push_back({LifeKind::interval, entry, lower, lower + kLooks});
    }
  }
  return records;
}

/// Units that run through spells without and with a condition by turns; a failure is seen on the
/// day.
inline std::vector<SplitRecord> fleet_under_condition(std::mt19937_64& random, const Weibull& life,
                                                      double factor, int units, double longest) {
  std::vector<SplitRecord> records;
  for (int unit = 0; unit < units; ++unit) {
    double left = drawn_age(random, life, 0);  // effective age still to run
    double days = longest * uniform(random);
    bool exposed = uniform(random) < 0.5;
    SplitRecord record;
    while (days > 0) {
      const double spell = std::min(days, 0.5 * longest * uniform(random));
      const double rate = exposed ? factor : 1;
      const double run = std::min(spell, left / rate);
      (exposed ? record.exit.exposed : record.exit.plain) += run;
      left -= run * rate;
      days -= spell;
      if (run < spell) {
        record.kind = LifeKind::failed;
        record.exposed_at_exit = exposed;
        break;
      }
      exposed = !exposed;
    }
    records.push_back(record);
  }
  return records;
}

}  // namespace simulated
