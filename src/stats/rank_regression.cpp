#include "shearpin/stats/rank_regression.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "shearpin/base/error.hpp"
#include "shearpin/stats/weibull_likelihood.hpp"

namespace shearpin::stats {
namespace {

struct Point {
  double x;  ///< ln age
  double y;  ///< ln(-ln(1 - F))
};

void require_plottable(std::span<const LifeRecord> records) {
  check_records(records);
  for (std::size_t i = 0; i < records.size(); ++i) {
    const LifeRecord& record = records[i];
    const bool known = record.kind == LifeKind::failed || record.kind == LifeKind::alive;
    if (!known || record.entry > 0) {
      throw InputError(
          fmt::format("life record {} (age {} to {}) cannot be plotted: it must be failed at a "
                      "known age or alive, watched from age 0, e.g. failed at 120",
                      i + 1, record.entry, record.exit));
    }
  }
}

std::vector<Point> plotted_points(std::span<const LifeRecord> records) {
  std::vector<LifeRecord> sorted(records.begin(), records.end());
  std::ranges::stable_sort(sorted, [](const LifeRecord& a, const LifeRecord& b) {
    return a.exit != b.exit ? a.exit < b.exit
                            : a.kind == LifeKind::failed && b.kind != LifeKind::failed;
  });
  const auto n = static_cast<double>(sorted.size());
  std::vector<Point> points;
  double rank = 0;
  for (std::size_t i = 0; i < sorted.size(); ++i) {
    if (sorted[i].kind == LifeKind::failed) {
      // Johnson: the ranks left over are shared evenly by this unit and those after it.
      rank += (n + 1 - rank) / (n + 1 - static_cast<double>(i));
      const double fraction = (rank - 0.3) / (n + 0.4);
      points.push_back({std::log(sorted[i].exit), std::log(-std::log1p(-fraction))});
    }
  }
  return points;
}

}  // namespace

Weibull rank_regression(std::span<const LifeRecord> records, RankLine line) {
  require_plottable(records);
  const std::vector<Point> points = plotted_points(records);
  double mean_x = 0;
  double mean_y = 0;
  for (const Point& point : points) {
    mean_x += point.x / static_cast<double>(points.size());
    mean_y += point.y / static_cast<double>(points.size());
  }
  double xx = 0;
  double xy = 0;
  double yy = 0;
  for (const Point& point : points) {
    xx += (point.x - mean_x) * (point.x - mean_x);
    xy += (point.x - mean_x) * (point.y - mean_y);
    yy += (point.y - mean_y) * (point.y - mean_y);
  }
  if (points.empty() || points.front().x == points.back().x) {
    throw InputError(
        "a line needs failures at two different ages: the record has fewer, e.g. failed at 120 and "
        "at 180");
  }
  const double shape = line == RankLine::probability_on_age ? xy / xx : yy / xy;
  return {std::exp(mean_x - mean_y / shape), shape};
}

}  // namespace shearpin::stats
