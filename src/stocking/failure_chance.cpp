#include "stocking/failure_chance.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <vector>

#include "shearpin/base/error.hpp"
#include "stocking/fitted_demand.hpp"
#include "stocking/node_rows.hpp"

namespace shearpin::stocking {
namespace {

constexpr long kMostFailures = 1000;

void check_places(std::span<const WatchedPlace> places) {
  for (const WatchedPlace& place : places) {
    if (!(place.age >= 0 && place.exposure >= 0) || !std::isfinite(place.age + place.exposure)) {
      throw InputError(fmt::format(
          "a place watched from age {} for {}: both must be numbers of 0 or more, e.g. 200 and 90",
          place.age, place.exposure));
    }
  }
}

void check_counts(long failures, long positions) {
  if (failures < 0 || failures > kMostFailures) {
    throw InputError(
        fmt::format("{} failures are not 0 to {}, such as 3", failures, kMostFailures));
  }
  if (positions < 1) {
    throw InputError(fmt::format("{} positions watched is not 1 or more, such as 40", positions));
  }
}

}  // namespace

FailureChance chance_of_as_many(std::span<const stats::WeibullNode> nodes,
                                std::span<const WatchedPlace> places, long failures,
                                long positions) {
  check_nodes(nodes);
  check_places(places);
  check_counts(failures, positions);
  std::vector<UnitState> units(places.size());
  for (std::size_t i = 0; i < places.size(); ++i) {
    units[i].age = places[i].age;
    units[i].exposure_per_day = places[i].exposure;  // the watch as one day
  }
  const Pmf count = FittedDemand(nodes, units, 1).distribution(1);
  const double here = std::min(1.0, chance_above(count, failures - 1));
  return {here, std::min(1.0, here * static_cast<double>(positions))};
}

}  // namespace shearpin::stocking
