#include "stats/event_history.hpp"

#include <fmt/format.h>

#include <cmath>

#include "shearpin/base/error.hpp"

namespace shearpin::stats {
namespace {

void check_ages(const EventHistory& system, std::size_t number) {
  double before = 0;
  for (const double age : system.ages) {
    if (!(age > 0 && age >= before && age <= system.end)) {
      throw InputError(
          fmt::format("system {} has an event at age {} after one at {}, watched to {}: ages must "
                      "lie above 0, ascend and end there, e.g. 40, 175, 390 watched to 500",
                      number, age, before, system.end));
    }
    before = age;
  }
}

}  // namespace

void check_histories(std::span<const EventHistory> systems) {
  for (std::size_t i = 0; i < systems.size(); ++i) {
    const EventHistory& system = systems[i];
    if (!(std::isfinite(system.end) && system.end > 0)) {
      throw InputError(
          fmt::format("system {} is watched to age {}: it must be a number above 0, e.g. 500",
                      i + 1, system.end));
    }
    check_ages(system, i + 1);
    if (system.termination == Termination::failure &&
        (system.ages.empty() || system.ages.back() < system.end)) {
      throw InputError(
          fmt::format("system {} is watched until its last failure, but to age {} with none there: "
                      "the last age must be the end, e.g. 40, 175, 390 watched to 390",
                      i + 1, system.end));
    }
  }
}

std::span<const double> counted_ages(const EventHistory& system) {
  const std::size_t count =
      system.ages.size() - (system.termination == Termination::failure ? 1 : 0);
  return {system.ages.data(), count};
}

}  // namespace shearpin::stats
