#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <numbers>

#include "shearpin/base/error.hpp"
#include "stocking/levels.hpp"

namespace shearpin::stocking {
namespace {

constexpr double kDaysTolerance = 1e-6;
constexpr std::size_t kFirstDayPanels = 4;
constexpr std::size_t kMostDayPanels = 32;
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
// doubled until the result settles.
class StretchPiece {
 public:
  /// at_end: the day at which demand is read for `to`, just before a jump there.
  StretchPiece(double from, double to, double at_end, int halvings = 0)
      : from_(from), to_(to), at_end_(at_end), halvings_(halvings) {}

  /// The days at which demand is wanted next.
  std::vector<double> next() {
    const bool is_first = values_.empty();
    std::vector<DaysWithout> finer(is_first ? kFirstDayPanels + 1 : 2 * values_.size() - 1);
    for (std::size_t i = 0; i < values_.size(); ++i) finer[2 * i] = std::move(values_[i]);
    values_ = std::move(finer);
    stride_ = is_first ? 1 : 2;
    std::vector<double> days;
    for (std::size_t i = 1; i < values_.size(); i += stride_) {  // x = 0 has no weight
      const double x = place(i);
      days.push_back(i == panels() ? at_end_ : from_ + (to_ - from_) * x * x);
    }
    return days;
  }

  /// demand: at the days that were wanted.
  void add(std::span<const Pmf> demand, Standing standing, double tolerance) {
    for (std::size_t k = 0; k < demand.size(); ++k) {
      values_[1 + k * stride_] = dead_units(demand[k], standing);
    }
    DaysWithout now = sum();
    const double length = to_ - from_;
    // Doubling about squares the error once it is small.
    settled_ = panels() > kFirstDayPanels &&
               largest_difference(now, integral_) / length <
                   std::sqrt(tolerance) * 0.1 * std::max(1.0, now.front() / length);
    integral_ = std::move(now);
  }

  bool has_settled() const { return settled_ || (is_finest() && halvings_ >= kMostHalvings); }
  bool is_finest() const { return panels() >= kMostDayPanels; }
  const DaysWithout& integral() const { return integral_; }
  std::pair<StretchPiece, StretchPiece> halves() const {
    const double middle = (from_ + to_) / 2;
    return {{from_, middle, middle, halvings_ + 1}, {middle, to_, at_end_, halvings_ + 1}};
  }

 private:
  std::size_t panels() const { return values_.size() - 1; }
  double place(std::size_t i) const {
    return (1 -
            std::cos(std::numbers::pi * static_cast<double>(i) / static_cast<double>(panels()))) /
           2;
  }

  DaysWithout sum() const {
    const std::vector<double> weights = clenshaw_curtis(static_cast<int>(panels()));
    DaysWithout sum{0.0};
    for (std::size_t i = 1; i <= panels(); ++i) {
      add_weighted(sum, values_[i], weights[i] * 2 * place(i) * (to_ - from_));
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

  double from_;
  double to_;
  double at_end_;
  int halvings_;
  std::size_t stride_ = 1;
  bool settled_ = false;
  std::vector<DaysWithout> values_;
  DaysWithout integral_;
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
  std::vector<StretchPiece> pieces;
  for (std::size_t i = 1; i < cuts.size(); ++i) {
    const double length = cuts[i] - cuts[i - 1];
    // The jump at the end of a piece belongs to the next one.
    const double step_back = 1e-11 * days;
    if (length <= 2 * step_back) continue;
    pieces.emplace_back(cuts[i - 1], cuts[i], cuts[i] - step_back);
  }
  // All pieces are asked about at once: many days cost hardly more than one.
  DaysWithout total{0.0};
  while (!pieces.empty()) {
    std::vector<double> at;
    std::vector<std::size_t> counts;
    for (StretchPiece& piece : pieces) {
      const std::vector<double> more = piece.next();
      at.insert(at.end(), more.begin(), more.end());
      counts.push_back(more.size());
    }
    const std::vector<Pmf> found = demand(at);
    std::span<const Pmf> rest(found);
    std::vector<StretchPiece> unsettled;
    for (std::size_t i = 0; i < pieces.size(); ++i) {
      pieces[i].add(rest.first(counts[i]), standing, kDaysTolerance);
      rest = rest.subspan(counts[i]);
      if (pieces[i].has_settled()) {
        add_weighted(total, pieces[i].integral(), 1);
      } else if (pieces[i].is_finest()) {
        const auto [first, second] = pieces[i].halves();
        unsettled.push_back(first);
        unsettled.push_back(second);
      } else {
        unsettled.push_back(std::move(pieces[i]));
      }
    }
    pieces = std::move(unsettled);
  }
  for (double& value : total) value = std::max(value, 0.0);
  while (total.size() > 1 && total.back() < 1e-9 * days) total.pop_back();
  return total;
}

}  // namespace shearpin::stocking
