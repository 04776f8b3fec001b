#pragma once
/// Exposure run up to a day, as a function that can be differenced: of a meter from its readings,
/// and of a sensitive class from a meter and the conditions.

#include <cstddef>
#include <optional>
#include <utility>
#include <vector>

#include "shearpin/domain/snapshot.hpp"

namespace shearpin::domain {

/// Days since 1970-01-01.
using DayNumber = int;
DayNumber day_number(Date date);

/// A rise between two readings that the days between them, with both ends, cannot hold.
bool beyond_days(double rise, int days, std::optional<double> most_a_day);

/// Cumulative plain exposure: piecewise linear, known within readings, at a mean rate elsewhere.
class UseCurve {
 public:
  /// A constant rate a day; 1 is the calendar.
  static UseCurve constant(double rate);

  /// From one meter's readings, ordered by date. With fewer than two days of readings: `usual`;
  /// none where that is missing too. A reading below the one before it is taken as a replaced
  /// meter, and so is one that the days since cannot hold at `most` a day: it joins `impossible`.
  /// The mean rates reach over `mean_days` of readings.
  static std::optional<UseCurve> from_readings(const std::vector<const MeterReading*>& readings,
                                               std::optional<double> usual, double mean_days,
                                               std::optional<double> most,
                                               std::vector<const MeterReading*>& impossible);

  /// Exposure up to the start of a day, counted from an arbitrary day; only differences mean
  /// anything.
  double at(DayNumber day) const;
  /// True when [from, to] reaches beyond the readings, or into a gap where the meter was replaced.
  bool leaves_readings(DayNumber from, DayNumber to) const;
  /// Rate a day after the last reading.
  double rate_after() const { return rate_after_; }

 private:
  struct Knot {
    DayNumber day = 0;
    double sum = 0;     ///< exposure up to this day
    bool known = true;  ///< the stretch up to the next knot lies between readings of one meter
  };
  UseCurve() = default;
  double mean_rate(DayNumber from, DayNumber to, double otherwise) const;
  void fill_gaps(double otherwise, double mean_days);

  std::vector<Knot> knots_;  ///< none: a constant rate
  double rate_before_ = 0, rate_after_ = 0;
  bool has_gaps_ = false;
};

/// The factor by which conditions multiply exposure, day by day: 1 before the first step.
struct FactorStep {
  DayNumber day = 0;
  double factor = 1;
};

/// Steps for a class on a rig (none: any rig), the product of all that hold capped. Periods of one
/// condition that overlap count once.
std::vector<FactorStep> factor_steps(const std::vector<ConditionPeriod>& periods,
                                     std::optional<RigId> rig, const ComponentClass& kind,
                                     double cap);

/// Cumulative effective exposure: a use curve bent by factor steps.
class EffectiveCurve {
 public:
  EffectiveCurve(const UseCurve& plain, const std::vector<FactorStep>& steps);
  /// As UseCurve::at; `plain` is the curve it was made from.
  double at(DayNumber day, const UseCurve& plain) const;

 private:
  struct Knot {
    DayNumber day;
    double factor;
    double plain, effective;  ///< sums up to the day
  };
  std::vector<Knot> knots_;
};

}  // namespace shearpin::domain
