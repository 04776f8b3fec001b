#include "problems.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <random>
#include <stdexcept>

#include "shearpin/base/error.hpp"
#include "stats/weibull_fit.hpp"

namespace live {
namespace {

using namespace shearpin::stats;

class Draws {
 public:
  explicit Draws(unsigned seed) : random_(seed) {}

  /// In (0, 1).
  double uniform() { return (static_cast<double>(random_() >> 11) + 0.5) / 9007199254740992.0; }
  double between(double low, double high) { return low + (high - low) * uniform(); }
  int whole(int low, int high) {
    return low + static_cast<int>(random_() % static_cast<unsigned>(high - low + 1));
  }
  /// To whole tenths, so that some lives tie and no tool has to guess which ages are equal.
  double weibull(const Weibull& life) {
    const double age = life.scale * std::pow(-std::log(uniform()), 1 / life.shape);
    return std::max(0.1, tenths(age));
  }
  static double tenths(double age) { return std::round(age * 10) / 10; }

 private:
  std::mt19937_64 random_;
};

LifeRecord life_record(Watching watching, const Weibull& life, Draws& draws) {
  while (true) {
    const double age = draws.weibull(life);
    const double end = std::max(0.2, Draws::tenths(draws.between(0.3, 1.8) * life.scale));
    if (watching == Watching::entered_late) {
      const double entry = Draws::tenths(draws.between(-0.5, 0.8) * life.scale);
      if (entry > 0 && (age <= entry || end <= entry)) {
        continue;  // never seen
      }
      const double from = std::max(0.0, entry);
      return {age <= end ? LifeKind::failed : LifeKind::alive, from, 0, std::min(age, end)};
    }
    if (watching == Watching::looked_at && draws.uniform() < 0.7) {
      const double step = std::max(0.1, Draws::tenths(0.3 * life.scale));
      const double lower = std::floor(age / step) * step;
      if (lower < end) {
        return {LifeKind::interval, 0, lower, lower + step};
      }
      return {LifeKind::alive, 0, 0, end};
    }
    return {age <= end ? LifeKind::failed : LifeKind::alive, 0, 0, std::min(age, end)};
  }
}

bool has_fit(const std::vector<LifeRecord>& records) {
  try {
    weibull_fit(records);
    return true;
  } catch (const shearpin::InputError&) {
    return false;
  }
}

LifeProblem life_problem(int number, Draws& draws) {
  const Watching kinds[] = {Watching::censored, Watching::looked_at, Watching::entered_late};
  LifeProblem problem{fmt::format("life{}", number), kinds[number % 3], {}};
  do {
    const Weibull life{draws.between(20, 400), draws.between(0.7, 4)};
    problem.records.clear();
    for (int left = draws.whole(5, 60); left > 0; --left) {
      problem.records.push_back(life_record(problem.watching, life, draws));
    }
  } while (!has_fit(problem.records));
  return problem;
}

/// Events at whole ages, no two of one system alike, watches between them.
EventProblem event_problem(int number, Draws& draws) {
  EventProblem problem{fmt::format("events{}", number), {}};
  for (int left = draws.whole(2, 12); left > 0; --left) {
    SystemWatch system;
    system.start = number % 2 == 0 ? 0 : draws.whole(0, 40) + 0.5;
    system.end = system.start + draws.whole(10, 80) + 0.25;
    const double share = draws.between(0, 0.2);
    for (double age = std::floor(system.start) + 1; age < system.end; age += 1) {
      if (draws.uniform() < share) {
        system.ages.push_back(age);
      }
    }
    problem.systems.push_back(std::move(system));
  }
  return problem;
}

std::ofstream opened(const std::string& path) {
  std::ofstream out(path);
  if (!out) {
    throw std::runtime_error("cannot write " + path);
  }
  return out;
}

const char* word_of(LifeKind kind) {
  return kind == LifeKind::failed ? "failed" : kind == LifeKind::alive ? "alive" : "interval";
}

}  // namespace

Problems make_problems() {
  Draws draws(20240601);
  Problems problems;
  for (int i = 0; i < 120; ++i) {
    problems.lives.push_back(life_problem(i, draws));
  }
  for (int i = 0; i < 40; ++i) {
    problems.events.push_back(event_problem(i, draws));
  }
  for (int i = 0; i < 40; ++i) {
    problems.quantiles.push_back(
        {fmt::format("chi{}", i), 2.0 * draws.whole(1, 60), draws.between(0.501, 0.999)});
  }
  return problems;
}

void write_problems(const Problems& problems, const std::string& folder) {
  std::ofstream lives = opened(folder + "/lives.csv");
  lives << "id,watching,kind,entry,lower,exit\n";
  for (const LifeProblem& problem : problems.lives) {
    const char* watching = problem.watching == Watching::censored    ? "censored"
                           : problem.watching == Watching::looked_at ? "looked_at"
                                                                     : "entered_late";
    for (const LifeRecord& record : problem.records) {
      lives << fmt::format("{},{},{},{},{},{}\n", problem.id, watching, word_of(record.kind),
                           record.entry, record.lower, record.exit);
    }
  }
  std::ofstream events = opened(folder + "/events.csv");
  events << "id,system,start,stop,status\n";
  for (const EventProblem& problem : problems.events) {
    for (std::size_t i = 0; i < problem.systems.size(); ++i) {
      double from = problem.systems[i].start;
      for (const double age : problem.systems[i].ages) {
        events << fmt::format("{},{},{},{},1\n", problem.id, i, from, age);
        from = age;
      }
      events << fmt::format("{},{},{},{},0\n", problem.id, i, from, problem.systems[i].end);
    }
  }
  std::ofstream quantiles = opened(folder + "/quantiles.csv");
  quantiles << "id,degrees,probability\n";
  for (const QuantileProblem& problem : problems.quantiles) {
    quantiles << fmt::format("{},{},{}\n", problem.id, problem.degrees, problem.probability);
  }
}

}  // namespace live
