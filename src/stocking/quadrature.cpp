#include "stocking/quadrature.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <stdexcept>

namespace shearpin::stocking {
namespace {

GaussRule make_rule(std::size_t n) {
  GaussRule rule{std::vector<double>(n), std::vector<double>(n)};
  const double count = static_cast<double>(n);
  for (std::size_t i = 0; i < n; ++i) {
    double x = std::cos(std::numbers::pi * (static_cast<double>(i) + 0.75) / (count + 0.5));
    double slope = 1;
    for (int step = 0; step < 100; ++step) {
      double previous = 1;
      double value = x;
      for (std::size_t k = 2; k <= n; ++k) {
        const double j = static_cast<double>(k);
        const double next = ((2 * j - 1) * x * value - (j - 1) * previous) / j;
        previous = value;
        value = next;
      }
      slope = count * (x * value - previous) / (x * x - 1);
      const double move = value / slope;
      x -= move;
      if (std::fabs(move) < 1e-16) break;
    }
    rule.points[n - 1 - i] = (1 + x) / 2;
    rule.weights[n - 1 - i] = 1 / ((1 - x * x) * slope * slope);
  }
  return rule;
}

// u = top x t^power over u in [low, top].
template <class Emit>
void graded(double low, double top, double power, const GaussRule& rule, Emit emit) {
  if (!(top > low)) return;
  const double t0 = low > 0 ? std::pow(low / top, 1 / power) : 0;
  for (std::size_t i = 0; i < rule.points.size(); ++i) {
    const double t = t0 + (1 - t0) * rule.points[i];
    const double u = power == 1 ? top * t : top * std::pow(t, power);
    emit(u, rule.weights[i] * (1 - t0) * power * u / t);
  }
}

}  // namespace

const GaussRule& gauss_rule(std::size_t n) {
  static const std::array<GaussRule, kMostGaussPoints + 1> rules = [] {
    std::array<GaussRule, kMostGaussPoints + 1> made;
    for (std::size_t k = 2; k <= kMostGaussPoints; ++k) made[k] = make_rule(k);
    return made;
  }();
  if (n < 2 || n > kMostGaussPoints) throw std::logic_error("no Gauss rule of that many points");
  return rules[n];
}

Grading::Grading(double shape)
    : density((shape < 3 ? std::ceil(2 * shape - 1e-9) : std::ceil(shape - 1e-9)) / shape),
      count(std::ceil(4 / (shape + 1))) {}

void append_split_points(std::vector<SplitPoint>& points, const SplitRange& range,
                         const Grading& grading, double piece, std::size_t n) {
  if (!(range.high > range.low)) return;
  const GaussRule& rule = gauss_rule(n);
  const double length = range.high - range.low;
  const double edge = std::min(length / 2, piece);
  const double start = range.age + range.low;
  graded(start, start + edge, grading.density, rule, [&](double at, double weight) {
    const double u = at - range.age;
    points.push_back({u, range.z - u, weight});
  });
  const double middle = length - 2 * edge;
  if (middle > 1e-12 * length) {
    const double pieces = std::ceil(middle / piece);
    const double width = middle / pieces;
    for (double k = 0; k < pieces; ++k) {
      for (std::size_t i = 0; i < n; ++i) {
        const double u = range.low + edge + width * (k + rule.points[i]);
        points.push_back({u, range.z - u, width * rule.weights[i]});
      }
    }
  }
  const double rest_low = std::max(0.0, range.z - range.origin - range.high);
  graded(rest_low, rest_low + edge, grading.count, rule, [&](double rest, double weight) {
    points.push_back({range.z - range.origin - rest, range.origin + rest, weight});
  });
}

}  // namespace shearpin::stocking
