#include <algorithm>
#include <cmath>
#include <map>
#include <tuple>

#include "domain/last_good.hpp"
#include "shearpin/domain/life_records.hpp"

namespace shearpin::domain {
namespace {

using TestsByPosition = std::map<PositionId, std::vector<const TestResult*>>;

/// The class of what is fitted: of its part, else of the position.
const ComponentClass* class_of(const Catalogue& catalogue, const UnitLife& life) {
  return life.part ? catalogue.class_of(catalogue.at(*life.part))
                   : catalogue.class_of(catalogue.at(life.position));
}

TestDue due_for(const UnitLife& life, double interval_days, const TestsByPosition& tests,
                Date as_of) {
  static const std::vector<const TestResult*> kNone;
  const auto own = tests.find(life.position);
  const LastGood good = last_good(own != tests.end() ? own->second : kNone, life, as_of);
  TestDue due;
  due.position = life.position;
  due.unit = life.unit;
  due.last_good = good.date;
  due.tested = good.tested;
  due.interval_days = interval_days;
  due.due = good.date + std::chrono::days(std::lround(interval_days));
  return due;
}

/// One line for the position where all its units stand alike.
std::vector<TestDue> merged(const std::vector<TestDue>& of_position) {
  const TestDue& first = of_position.front();
  const bool alike =
      std::all_of(of_position.begin(), of_position.end(), [&first](const TestDue& other) {
        return other.last_good == first.last_good && other.due == first.due;
      });
  if (!alike) {
    return of_position;
  }
  TestDue one = first;
  one.unit.reset();
  return {one};
}

}  // namespace

std::vector<TestDue> tests_due(const Snapshot& snapshot) {
  TestsByPosition tests;
  for (const TestResult& test : snapshot.tests) {
    tests[test.position].push_back(&test);
  }
  std::map<PositionId, std::vector<TestDue>> by_position;
  for (const UnitLife& life : snapshot.lives) {
    const ComponentClass* kind = class_of(*snapshot.catalogue, life);
    if (life.end || life.stand_in || kind == nullptr || !kind->test_interval_days ||
        snapshot.catalogue->at(life.position).retired) {
      continue;
    }
    by_position[life.position].push_back(
        due_for(life, *kind->test_interval_days, tests, snapshot.as_of));
  }
  std::vector<TestDue> all;
  for (const auto& [position, of_position] : by_position) {
    for (const TestDue& due : merged(of_position)) {
      all.push_back(due);
    }
  }
  std::stable_sort(all.begin(), all.end(), [](const TestDue& a, const TestDue& b) {
    return std::tuple(a.due, a.position, a.unit.value_or(0)) <
           std::tuple(b.due, b.position, b.unit.value_or(0));
  });
  return all;
}

}  // namespace shearpin::domain
