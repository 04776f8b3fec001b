#pragma once
/// Chances of demand once more, finer than the engine: dense rows of the posterior
/// (dense_posterior.hpp), the counts of one position by tables of the finest kind or, where it is
/// long, by inverted transforms to 1e-9, the sum over positions by its characteristic function, and
/// the integral over ln scale in steps that resolve the count asked for. Nothing is merged, what is
/// left out is below 1e-9.

#include <complex>
#include <map>
#include <memory>
#include <numbers>
#include <utility>

#include "dense_posterior.hpp"
#include "entered_problem.hpp"
#include "stocking/count_table.hpp"
#include "stocking/position.hpp"

namespace entered {

/// Counts of one position for lives of one shape, each by a table that reaches as far as asked;
/// over very many lives by an inverted transform, or for round ones by the series, then good to
/// 1e-7.
class RefinedCounts {
 public:
  static constexpr double kMostLives = 600;  // where no transform can be inverted

  explicit RefinedCounts(double shape) : shape_(shape), inverted_(std::min(shape, kMostInverted)) {}

  /// P(N = k) over `days`; `first` is the lowest k that the entries stand for.
  PmfBand count(const UnitState& unit, double scale, double days) {
    Position position;
    position.state = unit;
    const Life life(scale, shape_);
    const double z = unit.exposure_per_day * days / scale;
    if (z > kLongestTable && shape_ <= kMostInverted) {
      return over_many_lives(position, scale, days, 1e-15, inverted_);
    }
    if (z > kMostLives * std::tgamma(1 + 1 / shape_)) {
      return over_many_lives(position, life, days, 1e-15);
    }
    if (!(z > 0)) return standing_still(position, life, days, {});
    const CountTable& table = table_for(z);
    first_demand(first_, position, life, days, {}, 14);
    std::vector<double> tails(table.order(), 0.0);
    for (std::size_t q = 0; q < first_.rest.size(); ++q) {
      if (first_.weight[q] < 1e-16) continue;
      table.add_tails(first_.rest[q] / scale, first_.weight[q], 1e-15, tails);
    }
    PmfBand band{0, {1 - first_.chance}};
    double above = first_.chance;
    for (const double tail : tails) {
      const double next = std::clamp(tail, 0.0, above);
      band.values.push_back(above - next);
      above = next;
      if (above < 1e-14) break;
    }
    band.values.push_back(above);
    return band;
  }

 private:
  // A table for each doubling, so that short stretches are not read off long panels.
  const CountTable& table_for(double z) {
    const int doubling = static_cast<int>(std::ceil(std::log2(std::max(z, 1e-9))));
    auto& table = tables_[doubling];
    if (!table) {
      table = std::make_unique<CountTable>(
          CountTableSpec{.shape = shape_, .z_max = std::ldexp(1.0, doubling), .most = 6000});
    }
    return *table;
  }

  double shape_;
  InvertedCount inverted_;
  std::map<int, std::unique_ptr<CountTable>> tables_;
  FirstDemand first_;
};

/// So many independent counts that are alike.
struct Copies {
  PmfBand one;
  double copies;
};

/// P(sum <= n) from the characteristic function on as many points as the sum is wide.
inline double sum_at_most(const std::vector<Copies>& parts, long n) {
  double mean = 0;
  double variance = 0;
  for (const Copies& part : parts) {
    double m = 0;
    double square = 0;
    for (std::size_t k = 0; k < part.one.values.size(); ++k) {
      m += static_cast<double>(k) * part.one.values[k];
      square += static_cast<double>(k * k) * part.one.values[k];
    }
    mean += part.copies * (m + static_cast<double>(part.one.first));
    variance += part.copies * std::max(0.0, square - m * m);
  }
  const double deviation = std::sqrt(variance);
  const long base = std::max(0L, static_cast<long>(mean - 12 * deviation - 20));
  const long points =
      2 * (static_cast<long>(mean - static_cast<double>(base) + 24 * deviation) / 2 + 20);
  if (n < base) return 0;
  if (n >= base + points) return 1;
  const double step = 2 * std::numbers::pi / static_cast<double>(points);
  const auto wanted = static_cast<double>(n - base + 1);
  double sum = wanted;
  int still = 0;
  for (long j = 1; j <= points / 2 && still < 40; ++j) {
    const double angle = step * static_cast<double>(j);
    const std::complex<double> turn = std::polar(1.0, angle);
    std::complex<double> log_phi(0, -angle * static_cast<double>(base));
    for (const Copies& part : parts) {
      std::complex<double> phi = 0;
      for (std::size_t k = part.one.values.size(); k-- > 0;) phi = phi * turn + part.one.values[k];
      log_phi +=
          part.copies * (std::log(phi + 1e-300) +
                         std::complex<double>(0, angle * static_cast<double>(part.one.first)));
    }
    still = log_phi.real() < -36 ? still + 1 : 0;
    if (still > 0) continue;
    const std::complex<double> back = std::conj(turn);
    const std::complex<double> window = (1.0 - std::polar(1.0, -angle * wanted)) / (1.0 - back);
    sum += (2 * j == points ? 1 : 2) * (std::exp(log_phi) * window).real();
  }
  return std::clamp(sum / static_cast<double>(points), 0.0, 1.0);
}

class RefinedChances {
 public:
  /// Levels: the n of P(D <= n).
  RefinedChances(const Problem& p, std::vector<long> levels) : p_(p), levels_(std::move(levels)) {
    for (const UnitState& unit : p.units) {
      const auto same = std::find_if(groups_.begin(), groups_.end(), [&](const auto& g) {
        return g.first.age == unit.age && g.first.exposure_per_day == unit.exposure_per_day &&
               g.first.untested == unit.untested && g.first.down == unit.down;
      });
      if (same != groups_.end()) {
        same->second += 1;
      } else {
        groups_.emplace_back(unit, 1);
      }
    }
  }

  /// P(D <= n) for each level. Rows are laid between rows until that moves no chance by 1e-6: the
  /// trapezoid sum of such bells then errs by the square of the move.
  std::vector<double> chances() {
    const dense::Ridge ridge = dense::ridge(p_.prior, p_.records);
    double step = 1.0 * ridge.width;
    Sums sums(levels_.size());
    add_rows(sums, ridge, ridge.ln_shape, step);
    std::vector<double> before = sums.chances();
    for (int doubling = 0; doubling < 9; ++doubling) {
      add_rows(sums, ridge, ridge.ln_shape + 0.5 * step, step);
      step *= 0.5;
      const std::vector<double> now = sums.chances();
      double move = 0;
      for (std::size_t i = 0; i < now.size(); ++i)
        move = std::max(move, std::abs(now[i] - before[i]));
      if (move < 1e-6) return now;
      before = now;
    }
    settled_ = false;
    return before;
  }

  /// Whether the last answer settled.
  bool settled() const { return settled_; }
  long nodes() const { return nodes_; }

 private:
  static constexpr double kCut = 25;  // below e^-25 of the top adds up to less than 1e-9

  struct Sums {
    explicit Sums(std::size_t n) : at_most(n, 0.0), mass(n, 0.0) {}
    std::vector<double> at_most;
    std::vector<double> mass;
    std::vector<double> chances() const {
      std::vector<double> out;
      for (std::size_t i = 0; i < mass.size(); ++i) out.push_back(at_most[i] / mass[i]);
      return out;
    }
  };

  void add_rows(Sums& sums, const dense::Ridge& ridge, double from, double step) {
    for (const double sign : {-1.0, 1.0}) {
      int below = 0;
      for (double z = sign < 0 ? from : from + step; below < 3; z += sign * step) {
        const dense::Row row(p_.prior, p_.records, z);
        if (dense::ln_mass(row) < ridge.ln_mass - kCut) {
          ++below;
          continue;
        }
        below = 0;
        add_row(sums, row, ridge.ln_mass);
      }
    }
  }

  void add_row(Sums& sums, const dense::Row& row, double ln_top) {
    RefinedCounts counts(row.shape());
    for (std::size_t i = 0; i < levels_.size(); ++i) {
      // The chance of at most n failures falls off in ln scale as a gamma of shape n + 1 would.
      // Its Fourier transform is |Gamma(n + 1 + ix)|: e^(-pi x / 2) for n = 0, e^(-x^2 / 2n) for
      // large n. These steps leave less than 1e-8.
      const double root = std::sqrt(static_cast<double>(levels_[i]) + 1);
      const double sharp = (0.8 - 0.3 / root) / (row.shape() * root);
      const double step = 1 / std::hypot(1 / (0.5 * row.width()), 1 / sharp);
      double mass = 0;
      double below = 0;
      bool seen_one = false;
      bool seen_none = false;
      // Outwards from where the count passes the level: beyond, the chance is 0 or 1.
      const double start = crossing(row, levels_[i]);
      for (const double sign : {1.0, -1.0}) {
        for (double t = sign > 0 ? start : start - step;; t += sign * step) {
          const double log_density = row.value(t) - ln_top;
          const bool past_top = sign > 0 ? t > row.top() : t < row.top();
          if (log_density < -kCut - 3) {
            if (past_top) break;
            continue;
          }
          const double density = std::exp(log_density);
          mass += density;
          if (sign < 0 && seen_none) continue;
          if (sign > 0 && seen_one) {
            below += density;
            continue;
          }
          const double chance = at_most(counts, t, levels_[i]);
          below += density * chance;
          seen_one = seen_one || chance > 1 - 1e-10;
          seen_none = seen_none || chance < 1e-10;
        }
      }
      sums.mass[i] += mass * step;
      sums.at_most[i] += below * step;
    }
  }

  double at_most(RefinedCounts& counts, double t, long n) {
    ++nodes_;
    std::vector<Copies> parts;
    for (const auto& [unit, copies] : groups_) {
      parts.push_back({counts.count(unit, std::exp(t), p_.days), copies});
    }
    return sum_at_most(parts, n);
  }

  // About where the count passes n: where as many lives are expected to end.
  double crossing(const dense::Row& row, long n) const {
    double exposure = 0;
    for (const auto& [unit, copies] : groups_) {
      exposure += copies * (unit.untested + unit.exposure_per_day * p_.days);
    }
    const double a_life = std::tgamma(1 + 1 / row.shape());
    const double t = std::log(std::max(exposure, 1e-9) / (static_cast<double>(n) + 1) / a_life);
    return std::clamp(t, row.top() - 9 * row.width(), row.top() + 9 * row.width());
  }

  const Problem& p_;
  std::vector<long> levels_;
  std::vector<std::pair<UnitState, double>> groups_;
  bool settled_ = true;
  long nodes_ = 0;
};

}  // namespace entered
