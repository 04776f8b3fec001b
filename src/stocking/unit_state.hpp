#pragma once
/// A unit in its position, as everything that counts demand sees it.

#include <compare>
#include <limits>
#include <span>
#include <vector>

#include "shearpin/stats/weibull.hpp"

namespace shearpin::stocking {

/// Exposure runs at `per_day` until day `until_day`, from where the segment before ends.
struct ExposureSegment {
  double until_day;
  double per_day;
  friend auto operator<=>(const ExposureSegment&, const ExposureSegment&) = default;
};

/// One position and the unit in it. Ages and exposures are effective ones, in the unit of the
/// posterior's scale. The stretch of days starts at day 0, "the start".
struct UnitState {
  /// Age at the start; with `untested`, age at the last passed test; with `before`, age today. >=
  /// 0.
  double age = 0;
  /// Hidden classes: exposure since the last passed test. A failure in it is found, and is demand,
  /// at the start; the unit put in then is new.
  double untested = 0;
  /// Exposure a day during the stretch, unless `legs` are given; >= 0, 0 for a position that stands
  /// still.
  double exposure_per_day = 0;
  /// Exposure between today and the start, for stretches that start later: what fails before the
  /// start is replaced by a new unit then and is no demand of the stretch.
  double before = 0;
  /// Days between today and the start; only read together with renewed_every_days or a negative
  /// due_days.
  double before_days = 0;
  /// Dead, on a workaround or on a stand-in: one certain demand at the start, new unit from age 0.
  bool down = false;
  /// Day on which a planned renewal or the marked end of this unit falls, counted from the start;
  /// it is demand if the unit has not failed before. 0 or less, with before_days 0: due already,
  /// demand at the start. Negative with before_days > 0: renewed that many days before the start.
  double due_days = std::numeric_limits<double>::infinity();
  /// Units put in later are likewise renewed this many days after they go in; > 0.
  double renewed_every_days = std::numeric_limits<double>::infinity();
  /// Pieces of the part that one unit takes (cells that drain together): demand is in pieces. 1 to
  /// 1000.
  int pieces = 1;
  /// Set when the unit in the position is of another part: that part's own posterior, independent
  /// of this one; the units put in later are of this part. Must outlive the constructor call only.
  std::span<const stats::WeibullNode> first_life = {};
  /// Exposure a day by leg: until_day rising strictly, the last one at or past the end of the
  /// stretch.
  std::vector<ExposureSegment> legs = {};
};

/// Whether two units have the same demand ahead: they can be counted together.
bool alike(const UnitState& a, const UnitState& b);
/// An order that does not depend on the order of the units; those that run alike come together.
bool comes_first(const UnitState& a, const UnitState& b);

}  // namespace shearpin::stocking
