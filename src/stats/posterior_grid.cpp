#include "stats/posterior_grid.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "shearpin/base/error.hpp"

namespace shearpin::stats {
namespace {

constexpr double kPi = std::numbers::pi;
constexpr double kGridCut = 27;  // nodes below e^-27 = 2e-12 of the top add up to less than 1e-10
// Natural logarithms by which the steps aim below the tolerance. Across shapes the chances are less
// bell-shaped than along scales: found by trial over the whole domain, so that few grids need a
// second laying.
constexpr double kScaleMargin = 2.8;
constexpr double kShapeMargin = 8;
constexpr double kLeastDigits = 2;
constexpr std::size_t kMaxNodes = 1'000'000;
constexpr int kMaxRefinements = 20;
constexpr double kCloser = 0.8;
constexpr double kManyLives = 30;  // past it sums of as many terms give way to a closed form
constexpr double kSafety = 0.2;    // the check looks at a few chances, the promise is about all

/// Fourier decay of the chance of at most lives - 1 failures, as a function of ln of the cumulative
/// hazard: -ln |Gamma(k + i x) / Gamma(k)| by Stirling. Solved for the x at which it reaches
/// `digits` (natural logarithms).
double count_frequency(double lives, double digits) {
  double x = std::sqrt(2 * digits * lives) + digits;
  for (int step = 0; step < 30; ++step) {
    const double ratio = x / lives;
    const double decay =
        x * std::atan(ratio) - 0.5 * (lives - 0.5) * std::log1p(ratio * ratio) - digits;
    const double slope = std::atan(ratio) + 0.5 * ratio / (1 + ratio * ratio) / lives;
    const double next = std::max(0.1 * x, x - decay / slope);
    const bool close = std::abs(next - x) < 1e-3 * x;
    x = next;
    if (close) {
      break;
    }
  }
  return x;
}

/// Step that integrates a normal bell of this deviation with an error of e^-digits: error 2 exp(-2
/// (pi sd / step)^2).
double bell_step(double sd, double digits) { return kPi * sd * std::sqrt(2 / digits); }

class Layer {
 public:
  Layer(const LogPrior& prior, const RecordTable& table, const DensityMode& mode,
        const GridPlan& plan)
      : prior_(prior), table_(table), mode_(mode), plan_(plan) {}

  Grid lay() {
    if (prior_.shape_fixed) {
      add_row(mode_.z, mode_.t, 1);
      return std::move(grid_);
    }
    const double step = shape_step();
    walk(mode_.z + plan_.shape_offset * step, -step);
    std::ranges::reverse(grid_.rows);
    walk(mode_.z + (plan_.shape_offset + 1) * step, step);
    return std::move(grid_);
  }

 private:
  double shape_step() const {
    const DensitySlopes& at = mode_.slopes;
    const double bend = -(at.zz - at.tz * at.tz / at.tt);
    const double prior_sd = 1 / std::sqrt(prior_.shape_precision);
    const double sd = bend > 0 ? std::min(1 / std::sqrt(bend), prior_sd) : prior_sd;
    return plan_.shape_step * bell_step(sd, -std::log(plan_.tolerance) + kShapeMargin);
  }

  void walk(double z, double step) {
    double guess = mode_.t;
    int below = 0;
    while (below < 2) {
      const double share = add_row(z, guess, std::abs(step));
      below = share < -kGridCut ? below + 1 : 0;
      z += step;
      guess = last_mode_;
    }
  }

  /// Adds the row at z unless all of it lies below the cut; returns ln of its share of the mode's
  /// own.
  double add_row(double z, double guess, double cell) {
    row_.set(prior_, table_, z);
    const double top = row_.mode(guess, 0.01);
    last_mode_ = top;
    const double curvature = row_.curvature(top);
    const double share =
        row_.value(top) - mode_.slopes.value + 0.5 * std::log(-mode_.slopes.tt / curvature);
    if (share < -kGridCut) {
      return share;
    }
    const double sd = 1 / std::sqrt(curvature);
    const double digits =
        std::max(kLeastDigits, -std::log(plan_.tolerance) + kScaleMargin + std::min(share, 0.0));
    const double step = plan_.scale_step * row_step(sd, row_.shape(), plan_.lives, digits);
    const std::size_t first = grid_.t.size();
    const double start = top + plan_.scale_offset * step;
    add_nodes(start, -step, cell);
    std::reverse(grid_.t.begin() + static_cast<std::ptrdiff_t>(first), grid_.t.end());
    std::reverse(grid_.weight.begin() + static_cast<std::ptrdiff_t>(first), grid_.weight.end());
    add_nodes(start + step, step, cell);
    // Near the cut an offset start can leave a row without a node.
    if (grid_.t.size() > first) {
      grid_.rows.push_back({z, row_.shape(), step, first, grid_.t.size() - first, sd, digits});
    }
    return share;
  }

  void add_nodes(double t, double step, double cell) {
    const double ln_cell = std::log(std::abs(step) * cell);
    const double floor = mode_.slopes.value - kGridCut;
    for (;; t += step) {
      const double log_density = row_.value(t);
      if (!(log_density > floor)) {
        return;
      }
      const double weight = std::exp(log_density - mode_.slopes.value + ln_cell);
      grid_.t.push_back(t);
      grid_.weight.push_back(weight);
      grid_.total += weight;
      if (grid_.t.size() > kMaxNodes) {
        throw NumericError("the posterior of a life needs more than a million nodes");
      }
    }
  }

  const LogPrior& prior_;
  const RecordTable& table_;
  const DensityMode& mode_;
  const GridPlan& plan_;
  RowDensity row_;
  Grid grid_;
  double last_mode_ = 0;
};

/// Chances that the check compares: no failure of a new unit, and fewer than `lives` of one, over
/// stretches spread over the posterior; no failure of a unit as old as the oldest on record.
constexpr std::array<double, 5> kStretches{-2.5, -1, 0.3, 1.5, 3.2};  // deviations of ln life
constexpr std::array<double, 4> kCountStretches{-1.5, 0, 1.5,
                                                2.5};            // likewise, about `lives` lives
constexpr std::array<double, 3> kAgedStretches{0.02, 0.2, 1.0};  // in units of that age
struct Chances {
  std::array<double, kStretches.size()> none{};
  std::array<double, kCountStretches.size()> few{};
  std::array<double, kAgedStretches.size()> aged{};
};

double fewer_than(double lives, double hazard) {
  if (lives > kManyLives) {
    // Wilson and Hilferty's approximation (1931): smooth and as sharp, which is all that is asked.
    const double z = 3 * std::sqrt(lives) * (std::cbrt(hazard / lives) - 1 + 1 / (9 * lives));
    return 0.5 * std::erfc(z / std::numbers::sqrt2);
  }
  double term = 1;
  double sum = 1;
  for (int k = 1; k < lives; ++k) {
    term *= hazard / k;
    sum += term;
  }
  return hazard > 700 ? 0 : sum * std::exp(-hazard);
}

/// Sum over a row of weight * P(fewer than `lives` failures), H = e^(log_hazard - shape t). Nodes
/// are equidistant, so H is a geometric sequence.
double row_chance(const Grid& grid, const GridRow& row, double log_hazard, double lives) {
  if (row.count == 0) {
    return 0;  // all of its nodes were too light to be kept
  }
  double hazard = std::exp(log_hazard - row.shape * grid.t[row.first]);
  const double factor = std::exp(-row.shape * row.step);
  double sum = 0;
  for (std::size_t node = row.first; node < row.first + row.count; ++node) {
    sum += grid.weight[node] * (lives > 1 ? fewer_than(lives, hazard) : std::exp(-hazard));
    hazard *= factor;
  }
  return sum / grid.total;
}

Chances chances(const Grid& grid, const DensityMode& mode, double lives) {
  const double reach = std::hypot(1 / std::sqrt(-mode.slopes.tt), std::exp(-mode.z));
  const double count_stretch = mode.t + std::log(lives) * std::exp(-mode.z);
  Chances sums;
  for (const GridRow& row : grid.rows) {
    for (std::size_t i = 0; i < kStretches.size(); ++i) {
      sums.none[i] += row_chance(grid, row, row.shape * (mode.t + kStretches[i] * reach), 1);
    }
    for (std::size_t i = 0; lives > 1 && i < kCountStretches.size(); ++i) {
      sums.few[i] +=
          row_chance(grid, row, row.shape * (count_stretch + kCountStretches[i] * reach), lives);
    }
    for (std::size_t i = 0; i < kAgedStretches.size(); ++i) {
      const double grown = std::expm1(row.shape * std::log1p(kAgedStretches[i]));
      sums.aged[i] += row_chance(grid, row, std::log(grown), 1);
    }
  }
  return sums;
}

template <class Array>
double largest_difference(const Array& a, const Array& b) {
  double worst = 0;
  for (std::size_t i = 0; i < a.size(); ++i) {
    worst = std::max(worst, std::abs(a[i] - b[i]));
  }
  return worst;
}

/// Half the largest difference: two trapezoid sums half a step apart err by equal amounts to
/// opposite sides.
double disagreement(const Chances& a, const Chances& b, double total_ratio) {
  return 0.5 * std::max({std::abs(total_ratio - 1), largest_difference(a.none, b.none),
                         largest_difference(a.few, b.few), largest_difference(a.aged, b.aged)});
}

}  // namespace

// For the product of a row's density and a predictive probability: as for two bells, where inverse
// squares add.
double row_step(double sd, double shape, double lives, double digits) {
  const double bell = bell_step(sd, digits);
  const double count = 2 * kPi / (shape * count_frequency(lives, digits));
  return 1 / std::sqrt(1 / (bell * bell) + 1 / (count * count));
}

Grid lay_grid(const LogPrior& prior, const RecordTable& table, const DensityMode& mode,
              const GridPlan& plan) {
  return Layer(prior, table, mode, plan).lay();
}

CheckedGrid checked_grid(const LogPrior& prior, const RecordTable& table, const DensityMode& mode,
                         GridPlan plan) {
  const double accepted = kSafety * plan.tolerance;
  for (int refinement = 0; refinement <= kMaxRefinements; ++refinement) {
    Grid grid = lay_grid(prior, table, mode, plan);
    const Chances found = chances(grid, mode, plan.lives);
    const auto error_of = [&](double shape_offset, double scale_offset) {
      GridPlan between = plan;
      between.shape_offset += shape_offset;
      between.scale_offset += scale_offset;
      const Grid other = lay_grid(prior, table, mode, between);
      return disagreement(found, chances(other, mode, plan.lives), other.total / grid.total);
    };
    const double error = error_of(0.5, 0.5);
    if (error <= accepted) {
      return {std::move(grid), error};
    }
    // Close only the steps at fault; both, should neither alone show it.
    const bool rows = !prior.shape_fixed && error_of(0.5, 0) > 0.5 * accepted;
    const bool nodes = error_of(0, 0.5) > 0.5 * accepted;
    plan.shape_step *= rows || !nodes ? kCloser : 1;
    plan.scale_step *= nodes || !rows ? kCloser : 1;
  }
  throw NumericError("the posterior of a life did not settle to its tolerance");
}

}  // namespace shearpin::stats
