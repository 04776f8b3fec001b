#pragma once
/// Round numbers along an axis.

#include <vector>

#include "shearpin/base/date.hpp"

namespace shearpin::report {

/// The smallest of 1, 2 and 5 times a power of ten that is at least `least`. std::logic_error
/// unless `least` is above zero and finite.
double nice_step(double least);

/// An axis from zero.
struct Scale {
  double top = 1;             ///< the last tick
  std::vector<double> ticks;  ///< from zero, evenly

  /// Where `value` stands, from 0 to 1; beyond the ends it is held there.
  double share(double value) const;
};

/// Ticks by a nice step, at most `steps` of them beyond zero, the last at or above `most`. With
/// `whole` the step is at least one. Without anything to show (`most` 0) it runs to one step.
/// std::logic_error for a negative or infinite `most` or fewer steps than one.
Scale scale_to(double most, int steps, bool whole = false);

/// Days along an axis that begins with `from` and ends with `to`, which is later or the same.
struct DateScale {
  Date from, to;
  std::vector<Date> ticks;  ///< from `from`, every 1, 2, 7, 14, 28, 56 ... days, none after `to`

  double share(Date date) const;
};

/// At most `steps` ticks beyond the first. std::logic_error where `to` comes before `from`.
DateScale date_scale(Date from, Date to, int steps);

}  // namespace shearpin::report
