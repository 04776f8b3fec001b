#pragma once
/// What FittedDemand and the trips share of checking their input and of going through a posterior
/// row by row.

#include <span>
#include <vector>

#include "stocking/fitted_demand.hpp"

namespace shearpin::stocking {

/// Shapes that are counted; a belief may have 1e-8 of its weight past them.
inline constexpr double kLeastShape = 0.02;
inline constexpr double kMostShape = 200;
inline bool is_counted(double shape) { return shape >= kLeastShape && shape <= kMostShape; }

struct RowNode {
  double scale;
  double weight;
  double v;  ///< (scale / unit of the row)^-shape
};

/// Nodes of one shape.
struct NodeRow {
  double shape = 0;
  double weight = 0;
  double unit = 1;  ///< scale of the heaviest node: powers of lengths in days would overflow
  std::vector<RowNode> nodes;
};

/// The rows of a posterior; nodes so light that together they weigh no more than `merged` are
/// counted with a neighbour, so no probability moves by more. So are those
/// of a shape that is not counted.
std::vector<NodeRow> make_rows(std::span<const stats::WeibullNode> nodes, double merged);

/// InputError unless value is a number >= 0; `what` names it.
void check_not_negative(double value, const char* what);
/// InputError and NumericError as FittedDemand states them.
void check_unit(const UnitState& unit, double longest_days);
void check_nodes(std::span<const stats::WeibullNode> nodes);

}  // namespace shearpin::stocking
