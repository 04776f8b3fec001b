#include "stocking/trip_chance.hpp"

#include <algorithm>
#include <boost/random/sobol.hpp>
#include <cmath>

#include "stocking/trip_paths.hpp"

namespace shearpin::stocking {
namespace {

constexpr std::size_t kShifts = 16;
constexpr std::size_t kDrawPoints = 1U << 12U;
constexpr std::uint64_t kDrawSeed = 0x7368656172;

std::vector<std::uint64_t> sobol_points(std::size_t coordinates) {
  boost::random::sobol sequence(coordinates);
  std::vector<std::uint64_t> points(kDrawPoints * coordinates);
  sequence.generate(points.begin(), points.end());
  return points;
}

}  // namespace

SampledChance sampled_chance(const TripDemandInput& input, const TripPlan& plan) {
  check_trip(input, plan);
  TripPaths paths(input, plan);
  const std::size_t coordinates = paths.useful_coordinates();
  const std::vector<std::uint64_t> points = sobol_points(coordinates);
  std::vector<std::vector<long>> counts(kShifts);  // by shift: histories of each largest demand
  std::size_t longest = 0;
  for (std::size_t r = 0; r < kShifts; ++r) {
    std::uint64_t state = kDrawSeed + r;
    std::vector<std::uint64_t> shifts(coordinates);
    for (std::uint64_t& shift : shifts) {
      shift = next_number(state);
    }
    for (std::size_t i = 0; i < kDrawPoints; ++i) {
      PathNumbers numbers({points.data() + i * coordinates, coordinates}, shifts,
                          next_number(state));
      const auto largest = static_cast<std::size_t>(paths.largest_demand(numbers));
      if (counts[r].size() <= largest) {
        counts[r].resize(largest + 1, 0);
      }
      ++counts[r][largest];
    }
    longest = std::max(longest, counts[r].size());
  }
  SampledChance sampled;
  std::vector<double> enough(kShifts, 0.0);
  for (std::size_t n = 0; n < longest; ++n) {
    double sum = 0;
    for (std::size_t r = 0; r < kShifts; ++r) {
      if (n < counts[r].size()) {
        enough[r] += static_cast<double>(counts[r][n]) / kDrawPoints;
      }
      sum += enough[r];
    }
    const double mean = sum / kShifts;
    double squares = 0;
    for (const double each : enough) {
      squares += (each - mean) * (each - mean);
    }
    sampled.chances.push_back(mean);
    sampled.standard_errors.push_back(std::sqrt(squares / (kShifts * (kShifts - 1))));
  }
  return sampled;
}

double SampledChance::chance(long n) const {
  if (n < 0) {
    return 0;
  }
  return n < static_cast<long>(chances.size()) ? chances[static_cast<std::size_t>(n)] : 1;
}

double SampledChance::standard_error(long n) const {
  if (n < 0 || n >= static_cast<long>(standard_errors.size())) {
    return 0;
  }
  return standard_errors[static_cast<std::size_t>(n)];
}

TripLevel trip_level(const TripDemand& demand, const TripDemandInput& input, const TripPlan& plan,
                     double target) {
  const long least = demand.possibly_enough(target);
  const long most = demand.surely_enough(target);
  TripLevel level;
  if (least == most) {
    level.n = most;
    level.bounds = demand.chance(most);
    level.chance = level.bounds.middle();
    level.error = level.bounds.half_width();
    return level;
  }
  const SampledChance sampled = sampled_chance(input, plan);
  const auto held = [&](long n) {
    const ChanceRange bounds = demand.chance(n);
    return std::clamp(sampled.chance(n), bounds.low, bounds.high);
  };
  level.sampled = true;
  level.n = least;
  while (level.n < most && held(level.n) < target) {
    ++level.n;
  }
  level.bounds = demand.chance(level.n);
  level.chance = held(level.n);
  level.error = std::min(sampled.standard_error(level.n), level.bounds.high - level.bounds.low);
  return level;
}

}  // namespace shearpin::stocking
