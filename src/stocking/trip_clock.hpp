#pragma once
/// The exposure clock of one position over a trip: piecewise linear in days.

#include <span>
#include <vector>

#include "stocking/trip_plan.hpp"

namespace shearpin::stocking {

class TripClock {
 public:
  /// Runs at the legs' rates (without legs at per_day) over [0, days]; before day 0, `before` of
  /// exposure passes evenly over before_days (a ten-thousandth of a day when that is 0).
  TripClock(std::span<const ExposureSegment> legs, double per_day, double days, double before = 0,
            double before_days = 0);

  /// Exposure since day 0, negative before it; the day is held to the clock's range.
  double at(double day) const;
  /// First day by which the exposure is reached; infinity past the end.
  double day_of(double exposure) const;

  double start_day() const { return days_.front(); }
  /// Days at which the rate may change, start and end included.
  std::span<const double> breaks() const { return days_; }

  bool operator==(const TripClock&) const = default;

 private:
  std::vector<double> days_;
  std::vector<double> exposures_;
};

/// InputError unless the legs rise, their rates are numbers >= 0 and they reach the end of a trip
/// of `days`; no legs are fine.
void check_legs(std::span<const ExposureSegment> legs, double days);

/// Checks everything a trip is asked with, as trip_plan.hpp and fitted_demand.hpp state.
void check_trip(const TripDemandInput& input, const TripPlan& plan);

/// The clock of a unit; what happens before day 0 belongs to it unless the unit is down or hidden
/// (those are settled at the start).
TripClock clock_of(const UnitState& unit, double days);
TripClock clock_of(const ExtraDemand& extra, double days);

/// What a unit is like, with the cases sorted out that FittedDemand's contract lists.
struct TripStart {
  bool down = false;    ///< a certain demand at day 0, new unit then
  bool hidden = false;  ///< `passed` of exposure is looked at on day 0: dead then, or alive
  double passed = 0;    ///< exposure between the known age and day 0 of a hidden unit
  double from_day = 0;  ///< from where the unit runs; below 0 if it starts before the trip
  double due_day = 0;   ///< of the unit fitted, at or after from_day; infinity for none
};
TripStart start_of(const UnitState& unit, const TripClock& clock);

}  // namespace shearpin::stocking
