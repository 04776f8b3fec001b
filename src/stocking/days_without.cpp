#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <numbers>

#include "shearpin/base/error.hpp"
#include "shearpin/stocking/levels.hpp"

namespace shearpin::stocking {
namespace {

constexpr double kTolerance = 1e-6;
constexpr int kFirstPanels = 4;
constexpr int kMostPanels = 32;
// A jump nobody declared is closed in on until it matters no more.
constexpr int kMostHalvings = 20;

// What stands dead with n = 0, 1, ... pieces, on average.
std::vector<double> dead_units(const Pmf& pmf, Standing standing) {
  std::vector<double> shortage(pmf.size() + 1, 0.0);
  double above = 0;
  for (std::size_t n = pmf.size(); n-- > 0;) {
    shortage[n] = above;
    above += pmf[n];
  }
  add_up_dead(shortage, standing);
  return shortage;
}

// Clenshaw-Curtis weights on the n + 1 points (1 - cos(pi i/n))/2 of [0, 1], n even
// (Trefethen 2008, SIAM Review 50, sec. 2).
std::vector<double> clenshaw_curtis(int n) {
  std::vector<double> weights;
  for (int i = 0; i <= n; ++i) {
    double sum = 1;
    for (int k = 1; k <= n / 2; ++k) {
      const double share = 2 * k == n ? 1 : 2;
      sum -= share / (4.0 * k * k - 1) * std::cos(2 * std::numbers::pi * k * i / n);
    }
    weights.push_back((i == 0 || i == n ? 0.5 : 1.0) * sum / n);
  }
  return weights;
}

// The integral over one piece [from, to] of a stretch, in t = from + (to - from) x^2: after a
// renewal demand starts like a power of the time since, which the square makes smooth. Points are
// doubled until the result settles; a piece on which it does not is halved.
class Piece {
 public:
  Piece(const DemandByDays& demand, Standing standing, double tolerance)
      : demand_(demand), standing_(standing), tolerance_(tolerance) {}

  // at_end: the day at which demand is read for `to`, just before a jump there.
  void add_integral(DaysWithout& total, double from, double to, double at_end, int depth) const {
    std::vector<DaysWithout> values(kFirstPanels + 1);
    fill(values, from, to, at_end, 1);
    DaysWithout before = sum_of(values, to - from);
    for (int panels = 2 * kFirstPanels; panels <= kMostPanels; panels *= 2) {
      std::vector<DaysWithout> finer(static_cast<std::size_t>(panels) + 1);
      for (std::size_t i = 0; i < values.size(); ++i) finer[2 * i] = std::move(values[i]);
      values = std::move(finer);
      fill(values, from, to, at_end, 2);
      DaysWithout now = sum_of(values, to - from);
      // Doubling about squares the error once it is small.
      const double moved = largest_difference(now, before) / (to - from);
      const double scale = std::max(1.0, now.front() / (to - from));
      if (moved < std::sqrt(tolerance_) * 0.1 * scale) {
        add_weighted(total, now, 1);
        return;
      }
      before = std::move(now);
    }
    if (depth >= kMostHalvings) {
      add_weighted(total, before, 1);
      return;
    }
    const double middle = (from + to) / 2;
    add_integral(total, from, middle, middle, depth + 1);
    add_integral(total, middle, to, at_end, depth + 1);
  }

 private:
  static double place(std::size_t i, std::size_t panels) {
    return (1 - std::cos(std::numbers::pi * static_cast<double>(i) / static_cast<double>(panels))) /
           2;
  }

  // Reads the demand at every `stride`-th odd point not yet known (x = 0 has no weight).
  void fill(std::vector<DaysWithout>& values, double from, double to, double at_end,
            std::size_t stride) const {
    const std::size_t panels = values.size() - 1;
    std::vector<double> days;
    for (std::size_t i = 1; i <= panels; i += stride) {
      const double x = place(i, panels);
      days.push_back(i == panels ? at_end : from + (to - from) * x * x);
    }
    const std::vector<Pmf> pmfs = demand_(days);
    for (std::size_t k = 0; k < pmfs.size(); ++k) {
      values[1 + k * stride] = dead_units(pmfs[k], standing_);
    }
  }

  static DaysWithout sum_of(const std::vector<DaysWithout>& values, double length) {
    const std::size_t panels = values.size() - 1;
    const std::vector<double> weights = clenshaw_curtis(static_cast<int>(panels));
    DaysWithout sum{0.0};
    for (std::size_t i = 1; i <= panels; ++i) {
      add_weighted(sum, values[i], weights[i] * 2 * place(i, panels) * length);
    }
    return sum;
  }

  static double largest_difference(const DaysWithout& a, const DaysWithout& b) {
    double largest = 0;
    for (std::size_t n = 0; n < std::max(a.size(), b.size()); ++n) {
      largest = std::max(largest, std::fabs((n < a.size() ? a[n] : 0) - (n < b.size() ? b[n] : 0)));
    }
    return largest;
  }

  const DemandByDays& demand_;
  Standing standing_;
  double tolerance_;
};

}  // namespace

void add_up_dead(std::vector<double>& above, Standing standing) {
  const auto set = static_cast<std::size_t>(standing.set);
  for (std::size_t n = above.size(); n-- > set;) above[n - set] += above[n];
  const std::size_t size = above.size();
  if (standing.most < static_cast<long>((size + set - 1) / set)) {
    const std::size_t most = static_cast<std::size_t>(standing.most) * set;
    for (std::size_t n = 0; n + most < size; ++n) above[n] -= above[n + most];
  }
}

void check_standing(Standing standing) {
  if (standing.most < 0) {
    throw InputError(fmt::format("{} units that can stand dead is not 0 or more", standing.most));
  }
  if (standing.set < 1) {
    throw InputError(fmt::format("a set of {} pieces is not 1 or more", standing.set));
  }
}

DaysWithout days_without_stretch(const DemandByDays& demand, double days, Standing standing,
                                 std::span<const double> breaks) {
  if (!(days >= 0) || !std::isfinite(days)) {
    throw InputError(fmt::format("a stretch of {} days is not a number >= 0, such as 60", days));
  }
  check_standing(standing);
  if (days == 0 || standing.most == 0) return {0.0};
  std::vector<double> cuts{0.0};
  for (const double at : breaks) {
    if (at > 0 && at < days) cuts.push_back(at);
  }
  cuts.push_back(days);
  std::sort(cuts.begin(), cuts.end());
  DaysWithout total{0.0};
  const Piece piece(demand, standing, kTolerance);
  for (std::size_t i = 1; i < cuts.size(); ++i) {
    const double length = cuts[i] - cuts[i - 1];
    // The jump at the end of a piece belongs to the next one.
    const double step_back = 1e-11 * days;
    if (length <= 2 * step_back) continue;
    piece.add_integral(total, cuts[i - 1], cuts[i], cuts[i] - step_back, 0);
  }
  for (double& value : total) value = std::max(value, 0.0);
  while (total.size() > 1 && total.back() < 1e-9 * days) total.pop_back();
  return total;
}

}  // namespace shearpin::stocking
