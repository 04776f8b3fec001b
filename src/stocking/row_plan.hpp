#pragma once
/// The fast way through a row of nodes that share one shape: everything that does not depend on the
/// scale is worked out once for a position and a stretch.

#include <cstddef>
#include <span>
#include <vector>

#include "stocking/count_table.hpp"
#include "stocking/position.hpp"

namespace shearpin::stocking {

/// First demand of a plain position (Position::is_plain) for all scales of one shape. With s the
/// scale and v = s^-shape, hazards are v times what is stored.
class RowPlan {
 public:
  /// points: Gauss points for each half of the first life.
  RowPlan(const Position& position, double shape, double days, std::size_t points);

  /// True where the plan is good for this v: the life does not run out within the stretch.
  bool holds(double v) const { return v * full_hazard_ < kMostHazard; }

  /// tails[k-1] = P(N >= k) until below `nothing`; returns how many. The stretch must lie within
  /// the table's first panel: v x exposure^shape <= table.first_w().
  std::size_t tails(double v, const CountTable& table, double nothing,
                    std::span<double> tails) const;

  double exposure_power() const { return exposure_power_; }

 private:
  static constexpr double kMostHazard = 9;
  static constexpr std::size_t kTerms = CountTable::kFirstNodes;

  // Powers of (rest / exposure)^shape for a demand with `rest` still to come.
  void push_powers(double ratio);

  double exposure_power_ = 0;  // exposure^shape
  double full_hazard_ = 0;     // of the first life up to its due day or the end, over v
  double untested_hazard_ = 0;
  bool certain_ = false;  // demand at the start for certain
  bool falls_due_ = false;
  double due_ratio_ = 0;         // (rest / exposure)^shape at the due day
  std::vector<double> hazard_;   // by point
  std::vector<double> density_;  // by point, over v
  std::vector<double> powers_;   // by point, kTerms each
};

}  // namespace shearpin::stocking
