#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "shearpin/base/error.hpp"
#include "shearpin/stats/power_law_process.hpp"

namespace shearpin::stats {
namespace {

constexpr std::array<double, 5> kSignificances{0.20, 0.15, 0.10, 0.05, 0.01};

struct TableRow {
  long points;
  std::array<double, 5> values;  ///< for kSignificances
};

constexpr std::array<TableRow, 22> kTable{{
    {2, {0.138, 0.149, 0.162, 0.175, 0.186}}, {3, {0.121, 0.135, 0.154, 0.184, 0.23}},
    {4, {0.121, 0.134, 0.155, 0.191, 0.28}},  {5, {0.121, 0.137, 0.160, 0.199, 0.30}},
    {6, {0.123, 0.139, 0.162, 0.204, 0.31}},  {7, {0.124, 0.140, 0.165, 0.208, 0.32}},
    {8, {0.124, 0.141, 0.165, 0.210, 0.32}},  {9, {0.125, 0.142, 0.167, 0.212, 0.32}},
    {10, {0.125, 0.142, 0.167, 0.212, 0.32}}, {11, {0.126, 0.143, 0.169, 0.214, 0.32}},
    {12, {0.126, 0.144, 0.169, 0.214, 0.32}}, {13, {0.126, 0.144, 0.169, 0.214, 0.33}},
    {14, {0.126, 0.144, 0.169, 0.214, 0.33}}, {15, {0.126, 0.144, 0.169, 0.215, 0.33}},
    {16, {0.127, 0.145, 0.171, 0.216, 0.33}}, {17, {0.127, 0.145, 0.171, 0.217, 0.33}},
    {18, {0.127, 0.146, 0.171, 0.217, 0.33}}, {19, {0.127, 0.146, 0.171, 0.217, 0.33}},
    {20, {0.128, 0.146, 0.172, 0.217, 0.33}}, {30, {0.128, 0.146, 0.172, 0.218, 0.33}},
    {60, {0.128, 0.147, 0.173, 0.220, 0.33}}, {100, {0.129, 0.147, 0.173, 0.220, 0.34}},
}};

std::size_t column_of(double significance) {
  const auto found = std::ranges::find_if(
      kSignificances, [&](double s) { return std::abs(s - significance) < 1e-9; });
  if (found == kSignificances.end()) {
    throw InputError(fmt::format(
        "the significance is {}: the table has 0.20, 0.15, 0.10, 0.05 and 0.01", significance));
  }
  return static_cast<std::size_t>(found - kSignificances.begin());
}

}  // namespace

double cramer_von_mises_critical(long points, double significance) {
  const std::size_t column = column_of(significance);
  if (points < 2) {
    throw InputError(
        fmt::format("the number of points is {}: it must be 2 or more, e.g. 10", points));
  }
  const auto above = std::ranges::lower_bound(kTable, points, {}, &TableRow::points);
  if (above == kTable.end()) {
    return kTable.back().values[column];
  }
  if (above->points == points) {
    return above->values[column];
  }
  const TableRow& below = *(above - 1);
  const auto inverse = [](long n) { return 1 / static_cast<double>(n); };
  const double share =
      (inverse(below.points) - inverse(points)) / (inverse(below.points) - inverse(above->points));
  return below.values[column] + share * (above->values[column] - below.values[column]);
}

}  // namespace shearpin::stats
