#pragma once
/// The fast way through a row of nodes that share one shape: everything that does not depend on the
/// scale is worked out once for a position and a stretch.

#include <array>
#include <cstddef>
#include <memory>
#include <span>
#include <vector>

#include "stocking/count_table.hpp"
#include "stocking/position.hpp"

namespace shearpin::stocking {

/// Where the first demand may fall, as shares of the exposure of the stretch. The same for every
/// stretch and position whose density is smooth over the whole of it.
struct PlanPoints {
  std::vector<double> share;   ///< u / exposure
  std::vector<double> weight;  ///< share of du
  std::vector<double> rest;    ///< 1 - share
  std::vector<double> powers;  ///< kFirstNodes powers of rest^shape for each; only with one piece

  void add(double share_of_u, double share_of_rest, double share_of_du);
  void fill_powers(double shape);
};

/// Plans of one row; keeps the points that several can share.
class PlanMaker {
 public:
  /// unit: length in which powers of ages and exposures are taken.
  PlanMaker(double shape, double unit) : shape_(shape), unit_(unit) {}

  double shape() const { return shape_; }
  double unit() const { return unit_; }
  /// Points for a first life smooth over the stretch, in 2^pieces pieces of n Gauss points (pieces
  /// 0: two halves with n each).
  std::shared_ptr<const PlanPoints> smooth_points(std::size_t n, int pieces);

 private:
  double shape_;
  double unit_;
  struct Made {
    std::size_t n;
    int pieces;
    std::shared_ptr<const PlanPoints> points;
  };
  std::vector<Made> made_;
};

/// First demand of a plain position (Position::is_plain) for all scales of one shape. With s the
/// scale and v = (s / unit)^-shape, hazards are v times what is stored.
class RowPlan {
 public:
  /// n: Gauss points for a piece; pieces as for PlanMaker::smooth_points.
  RowPlan(const Position& position, PlanMaker& maker, double days, std::size_t n, int pieces);

  /// Hazard of the first life over the stretch (to its due day), over v.
  double full_hazard() const { return full_hazard_; }

  /// tails[k-1] = P(N >= k) until below `tail_cutoff`; returns how many. For pieces 0 and a stretch
  /// within the table's first panel: v x (exposure / unit)^shape <= table.first_w().
  std::size_t tails(double v, const CountTable& table, double tail_cutoff,
                    std::span<double> tails) const;
  /// The same anywhere in the table.
  std::size_t long_tails(double v, double scale, const CountTable& table, double tail_cutoff,
                         std::span<double> tails) const;

 private:
  static constexpr std::size_t kTerms = CountTable::kFirstNodes;

  double first_tail(double v) const;
  template <std::size_t kPowers>
  void add_moments(double v, double alive_v, std::array<double, kTerms>& moments) const;

  double exposure_;
  double exposure_power_ = 0;  // (exposure / unit)^shape
  double full_hazard_ = 0;
  double untested_hazard_ = 0;
  bool certain_ = false;  // demand at the start for certain
  bool falls_due_ = false;
  double due_rest_ = 0;   // share of the exposure still to come at the due day
  double due_ratio_ = 0;  // its power of shape
  std::shared_ptr<const PlanPoints> points_;
  std::size_t count_ = 0;        // of points; both lists are longer, up to a multiple of kWide
  std::vector<double> hazard_;   // by point
  std::vector<double> density_;  // by point, over v
};

/// Number of Gauss points a half of the first life needs for a relative error of the second tail
/// (measured over shapes 0.3 to 8, ages from 0 to 100 stretches; see tests/unit/stocking).
std::size_t plan_points_for(double relative_error);

}  // namespace shearpin::stocking
