#pragma once
/// From a node of the posterior and the positions of a trip to the ends that TripSolver counts.

#include <cstddef>
#include <vector>

#include "stocking/node_rows.hpp"
#include "stocking/trip_points.hpp"
#include "stocking/trip_solver.hpp"

namespace shearpin::stocking {

/// A position of a trip; several alike are counted together.
struct TripPosition {
  UnitState unit;
  TripStart start;
  std::size_t copies = 1;
  std::size_t clock = 0;  ///< among the trip's clocks
  bool renews = false;    ///< units put in are renewed within the trip
};

/// Positions, alike ones together, in an order that does not depend on the order of the units.
struct TripPositions {
  std::vector<TripClock> clocks;
  std::vector<TripPosition> positions;

  TripPositions(std::span<const UnitState> units, double days);
  /// Days at which the demand jumps or starts anew, or before which a new unit is renewed within an
  /// interval; and the least renewal interval.
  std::vector<TripBreak> breaks(std::span<const TripInterval> intervals) const;
  double least_renewal() const;
};

/// Points of one fineness with what does not depend on the life.
struct TripGridLevel {
  TripPoints points;
  std::vector<ClockTable> clocks;
  std::vector<std::vector<double>> first_survival;  ///< by position: of units of another part

  TripGridLevel(const TripLayout& layout, double exposure, const TripPositions& positions);
};

/// The same with the powers that all nodes of one shape share.
class TripRowLevel {
 public:
  TripRowLevel(const TripGridLevel& level, const TripPositions& positions, double shape);

  const TripGridLevel& level() const { return level_; }
  /// Ends of units that start new, at every `stride`-th point.
  void new_ends(const RowNode& node, std::size_t position, std::size_t stride, NewUnitEnds& out);
  void first_ends(const RowNode& node, std::size_t position, std::size_t stride,
                  FirstUnitEnds& out);

 private:
  // Chance that the hidden unit of a position is found dead on day 0.
  double found_dead(const RowNode& node, std::size_t position) const;
  void renewing_ends(const RowNode& node, std::size_t position, std::size_t stride,
                     NewUnitEnds& out) const;
  void survivals_of(const RowNode& node, std::size_t clock);

  const TripGridLevel& level_;
  const TripPositions& positions_;
  // (scale in units of unit_)^-shape: times a stored hazard it is the node's own.
  double rate_of(const RowNode& node) const;

  double shape_;
  double unit_;                              // of exposure, so that no power overflows
  std::vector<std::vector<double>> powers_;  // by clock: differences^shape
  std::vector<std::vector<double>>
      hazards_;                         // by position and point, over the rate, since the known age
  std::vector<double> passed_hazards_;  // by position: of the untested exposure
  std::vector<double> survivals_;       // of the node and clock last asked for
  std::vector<double> first_;
};

}  // namespace shearpin::stocking
