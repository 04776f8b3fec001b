#pragma once
/// When a unit whose failure does not show was last known to be sound.

#include <vector>

#include "shearpin/domain/history.hpp"

namespace shearpin::domain {

struct LastGood {
  Date date;
  bool tested = false;  ///< by a test; else the fit or a repair
};

/// The latest of the fit, repairs and passed tests of its place, up to and including `until`.
/// `tests` are those of the unit's position.
LastGood last_good(const std::vector<const TestResult*>& tests, const UnitLife& life, Date until);

}  // namespace shearpin::domain
