#pragma once
/// Problems from the whole domain that a person can enter, as a few numbers that a search can move:
/// shape beliefs 0.5 to 8, 80 % ranges of a factor 1.01 to 1000, ages and stretches of 0 to 50
/// lives, 0 to 500 records, 1 to 500 positions.

#include <algorithm>
#include <cmath>
#include <random>
#include <string>
#include <vector>

#include <fmt/format.h>

#include "shearpin/stats/weibull_posterior.hpp"
#include "simulated_fleet.hpp"
#include "stocking/fitted_demand.hpp"

namespace entered {

using namespace shearpin::stats;
using namespace shearpin::stocking;

inline constexpr double kLife = 1000;  ///< median of the believed life; only sets the unit

/// What a person enters, in lives where it is a length. A group is so many positions whose units
/// are alike.
struct Entry {
  struct Group {
    double copies;
    double age;
    double rate;  ///< exposure a day
    double untested;
    bool down;
  };
  double shape;
  double ratio;    ///< high end of the life's 80 % range over its low end
  double off;      ///< true scale over the one drawn from the belief
  double records;  ///< lives on record besides those of the units fitted
  double watched;  ///< longest exposure of one
  double stretch;
  std::vector<Group> groups;
  unsigned long seed;  ///< of the truth and the record
};

struct Problem {
  WeibullPrior prior;
  std::vector<LifeRecord> records;
  std::vector<UnitState> units;
  double days = 0;
  std::vector<ExposureAhead> ahead;
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

inline Entry drawn_entry(unsigned long seed) {
  Draw draw(seed);
  Entry e{};
  e.seed = seed;
  e.shape = draw.log_in(0.5, 8);
  e.ratio = draw.log_in(1.01, 1000);
  e.off = draw.one_in(6) ? draw.log_in(0.05, 20) : 1;  // a belief that is contradicted
  e.records = draw.one_in(3) ? 0 : draw.log_in(1, 500);
  e.watched = draw.log_in(0.05, 5);
  e.stretch = draw.one_in(4) ? draw.in(0, 50) : draw.log_in(0.001, 50);
  const auto groups = static_cast<std::size_t>(draw.in(1, 4));
  const double positions = draw.log_in(1, 500);
  for (std::size_t g = 0; g < groups; ++g) {
    Entry::Group group{std::max(1.0, positions / static_cast<double>(groups)), 0, 1, 0, false};
    group.age = draw.one_in(4) ? 0 : draw.one_in(3) ? draw.in(0, 50) : draw.in(0, 2);
    group.rate = draw.one_in(3) ? draw.log_in(0.1, 1) : 1;
    group.untested = draw.one_in(5) ? draw.log_in(0.001, 2) : 0;
    group.down = draw.one_in(8);
    e.groups.push_back(group);
  }
  return e;
}

/// A step of a search: a few of the numbers moved, still inside the domain.
inline Entry moved(Entry e, Draw& draw, double size) {
  const auto step = [&](double& x, double low, double high) {
    if (draw.one_in(2)) return;
    x = std::clamp(x * std::exp(size * draw.in(-1, 1)), low, high);
  };
  step(e.shape, 0.5, 8);
  step(e.ratio, 1.01, 1000);
  step(e.records, 0, 500);
  step(e.watched, 0.01, 50);
  step(e.stretch, 0, 50);
  for (Entry::Group& group : e.groups) {
    step(group.copies, 1, 500 / static_cast<double>(e.groups.size()));
    step(group.age, 0, 50);
    step(group.untested, 0, 50);
  }
  if (draw.one_in(4)) e.seed += 1000003;
  return e;
}

/// A failure, a life that goes on, a look now and then, or a repair of a life that goes on.
inline void add_record(Problem& problem, Draw& draw, const Weibull& truth, double watched) {
  const double entry = draw.one_in(4) ? 0.5 * watched * draw.in(0, 1) : 0;
  const double failed = simulated::drawn_age(draw.random(), truth, entry);
  const double end = entry + watched * draw.in(0.02, 1);
  auto& records = problem.records;
  if (draw.one_in(8)) {
    const double repaired = simulated::drawn_age(draw.random(), truth, entry);
    if (repaired < end) records.push_back({LifeKind::repaired, entry, 0, repaired});
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

inline Problem problem_of(const Entry& e) {
  Draw draw(e.seed + 77);
  Problem p;
  p.prior = {kLife, kLife / std::sqrt(e.ratio), kLife * std::sqrt(e.ratio), e.shape, 0.35};
  Weibull truth = simulated::drawn_life(draw.random(), p.prior);
  truth.scale *= e.off;
  const auto most = static_cast<std::size_t>(e.records);
  while (p.records.size() < most) add_record(p, draw, truth, kLife * e.watched);
  p.days = kLife * e.stretch;
  for (const Entry::Group& group : e.groups) {
    UnitState unit;
    unit.age = kLife * group.age;
    unit.exposure_per_day = group.rate;
    unit.untested = kLife * group.untested;
    unit.down = group.down;
    const auto copies = static_cast<std::size_t>(group.copies);
    p.units.insert(p.units.end(), copies, unit);
    // The age of a unit is itself on record: a belief never meets an age it has not heard of.
    if (!unit.down && unit.age > 0) {
      p.records.insert(p.records.end(), copies, {LifeKind::alive, 0, 0, unit.age});
    }
    p.ahead.push_back({unit.down ? 0 : unit.age, unit.untested + unit.exposure_per_day * p.days,
                       static_cast<double>(copies)});
  }
  return p;
}

inline std::string told(const Entry& e) {
  std::string text = fmt::format(
      "shape {:.3g}, range 1:{:.3g}, off {:.3g}, {} records watched to {:.3g} lives, stretch "
      "{:.3g} "
      "lives; positions",
      e.shape, e.ratio, e.off, static_cast<int>(e.records), e.watched, e.stretch);
  for (const Entry::Group& g : e.groups) {
    text += fmt::format(" {} of age {:.3g}{}{}{}", static_cast<int>(g.copies), g.age,
                        g.rate < 1 ? fmt::format(" at {:.2g} a day", g.rate) : "",
                        g.untested > 0 ? fmt::format(" untested {:.3g}", g.untested) : "",
                        g.down ? " down" : "");
  }
  return text + fmt::format(" (seed {})", e.seed);
}

/// P(D = k) by the engine as it ships.
inline Pmf by_engine(const Problem& p) {
  const auto posterior = weibull_posterior(p.prior, p.records, {.ahead = p.ahead});
  return FittedDemand(posterior.nodes, p.units, p.days).distribution(p.days);
}

}  // namespace entered
