#include "stocking/node_rows.hpp"

#include <fmt/format.h>
#include <cmath>

#include "shearpin/base/error.hpp"
#include "stocking/trip_clock.hpp"

namespace shearpin::stocking {
namespace {

constexpr double kMostPlannedRenewals = 400;
// The outermost nodes of a belief lie past the shapes that are counted well: old units that are
// still alive speak for any small shape. So light, they count with their neighbours.
constexpr double kStray = 1e-8;  // weight of all of them

// The largest of some weights below which nodes together weigh no more than `merged`.
double light_weight(std::span<const stats::WeibullNode> nodes, double merged) {
  for (const double light :
       {1e-6, 3e-7, 1e-7, 3e-8, 1e-8, 3e-9, 1e-9, 3e-10, 1e-10, 3e-11, 1e-11}) {
    if (5 * light > merged * (1 + 1e-9)) {
      continue;
    }
    double sum = 0;
    for (const stats::WeibullNode& node : nodes) {
      sum += node.weight < light ? node.weight : 0;
    }
    if (sum <= merged) {
      return light;
    }
  }
  return 0;
}

}  // namespace

std::vector<NodeRow> make_rows(std::span<const stats::WeibullNode> nodes, double merged) {
  const double light = light_weight(nodes, merged);
  std::vector<NodeRow> rows;
  double left_over = 0;  // weight of light nodes before the next one kept
  for (const stats::WeibullNode& node : nodes) {
    if (node.weight < light || !(node.weight > 0) || !is_counted(node.shape)) {
      // To the kept node below in the same row, else to the next one kept.
      if (!rows.empty() && rows.back().shape == node.shape) {
        rows.back().nodes.back().weight += node.weight;
      } else {
        left_over += node.weight;
      }
      continue;
    }
    if (rows.empty() || rows.back().shape != node.shape) {
      rows.emplace_back();
      rows.back().shape = node.shape;
    }
    rows.back().nodes.push_back({node.scale, node.weight + left_over, 0});
    left_over = 0;
  }
  if (!rows.empty()) {
    rows.back().nodes.back().weight += left_over;
  }
  for (NodeRow& row : rows) {
    double heaviest = 0;
    for (const RowNode& node : row.nodes) {
      row.weight += node.weight;
      if (node.weight > heaviest) {
        heaviest = node.weight;
        row.unit = node.scale;
      }
    }
    for (RowNode& node : row.nodes) {
      node.v = std::pow(node.scale / row.unit, -row.shape);
    }
  }
  return rows;
}

void check_not_negative(double value, const char* what) {
  if (!(value >= 0) || !std::isfinite(value)) {
    throw InputError(fmt::format("{} of {} is not a number >= 0", what, value));
  }
}

void check_unit(const UnitState& unit, double longest_days) {
  check_not_negative(unit.age, "an age");
  check_not_negative(unit.untested, "an untested exposure");
  check_not_negative(unit.exposure_per_day, "an exposure a day");
  check_not_negative(unit.before, "an exposure before the start");
  check_not_negative(unit.before_days, "a number of days before the start");
  check_legs(unit.legs, longest_days);
  if (unit.pieces < 1 || unit.pieces > 1000) {
    throw InputError(fmt::format("a unit of {} pieces is not of 1 to 1000", unit.pieces));
  }
  if (std::isnan(unit.due_days)) {
    throw InputError("a due day is not a number");
  }
  if (!(unit.renewed_every_days > 0)) {
    throw InputError(fmt::format("a renewal every {} days is not above 0, such as 365",
                                 unit.renewed_every_days));
  }
  if (longest_days + unit.before_days > kMostPlannedRenewals * unit.renewed_every_days) {
    throw NumericError(fmt::format(
        "a stretch of {} days holds more than {} renewals every {} days; ask for a shorter one",
        longest_days, kMostPlannedRenewals, unit.renewed_every_days));
  }
}

void check_nodes(std::span<const stats::WeibullNode> nodes) {
  double total = 0;
  double stray = 0;
  for (const stats::WeibullNode& node : nodes) {
    const bool is_life = node.scale > 0 && std::isfinite(node.scale) && node.shape > 0;
    if (!(node.weight >= 0) || (!is_life && node.weight > 0)) {
      throw InputError(
          fmt::format("a life of scale {}, shape {} and weight {} is none: scale and shape must be "
                      "above 0 and the weight not below, e.g. 900, 1.5 and 0.2",
                      node.scale, node.shape, node.weight));
    }
    total += node.weight;
    stray += is_counted(node.shape) ? 0 : node.weight;
  }
  if (!(std::fabs(total - 1) < 1e-6)) {
    throw InputError(fmt::format("the weights of the lives add up to {}, not 1", total));
  }
  if (stray > kStray) {
    throw InputError(fmt::format(
        "{:.2g} of the belief lies on lives whose shape is not {} to {}. Units that outlive a "
        "narrow "
        "belief many times over do that: widen the life's range, e.g. from 900-1100 to 300-9000",
        stray, kLeastShape, kMostShape));
  }
}

}  // namespace shearpin::stocking
