#include "slow_count.hpp"

#include <cmath>
#include <complex>
#include <numbers>

namespace slow {
namespace {

using Complex = std::complex<long double>;

double uniform(std::mt19937_64& random) {
  return (static_cast<double>(random() >> 11U) + 0.5) / 9007199254740992.0;
}

// Life left of a unit of age `age`.
double draw_left(double scale, double shape, double age, std::mt19937_64& random) {
  const double spent = std::pow(age / scale, shape);
  return scale * std::pow(spent - std::log(uniform(random)), 1 / shape) - age;
}

const WeibullNode& draw_node(std::span<const WeibullNode> nodes, std::mt19937_64& random) {
  double u = uniform(random);
  for (const WeibullNode& node : nodes) {
    if (u < node.weight) return node;
    u -= node.weight;
  }
  return nodes.back();
}

long run_unit(const UnitState& unit, const WeibullNode& node, double days,
              std::mt19937_64& random) {
  const auto fresh = [&] { return draw_left(node.scale, node.shape, 0, random); };
  double left = 0;
  if (unit.first_life.empty()) {
    left = draw_left(node.scale, node.shape, unit.age, random);
  } else {
    const WeibullNode& own = draw_node(unit.first_life, random);
    left = draw_left(own.scale, own.shape, unit.age, random);
  }
  long count = 0;
  double due = unit.due_days;
  const bool due_now = due <= 0 && unit.before == 0 && unit.before_days == 0;
  if (unit.down || due_now) {
    ++count;
    left = fresh();
    due = unit.renewed_every_days;
  } else if (unit.untested > 0) {
    due = std::max(due, 0.0);
    left -= unit.untested + unit.before;
    if (left <= 0) {
      ++count;
      left = fresh();
      due = unit.renewed_every_days;
    }
  } else {
    // Carry the unit to the start; x is the exposure since today.
    const double per_day = unit.before_days > 0 ? unit.before / unit.before_days : 0;
    double x = 0;
    double day = -unit.before_days;
    for (;;) {
      const double to_due = due < 0 && unit.before_days > 0 ? (due - day) * per_day : 1e300;
      if (x + std::min(left, to_due) >= unit.before && !(due < 0 && per_day == 0)) break;
      const double used = std::min(left, to_due);
      day = to_due <= left ? due : day + (per_day > 0 ? used / per_day : 0);
      x += used;
      left = fresh();
      due = day + unit.renewed_every_days;
    }
    left -= unit.before - x;
  }
  double now = 0;
  for (;;) {
    const double fails = unit.exposure_per_day > 0 ? now + left / unit.exposure_per_day : 1e300;
    const double end = std::min(fails, due);
    if (end > days) return count;
    ++count;
    now = end;
    left = fresh();
    due = end + unit.renewed_every_days;
  }
}

// ---- sums on a grid

// Left and right limits at the grid points.
struct Limits {
  std::vector<double> left;
  std::vector<double> right;
};

class Grid {
 public:
  Grid(const WeibullNode& node, const UnitState& unit, double days, int steps)
      : node_(node), unit_(unit), days_(days), steps_(static_cast<std::size_t>(steps)) {}

  std::vector<double> tails() const {
    std::vector<double> result;
    const auto last = steps_;
    Limits fresh{std::vector<double>(last + 1, 1.0), std::vector<double>(last + 1, 1.0)};
    for (int k = 1; k < 400; ++k) {
      result.push_back(first_end(fresh));
      if (result.back() < 1e-14) break;
      fresh = next(fresh);
    }
    return result;
  }

 private:
  std::size_t index_of(double day) const {
    return day > days_
               ? steps_ + 1
               : static_cast<std::size_t>(std::llround(day / days_ * static_cast<double>(steps_)));
  }
  double exposure(std::size_t i) const {
    return unit_.exposure_per_day * days_ * static_cast<double>(i) / static_cast<double>(steps_);
  }
  double survival(double age, double u) const {
    return std::exp(std::pow(age / node_.scale, node_.shape) -
                    std::pow((age + u) / node_.scale, node_.shape));
  }
  double first_survival(double u) const {
    if (unit_.first_life.empty()) return survival(unit_.age, u);
    double sum = 0;
    for (const WeibullNode& own : unit_.first_life) {
      sum += own.weight * std::exp(std::pow(unit_.age / own.scale, own.shape) -
                                   std::pow((unit_.age + u) / own.scale, own.shape));
    }
    return sum;
  }

  // P(N0 >= k+1) from P(N0 >= k), for new units.
  Limits next(const Limits& now) const {
    const std::size_t cut = index_of(unit_.renewed_every_days);
    Limits made{std::vector<double>(steps_ + 1, 0.0), std::vector<double>(steps_ + 1, 0.0)};
    std::vector<double> step(steps_);
    for (std::size_t j = 0; j < steps_; ++j) {
      step[j] = survival(0, exposure(j)) - survival(0, exposure(j + 1));
    }
    for (std::size_t i = 0; i <= steps_; ++i) {
      double sum = 0;
      for (std::size_t j = 0; j < std::min(i, cut); ++j) {
        sum += step[j] * (now.right[i - j - 1] + now.left[i - j]) / 2;
      }
      made.left[i] = made.right[i] = sum;
      if (cut > steps_) continue;
      const double survives = survival(0, exposure(cut));
      if (i > cut) made.left[i] += survives * now.left[i - cut];
      if (i >= cut) made.right[i] += survives * now.right[i - cut];
    }
    return made;
  }

  double first_end(const Limits& later) const {
    const std::size_t n = steps_;
    if (unit_.down || unit_.due_days <= 0) return later.right[n];
    const double alive = first_survival(unit_.untested);
    const std::size_t due = index_of(unit_.due_days);
    double sum = unit_.untested > 0 ? (1 - alive) * later.right[n] : 0;
    for (std::size_t j = 0; j < std::min(n, due); ++j) {
      const double step = first_survival(unit_.untested + exposure(j)) -
                          first_survival(unit_.untested + exposure(j + 1));
      sum += step * (later.right[n - j - 1] + later.left[n - j]) / 2;
    }
    if (due <= n) sum += first_survival(unit_.untested + exposure(due)) * later.right[n - due];
    return sum;
  }

  const WeibullNode& node_;
  const UnitState& unit_;
  double days_;
  std::size_t steps_;
};

Pmf unit_pmf(const WeibullNode& node, const UnitState& unit, double days, int steps) {
  const std::vector<double> coarse = Grid(node, unit, days, steps).tails();
  const std::vector<double> fine = Grid(node, unit, days, 2 * steps).tails();
  Pmf pmf;
  double above = 1;
  for (std::size_t k = 0; k < fine.size(); ++k) {
    const double tail = fine[k] + (k < coarse.size() ? (fine[k] - coarse[k]) / 3 : 0);
    pmf.push_back(above - tail);
    above = tail;
  }
  pmf.push_back(above);
  return pmf;
}

// ---- Laplace transforms

struct Rule {
  std::vector<long double> x;
  std::vector<long double> w;
};

Rule legendre(int n) {
  Rule rule;
  for (int i = 0; i < n; ++i) {
    const long double pi = std::numbers::pi_v<long double>;
    long double x = std::cos(pi * (i + 0.75L) / (n + 0.5L));
    long double slope = 1;
    for (int step = 0; step < 60; ++step) {
      long double a = 1;
      long double b = 0;
      for (int j = 0; j < n; ++j) {
        const long double c = b;
        b = a;
        a = ((2 * j + 1) * x * b - j * c) / (j + 1);
      }
      slope = n * (x * a - b) / (x * x - 1);
      x -= a / slope;
    }
    rule.x.push_back((1 - x) / 2);
    rule.w.push_back(1 / ((1 - x * x) * slope * slope));
  }
  return rule;
}

// Integral of exp(-s u) over the residual life of a unit of age `age`, up to where it is nothing.
Complex transform(Complex s, long double age, long double shape) {
  static const Rule rule = legendre(12);
  constexpr int kPanels = 120;
  const long double spent = std::pow(age, shape);
  const long double top = std::min(std::pow(spent + 50, 1 / shape) - age, 90 / (2 * s.real()));
  const long double grade = age == 0 && shape < 1 ? 6 : 4;
  Complex sum = 0;
  for (int p = 0; p < kPanels; ++p) {
    const long double low = top * std::pow(static_cast<long double>(p) / kPanels, grade);
    const long double high = top * std::pow(static_cast<long double>(p + 1) / kPanels, grade);
    for (std::size_t i = 0; i < rule.x.size(); ++i) {
      long double u = low + (high - low) * rule.x[i];
      long double weight = (high - low) * rule.w[i];
      if (p == 0 && age == 0) {
        // u^(shape - 1) at 0: u = high t^(12/shape) makes it a polynomial.
        const long double power = 12 / shape;
        u = high * std::pow(rule.x[i], power);
        weight = rule.w[i] * high * power * std::pow(rule.x[i], power - 1);
      }
      const long double hazard =
          age > 0 ? spent * std::expm1(shape * std::log1p(u / age)) : std::pow(u, shape);
      sum += weight * shape * std::pow(age + u, shape - 1) * std::exp(-hazard) * std::exp(-s * u);
    }
  }
  return sum;
}

}  // namespace

long simulate(std::span<const WeibullNode> nodes, std::span<const UnitState> units, double days,
              std::mt19937_64& random) {
  const WeibullNode& node = draw_node(nodes, random);
  long count = 0;
  for (const UnitState& unit : units) count += run_unit(unit, node, days, random);
  return count;
}

Pmf simulated(std::span<const WeibullNode> nodes, std::span<const UnitState> units, double days,
              long runs, unsigned seed) {
  std::mt19937_64 random(seed);
  Pmf pmf;
  for (long run = 0; run < runs; ++run) {
    const auto count = static_cast<std::size_t>(simulate(nodes, units, days, random));
    if (pmf.size() <= count) pmf.resize(count + 1, 0.0);
    pmf[count] += 1.0 / static_cast<double>(runs);
  }
  return pmf;
}

Pmf on_a_grid(std::span<const WeibullNode> nodes, std::span<const UnitState> units, double days,
              int steps) {
  Pmf mixture;
  for (const WeibullNode& node : nodes) {
    Pmf sum{1.0};
    for (const UnitState& unit : units) {
      const Pmf one = unit_pmf(node, unit, days, steps);
      Pmf next(sum.size() + one.size() - 1, 0.0);
      for (std::size_t i = 0; i < sum.size(); ++i) {
        for (std::size_t j = 0; j < one.size(); ++j) next[i + j] += sum[i] * one[j];
      }
      sum = std::move(next);
    }
    if (mixture.size() < sum.size()) mixture.resize(sum.size(), 0.0);
    for (std::size_t k = 0; k < sum.size(); ++k) mixture[k] += node.weight * sum[k];
  }
  return mixture;
}

std::vector<double> by_laplace(double shape, double age, double exposure, int count) {
  // Discretisation error exp(-36); the alternating series is summed by Euler's transformation.
  // Sharp counts over many lives need more terms.
  constexpr long double kAccuracy = 36;
  constexpr int kEuler = 24;
  const int terms = 60 + static_cast<int>(8 * exposure);
  const auto z = static_cast<long double>(exposure);
  const long double pi = std::numbers::pi_v<long double>;
  std::vector<Complex> s;
  std::vector<Complex> life;
  std::vector<Complex> now;
  const auto from = static_cast<long double>(age);
  const auto b = static_cast<long double>(shape);
  for (int k = 0; k <= terms + kEuler; ++k) {
    s.emplace_back(kAccuracy / (2 * z), static_cast<long double>(k) * pi / z);
    life.push_back(transform(s.back(), 0, b));
    now.push_back(age > 0 ? transform(s.back(), from, b) : life.back());
  }
  std::vector<double> tails;
  for (int j = 0; j < count; ++j) {
    long double sum = (now[0] / s[0]).real() / 2;
    std::vector<long double> partial;
    for (int k = 1; k <= terms + kEuler; ++k) {
      const auto i = static_cast<std::size_t>(k);
      sum += (k % 2 == 1 ? -1 : 1) * (now[i] / s[i]).real();
      if (k >= terms) partial.push_back(sum);
    }
    long double mean = 0;
    long double binomial = 1;
    for (int m = 0; m <= kEuler; ++m) {
      mean += binomial * partial[static_cast<std::size_t>(m)];
      binomial = binomial * (kEuler - m) / (m + 1);
    }
    tails.push_back(static_cast<double>(std::exp(kAccuracy / 2) / z * mean /
                                        std::pow(2.0L, static_cast<long double>(kEuler))));
    for (std::size_t k = 0; k < now.size(); ++k) now[k] *= life[k];
  }
  return tails;
}

}  // namespace slow
