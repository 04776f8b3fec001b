#include <fmt/format.h>
#include <algorithm>
#include <cmath>

#include "shearpin/base/error.hpp"
#include "shearpin/stocking/levels.hpp"

namespace shearpin::stocking {
namespace {

constexpr int kFirstPanels = 4;
constexpr int kMostPanels = 1 << 11;

// sum_{j=1..standing_dead} P(D >= n + j) for n = 0, 1, ...
std::vector<double> dead_units(const Pmf& pmf, long standing_dead) {
  std::vector<double> shortage(pmf.size() + 1, 0.0);
  double above = 0;
  for (std::size_t n = pmf.size(); n-- > 0;) {
    shortage[n] = shortage[n + 1] + above;
    above += pmf[n];
  }
  if (standing_dead < static_cast<long>(shortage.size())) {
    const auto most = static_cast<std::size_t>(standing_dead);
    for (std::size_t n = 0; n + most < shortage.size(); ++n) shortage[n] -= shortage[n + most];
  }
  return shortage;
}

// Romberg's scheme over one piece [from, to] in t = from + (to - from) x^2, x in [0, 1]: after a
// renewal demand starts like a power of the time since, which the square makes smooth.
class Piece {
 public:
  Piece(const DemandByDays& demand, double from, double to, double just_before_to,
        long standing_dead)
      : demand_(demand),
        from_(from),
        to_(to),
        end_(just_before_to),
        standing_dead_(standing_dead) {}

  DaysWithout integral(double tolerance) {
    int panels = kFirstPanels;
    std::vector<double> xs;
    for (int i = 1; i <= panels; ++i) xs.push_back(static_cast<double>(i) / panels);
    add(xs);
    std::vector<DaysWithout> row{trapezoid(panels)};
    for (;;) {
      panels *= 2;
      if (panels > kMostPanels) {
        throw NumericError(
            fmt::format("days without between day {} and day {} did not settle with {} points",
                        from_, to_, kMostPanels));
      }
      xs.clear();
      for (int i = 1; i < panels; i += 2) xs.push_back(static_cast<double>(i) / panels);
      add(xs);
      std::vector<DaysWithout> next = extrapolated(trapezoid(panels), row);
      const double moved = largest_difference(next.back(), row.back());
      row = std::move(next);
      if (moved < tolerance * std::max(1.0, row.back().front() / (to_ - from_))) break;
    }
    return row.back();
  }

 private:
  // The sum of the integrand 2 x (to - from) g(t(x)) over all points so far, x = 1 counted half.
  void add(const std::vector<double>& xs) {
    std::vector<double> days;
    for (const double x : xs) days.push_back(x == 1 ? end_ : from_ + (to_ - from_) * x * x);
    const std::vector<Pmf> pmfs = demand_(days);
    for (std::size_t i = 0; i < xs.size(); ++i) {
      const double share = xs[i] == 1 ? 0.5 : 1.0;
      add_weighted(sum_, dead_units(pmfs[i], standing_dead_), share * 2 * xs[i] * (to_ - from_));
    }
  }

  DaysWithout trapezoid(int panels) const {
    DaysWithout value = sum_;
    for (double& v : value) v /= panels;
    return value;
  }

  static std::vector<DaysWithout> extrapolated(DaysWithout finest,
                                               const std::vector<DaysWithout>& coarser) {
    // Fractional powers in the integrand spoil high orders: stop after the third column.
    constexpr std::size_t kColumns = 3;
    std::vector<DaysWithout> row{std::move(finest)};
    double factor = 4;
    for (std::size_t c = 0; c < coarser.size() && row.size() < kColumns; ++c, factor *= 4) {
      DaysWithout better = row.back();
      for (std::size_t n = 0; n < better.size(); ++n) {
        const double coarse = n < coarser[c].size() ? coarser[c][n] : 0;
        better[n] += (better[n] - coarse) / (factor - 1);
      }
      row.push_back(std::move(better));
    }
    return row;
  }

  static double largest_difference(const DaysWithout& a, const DaysWithout& b) {
    double largest = 0;
    for (std::size_t n = 0; n < a.size(); ++n) {
      largest = std::max(largest, std::fabs(a[n] - (n < b.size() ? b[n] : 0)));
    }
    return largest;
  }

  const DemandByDays& demand_;
  double from_;
  double to_;
  double end_;
  long standing_dead_;
  DaysWithout sum_;
};

}  // namespace

DaysWithout days_without_stretch(const DemandByDays& demand, double days, long standing_dead,
                                 std::span<const double> breaks) {
  if (!(days >= 0) || !std::isfinite(days)) {
    throw InputError(fmt::format("a stretch of {} days is not a number >= 0, such as 60", days));
  }
  if (standing_dead < 0) {
    throw InputError(fmt::format("{} units that can stand dead is not 0 or more", standing_dead));
  }
  if (days == 0 || standing_dead == 0) return {0.0};
  std::vector<double> cuts{0.0};
  for (const double at : breaks) {
    if (at > 0 && at < days) cuts.push_back(at);
  }
  cuts.push_back(days);
  std::sort(cuts.begin(), cuts.end());
  DaysWithout total{0.0};
  for (std::size_t i = 1; i < cuts.size(); ++i) {
    const double length = cuts[i] - cuts[i - 1];
    // The jump at the end of a piece belongs to the next one.
    const double step_back = 1e-11 * days;
    if (length <= 2 * step_back) continue;
    Piece piece(demand, cuts[i - 1], cuts[i], cuts[i] - step_back, standing_dead);
    add_weighted(total, piece.integral(1e-6 * length), 1.0);
  }
  for (double& value : total) value = std::max(value, 0.0);
  while (total.size() > 1 && total.back() < 1e-9 * days) total.pop_back();
  return total;
}

}  // namespace shearpin::stocking
