#include "stocking/stationary_counts.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "stocking/position.hpp"
#include "stocking/quadrature.hpp"

namespace shearpin::stocking {
namespace {

constexpr std::size_t kGaussPoints = 8;

// From P(N >= 1) and the tails beyond.
PmfBand band_of(double first, const std::vector<double>& tails, double tail_cutoff) {
  PmfBand band;
  double above = std::clamp(first, 0.0, 1.0);
  band.values.push_back(1 - above);
  for (const double tail : tails) {
    const double next = std::clamp(tail, 0.0, above);
    band.values.push_back(above - next);
    above = next;
    if (above < tail_cutoff) {
      return band;
    }
  }
  band.values.push_back(above);
  return band;
}

}  // namespace

const CountTable& StationaryCounts::table() {
  if (!table_) {
    // Nodes counted this way are light or rough anyway.
    table_.emplace(CountTableSpec{.shape = shape_,
                                  .z_max = kLongestTable,
                                  .limits = {{kLongestTable, 1e-8}},
                                  .first = TableQuality::medium,
                                  .later = TableQuality::rough});
  }
  return *table_;
}

PmfBand StationaryCounts::settled(double z, double tail_cutoff) {
  if (!(z > 0)) {
    return {0, {1.0}};
  }
  if (z > kLongestTable) {
    // Moments of the life left: E V^r = E L^(r+1) / ((r + 1) E L).
    const double mean = std::tgamma(1 + 1 / shape_);
    const auto moment = [&](double r) {
      return std::tgamma(1 + (r + 1) / shape_) / ((r + 1) * mean);
    };
    const double m1 = moment(1);
    const double m2 = moment(2);
    const double m3 = moment(3);
    const double v = m2 - m1 * m1;
    const double central4 = moment(4) - 4 * m1 * m3 + 6 * m1 * m1 * m2 - 3 * m1 * m1 * m1 * m1;
    const Cumulants left{m1, v, m3 - 3 * m1 * m2 + 2 * m1 * m1 * m1, central4 - 3 * v * v};
    return many_lives(left, weibull_cumulants(shape_), z, tail_cutoff);
  }
  const double mean = std::tgamma(1 + 1 / shape_);
  std::vector<SplitPoint> points;
  const double high = std::min(z, Life(1, shape_).spent(0));
  append_split_points(points, {0, high, z}, Grading(shape_), table().piece(), kGaussPoints);
  std::vector<double> tails(table().order(), 0.0);
  double reached = 0;
  for (const SplitPoint& p : points) {
    const double weight = p.weight * std::exp(-std::pow(p.u, shape_)) / mean;
    reached += weight;
    table().add_tails(std::max(p.rest, 0.0), weight, 1e-16, tails);
  }
  return band_of(reached, tails, tail_cutoff);
}

PmfBand StationaryCounts::from_start(const TripPosition& trip, double exposure, const RowNode& node,
                                     double tail_cutoff) {
  Position position;
  position.state = trip.unit;
  position.state.exposure_per_day = exposure;  // over one day
  position.state.due_days = std::numeric_limits<double>::infinity();
  position.state.renewed_every_days = std::numeric_limits<double>::infinity();
  position.state.down = trip.start.down;
  position.state.before = trip.start.hidden ? trip.unit.before : 0;
  position.state.before_days = 0;
  position.state.first_life = {};
  const Life life(node.scale, shape_);
  if (!(exposure > 0)) {
    return standing_still(position, life, 1, {});
  }
  if (exposure / node.scale > kLongestTable) {
    return over_many_lives(position, life, 1, tail_cutoff);
  }
  FirstDemand first;
  first_demand(first, position, life, 1, {}, kGaussPoints);
  std::vector<double> tails(table().order(), 0.0);
  for (std::size_t q = 0; q < first.rest.size(); ++q) {
    table().add_tails(first.rest[q] / node.scale, first.weight[q], 1e-16, tails);
  }
  return band_of(first.chance, tails, tail_cutoff);
}

StationaryCounts::Bands StationaryCounts::counts(const TripPosition& position,
                                                 const TripClock& clock, const RowNode& node,
                                                 std::span<const TripInterval> intervals,
                                                 const TripPoints& points, double tail_cutoff) {
  Bands bands(intervals.size());
  // Another part's unit, or one that ran before the trip, is soon gone; what follows has settled.
  const bool known = position.unit.first_life.empty() && !(position.start.from_day < 0);
  for (std::size_t k = 0; k < intervals.size(); ++k) {
    for (const TripReading& reading : points.windows[k].readings) {
      const double exposure =
          std::max(clock.at(points.days[reading.point]) - clock.at(intervals[k].from), 0.0);
      bands[k].push_back(intervals[k].takes_in_start && known
                             ? from_start(position, exposure, node, tail_cutoff)
                             : settled(exposure / node.scale, tail_cutoff));
    }
  }
  return bands;
}

}  // namespace shearpin::stocking
