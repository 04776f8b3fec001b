#include "stats/marginals.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "shearpin/base/error.hpp"

namespace shearpin::stats {
namespace {

constexpr double kLightRow = 1e-7;  // rows and nodes below this weight set no range and no step
constexpr std::size_t kMostPoints = 200'000;

std::size_t points(double count) {
  if (!(count < static_cast<double>(kMostPoints))) {
    throw NumericError("the summary of a life's posterior needs too many points");
  }
  return static_cast<std::size_t>(count) + 2;
}

double at(const DensityTable& table, std::ptrdiff_t i) {
  return i >= 0 && i < std::ssize(table.density) ? table.density[static_cast<std::size_t>(i)] : 0;
}

/// Integral over [i, i + 1] steps: the interpolating polynomial through six points.
double cell(const DensityTable& table, std::ptrdiff_t i) {
  return (11 * (at(table, i - 2) + at(table, i + 3)) - 93 * (at(table, i - 1) + at(table, i + 2)) +
          802 * (at(table, i) + at(table, i + 1))) /
         1440;
}

/// Share of a cell below the fraction x of it, by the cubic through its four nearest points.
double part_of_cell(const DensityTable& table, std::ptrdiff_t i, double x) {
  const double before = at(table, i - 1);
  const double here = at(table, i);
  const double next = at(table, i + 1);
  const double after = at(table, i + 2);
  // Newton's form about i - 1, integrated from 1 to 1 + x.
  const double d1 = here - before;
  const double d2 = next - 2 * here + before;
  const double d3 = after - 3 * next + 3 * here - before;
  const auto integral = [&](double u) {
    return u *
           (before + u * (d1 / 2 + d2 * (u / 6 - 0.25) + d3 * (u * (u / 24 - 1.0 / 6) + 1.0 / 6)));
  };
  return integral(1 + x) - integral(1);
}

/// The part of cell i below the fraction x of it, scaled so that the whole is `cell`: the cubic's
/// own differs from the six-point one in the last digits.
double part_below(const DensityTable& table, std::ptrdiff_t i, double x) {
  const double whole = part_of_cell(table, i, 1);
  return whole > 0 ? cell(table, i) / whole * part_of_cell(table, i, x) : 0;
}

constexpr std::ptrdiff_t kOutside = 3;  // cells beyond an end that the six points still reach

}  // namespace

double quantile(const DensityTable& table, double probability) {
  double total = 0;
  for (std::ptrdiff_t i = -3; i < std::ssize(table.density) + 3; ++i) {
    total += cell(table, i);
  }
  double left = probability * total;
  std::ptrdiff_t i = -3;
  for (; i < std::ssize(table.density) + 3 && left > cell(table, i); ++i) {
    left -= cell(table, i);
  }
  // The cubic's cell differs from the six-point one in the last digits: scaled, so that the parts
  // add up.
  const double scale = cell(table, i) / part_of_cell(table, i, 1);
  double low = 0;
  double high = 1;
  for (int step = 0; step < 50; ++step) {
    const double middle = 0.5 * (low + high);
    (scale * part_of_cell(table, i, middle) < left ? low : high) = middle;
  }
  return table.first + table.step * (static_cast<double>(i) + 0.5 * (low + high));
}

DensityShares::DensityShares(DensityTable table) : table_(std::move(table)) {
  for (std::ptrdiff_t i = -kOutside; i < std::ssize(table_.density) + kOutside; ++i) {
    sums_.push_back(steps_total_);
    steps_total_ += cell(table_, i);
  }
  total_ = steps_total_ * table_.step;
}

double DensityShares::below(double value) const {
  const double place = (value - table_.first) / table_.step;
  const double low = std::floor(place);
  if (!(low >= -static_cast<double>(kOutside))) {
    return 0;
  }
  if (low >= static_cast<double>(std::ssize(table_.density) + kOutside)) {
    return 1;
  }
  const auto i = static_cast<std::ptrdiff_t>(low);
  const double sum =
      sums_[static_cast<std::size_t>(i + kOutside)] + part_below(table_, i, place - low);
  return std::clamp(sum / steps_total_, 0.0, 1.0);
}

Marginals::Marginals(const LogPrior& prior, const RecordTable& table)
    : prior_(prior),
      table_(table),
      mode_(find_mode(prior, table, prior.shape_mean)),
      grid_(lay_grid(prior, table, mode_, {})) {
  for (const GridRow& row : grid_.rows) {
    add_moments(row);
  }
}

void Marginals::add_moments(const GridRow& row) {
  double weight = 0;
  double sum = 0;
  double squares = 0;
  for (std::size_t i = row.first; i < row.first + row.count; ++i) {
    const double from_mode = grid_.t[i] - mode_.t;
    weight += grid_.weight[i];
    sum += grid_.weight[i] * from_mode;
    squares += grid_.weight[i] * from_mode * from_mode;
  }
  const double mean = weight > 0 ? sum / weight : 0;
  const double sd = weight > 0 ? std::sqrt(std::max(0.0, squares / weight - mean * mean)) : 0;
  moments_.push_back({weight / grid_.total, mean + mode_.t, std::max(sd, 1e-12)});
}

double Marginals::row_spacing() const {
  return grid_.rows.size() > 1 ? grid_.rows[1].z - grid_.rows[0].z : 1;
}

/// At one value of the quantity, the density as a function of ln shape is a bell narrowed by the
/// slope of the ridge.
double Marginals::ridge_step(std::size_t i, const std::function<double(double)>& shift) const {
  if (i + 1 >= grid_.rows.size() || moments_[i + 1].weight < kLightRow) {
    return row_spacing();
  }
  const double rise = moments_[i + 1].mean + shift(grid_.rows[i + 1].shape) - moments_[i].mean -
                      shift(grid_.rows[i].shape);
  const double across = std::abs(rise) / (row_spacing() * moments_[i].sd);
  return 0.8 * row_spacing() / std::hypot(1, row_spacing() * across);
}

template <class Use>
void Marginals::for_each_row(double step, Use use) const {
  RowDensity row;
  double mode = moments_.front().mean;
  const double last = grid_.rows.back().z;
  const double first = grid_.rows.front().z;
  const std::size_t count = grid_.rows.size() > 1 ? points((last - first) / step) : 1;
  for (std::size_t i = 0; i < count; ++i) {
    row.set(prior_, table_, first + step * static_cast<double>(i));
    mode = row.mode(mode, 0.01);
    use(row, mode);
  }
}

double Marginals::density(const RowDensity& row, double t) const {
  return std::exp(row.value(t) - mode_.slopes.value);
}

double Marginals::sum_away(const RowDensity& row, double t, double step) const {
  constexpr double kNothing = 1e-13;
  double sum = 0;
  for (double value = density(row, t); value > kNothing; value = density(row, t)) {
    sum += value;
    t += step;
  }
  return sum;
}

void Marginals::add_row(const RowDensity& row, double mode, double shift,
                        DensityTable& table) const {
  constexpr double kNothing = 1e-13;
  const auto size = std::ssize(table.density);
  const auto start = static_cast<std::ptrdiff_t>(
      std::clamp((mode + shift - table.first) / table.step, 0.0, static_cast<double>(size - 1)));
  for (const std::ptrdiff_t by : {-1, 1}) {
    for (std::ptrdiff_t i = by < 0 ? start : start + 1; i >= 0 && i < size; i += by) {
      const double value = density(row, table.first + table.step * static_cast<double>(i) - shift);
      if (value < kNothing) {
        break;
      }
      table.density[static_cast<std::size_t>(i)] += value;
    }
  }
}

DensityTable Marginals::of(const std::function<double(double)>& shift) const {
  double low = 0;
  double high = 0;
  double finest = 0;
  double rows_step = row_spacing();
  bool first = true;
  for (std::size_t i = 0; i < grid_.rows.size(); ++i) {
    const GridRow& row = grid_.rows[i];
    if (moments_[i].weight < kLightRow) {
      continue;
    }
    const double by = shift(row.shape);
    const double reach = 6.5 * moments_[i].sd + 1 / row.shape;
    const double row_low = std::max(grid_.t[row.first], moments_[i].mean - reach) + by;
    const double row_high =
        std::min(grid_.t[row.first + row.count - 1], moments_[i].mean + reach) + by;
    low = first ? row_low : std::min(low, row_low);
    high = first ? row_high : std::max(high, row_high);
    // Heavy rows set the table's step: light ones add little of the density.
    if (moments_[i].weight > 1e-3) {
      finest = finest > 0 ? std::min(finest, moments_[i].sd) : moments_[i].sd;
    }
    first = false;
    rows_step = std::min(rows_step, ridge_step(i, shift));
  }
  DensityTable table{low, kTableStep * finest, {}};
  table.density.assign(points((high - low) / table.step), 0.0);
  for_each_row(rows_step, [&](const RowDensity& row, double mode) {
    add_row(row, mode, shift(row.shape()), table);
  });
  return table;
}

DensityTable Marginals::of_shape() const {
  DensityTable table{grid_.rows.front().z, row_spacing() / 8, {}};
  for_each_row(table.step, [&](const RowDensity& row, double mode) {
    const double step = 0.5 / std::sqrt(row.curvature(mode) + row.shape() * row.shape());
    table.density.push_back(step * (sum_away(row, mode, step) + sum_away(row, mode - step, -step)));
  });
  return table;
}

}  // namespace shearpin::stats
