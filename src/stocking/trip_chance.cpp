#include "stocking/trip_chance.hpp"

#include <algorithm>
#include <boost/random/sobol.hpp>
#include <cmath>

#include "stocking/trip_histories.hpp"

namespace shearpin::stocking {
namespace {

constexpr std::size_t kShifts = 16;
constexpr std::size_t kDrawPoints = 1U << 12U;
constexpr std::uint64_t kDrawSeed = 0x7368656172;
// Numbers beyond this many are not worth a coordinate.
constexpr std::size_t kMostCoordinates = 48;

std::vector<std::uint64_t> sobol_points(std::size_t coordinates) {
  boost::random::sobol sequence(coordinates);
  std::vector<std::uint64_t> points(kDrawPoints * coordinates);
  sequence.generate(points.begin(), points.end());
  return points;
}

// The largest D(c_k, d_(k+1)], less what was brought by then; at least 0.
long largest_demand(std::span<const TripInterval> intervals, std::span<const Ask> asked) {
  long largest = 0;
  for (const TripInterval& interval : intervals) {
    long demand = 0;
    for (const Ask& ask : asked) {
      const bool at_start = ask.day <= 0 && interval.takes_in_start;
      demand += at_start || (ask.day > interval.from && ask.day <= interval.to) ? ask.pieces : 0;
    }
    largest = std::max(largest, demand - interval.brought);
  }
  return largest;
}

}  // namespace

SampledChance sampled_chance(const TripDemandInput& input, const TripPlan& plan) {
  check_trip(input, plan);
  const std::vector<TripInterval> intervals = intervals_of(plan);
  const std::vector<StandInPart> part{
      {input, {plan.days, {}}, std::vector<DayCost>(input.units.size()), {}, {}}};
  TripHistories histories(part);
  const std::size_t coordinates =
      std::min(kMostCoordinates, 2 + 2 * input.extras.size() + 3 * input.units.size());
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
      std::vector<double> given(coordinates);
      for (std::size_t c = 0; c < coordinates; ++c) {
        given[c] = uniform(points[i * coordinates + c] ^ shifts[c]);
      }
      const bool any = histories.start(next_number(state), given);
      const auto largest =
          any ? static_cast<std::size_t>(largest_demand(intervals, histories.asked())) : 0;
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
