#include "domain/last_good.hpp"

namespace shearpin::domain {

LastGood last_good(const std::vector<const TestResult*>& tests, const UnitLife& life, Date until) {
  LastGood latest{life.fitted, false};
  for (const Date repair : life.repairs) {
    if (repair <= until && repair >= latest.date) {
      latest = {repair, false};
    }
  }
  for (const TestResult* test : tests) {
    const bool of_unit = !test->unit || *test->unit == life.unit;
    if (test->passed && of_unit && test->date <= until && test->date >= latest.date) {
      latest = {test->date, true};
    }
  }
  return latest;
}

}  // namespace shearpin::domain
