#include "stats/coarsening.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <numbers>

namespace shearpin::stats {
namespace {

// A window passes over in a normal curve of 1/4 of a doubling of the step. The step grows as the
// square root of the scale at most, so in ln scale that is a deviation of 0.35 or more, which
// steps up to kWidestCoarseStep resolve together with the row.
constexpr double kSharpness = 4;
constexpr double kWidestCoarseStep = 0.12;
constexpr int kMostDoublings = 12;
constexpr double kLightest = 1e-9;  // factor on a node's weight below which it is left out

// How far 1 of a window has come at x, from nothing at 0 to all at 1.
double passed(double x) { return 0.5 * std::erfc((0.5 - x) * kSharpness / std::numbers::sqrt2); }

class RowThinner {
 public:
  RowThinner(const GridRow& row, const GridPlan& plan)
      : row_(row), laid_(row_step(row.sd, row.shape, plan.lives, row.digits)) {
    const double most = std::log2(kWidestCoarseStep / row.step);
    doublings_ = static_cast<int>(std::clamp<double>(most, 0, kMostDoublings));
  }

  bool is_fine() const { return doublings_ > 0; }

  // What the weight of node i becomes, as a factor.
  double factor(std::size_t i, double failures) const {
    const double doublings =
        std::log2(row_step(row_.sd, row_.shape, failures, row_.digits) / laid_);
    const int own = i == 0 ? doublings_ : std::min(doublings_, std::countr_zero(i));
    double sum = 0;
    for (int j = 0; j <= own; ++j) {
      const double from = j == 0 ? 1 : passed(doublings - j);
      const double to = j == doublings_ ? 0 : passed(doublings - j - 1);
      sum += std::ldexp(from - to, j);
    }
    return sum;
  }

 private:
  const GridRow& row_;
  double laid_;
  int doublings_;
};

}  // namespace

Grid coarsened(const Grid& grid, const GridPlan& plan,
               const std::function<double(double, double)>& failures) {
  Grid out;
  for (const GridRow& row : grid.rows) {
    const RowThinner thinner(row, plan);
    GridRow left = row;
    left.first = out.t.size();
    for (std::size_t i = 0; i < row.count; ++i) {
      const double t = grid.t[row.first + i];
      const double factor = thinner.is_fine() ? thinner.factor(i, failures(t, row.shape)) : 1;
      if (factor < kLightest) continue;
      out.t.push_back(t);
      out.weight.push_back(factor * grid.weight[row.first + i]);
      out.total += out.weight.back();
    }
    left.count = out.t.size() - left.first;
    if (left.count > 0) out.rows.push_back(left);
  }
  return out;
}

}  // namespace shearpin::stats
