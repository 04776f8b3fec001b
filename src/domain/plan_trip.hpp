#pragma once
/// Trips as entries: every change stores the whole plan anew, and the newest live one of a key
/// counts, so that taking an entry back brings the plan before it.

#include "domain/plan.hpp"
#include "shearpin/domain/trip.hpp"

namespace shearpin::domain {

struct TripRequest {
  When when;  ///< the day of planning; the trip itself may lie ahead
  TripLine trip;
};

/// `trip add`, `leg`, `stop`, `edit`: the plan as it shall stand, put in order. Refused as
/// check_trip says, and where a stop sells a part, class or supplier that the catalogue does not
/// hold. Notes tell of conditions that no class is sensitive to and of what the plan still lacks.
Plan plan_trip(const Catalogue& catalogue, const TripRequest& request);

/// `trip remove`: a plan with no name, legs or stops, which stands for none.
Plan plan_trip_removal(const When& when, const std::string& key);

}  // namespace shearpin::domain
