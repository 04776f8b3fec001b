#pragma once
/// The chance of no shortage on a trip where its bounds do not settle a question: fixed
/// quasi-random histories. And the level that meets a target.

#include <optional>
#include <vector>

#include "stocking/trip_demand.hpp"

namespace shearpin::stocking {

/// Chance of no shortage for n = 0, 1, ...; past the end it is 1.
struct SampledChance {
  std::vector<double> chances;
  std::vector<double> standard_errors;

  double chance(long n) const;
  double standard_error(long n) const;
};

/// Simulates 2^16 histories of the trip: 16 random digital shifts (fixed once and for all) of the
/// same 2^12 points of Sobol's sequence (Joe and Kuo 2008), which choose the node by its weight,
/// the extra demand's rates and the first lives; what a history needs beyond 48 coordinates comes
/// from a seeded generator. Lives by inversion on the exposure clock, exactly. The answer for every
/// n comes from the same histories, so it never falls with n; the standard error is that of the
/// mean over the shifts. The same input gives the same bytes. InputError and NumericError as
/// trip_demand; NumericError also past a
/// million events in one history.
SampledChance sampled_chance(const TripDemandInput& input, const TripPlan& plan);

/// The smallest n that meets a target chance of no shortage.
struct TripLevel {
  long n = 0;
  double chance = 0;  ///< of no shortage with n: the middle of the bounds, or as sampled
  /// Half the distance of the bounds, or the standard error of the sample; 0 with one interval.
  double error = 0;
  bool sampled = false;  ///< the bounds did not settle it
  ChanceRange bounds{0, 1};
};

/// demand: of the same input and plan. Sampled only where the bounds leave more than one n; a
/// sampled chance is held within its bounds. InputError unless 0 <= target <= kLargestChance.
TripLevel trip_level(const TripDemand& demand, const TripDemandInput& input, const TripPlan& plan,
                     double target);

}  // namespace shearpin::stocking
