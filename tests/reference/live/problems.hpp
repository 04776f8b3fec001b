#pragma once
/// Random problems, the same on every run: the generator is seeded and draws by its own formulas.

#include <string>
#include <vector>

#include "shearpin/stats/weibull.hpp"
#include "stats/mcf.hpp"

namespace live {

/// How the lives of a problem were watched.
enum class Watching { censored, looked_at, entered_late };

struct LifeProblem {
  std::string id;
  Watching watching;
  std::vector<shearpin::stats::LifeRecord> records;
};

struct EventProblem {
  std::string id;
  std::vector<shearpin::stats::SystemWatch> systems;
};

/// Of a chi-square variable.
struct QuantileProblem {
  std::string id;
  double degrees;  ///< even, from 2
  double probability;
};

struct Problems {
  std::vector<LifeProblem> lives;
  std::vector<EventProblem> events;
  std::vector<QuantileProblem> quantiles;
};

/// 120 of lives (each has a maximum-likelihood fit), 40 of recurring events, 40 of quantiles.
Problems make_problems();

/// lives.csv, events.csv and quantiles.csv in `folder`, numbers with all their digits.
void write_problems(const Problems& problems, const std::string& folder);

}  // namespace live
