#include "oracles/small_shape_table.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "stocking/quadrature.hpp"

namespace shearpin::stocking {
namespace {

constexpr std::size_t kDegree = 64;
constexpr std::size_t kTablePoints = kDegree + 1;

}  // namespace

SmallShapeTable::SmallShapeTable(double shape, double z_max, std::size_t order)
    : shape_(shape), w_max_(std::pow(z_max, shape)) {
  for (std::size_t i = 0; i < kTablePoints; ++i) {
    const double angle = std::numbers::pi * static_cast<double>(i) / kDegree;
    w_.push_back(0.5 * w_max_ * (1 - std::cos(angle)));
  }
  // next(w_i) = sum over j of matrix(i, j) now(w_j). With w = z^shape, a life that ends in the
  // first half of z has u = v^(1/shape), f du = e^-v dv; in the second half z - u = y^(1/shape).
  std::vector<double> matrix(kTablePoints * kTablePoints, 0.0);
  std::vector<double> at(kTablePoints);
  const GaussRule& rule = gauss_rule(kMostGaussPoints);
  for (std::size_t i = 1; i < kTablePoints; ++i) {
    const double z = std::pow(w_[i], 1 / shape);
    const double half = std::pow(0.5 * z, shape);
    const auto add = [&](double rest, double weight) {
      basis(std::pow(std::max(rest, 0.0), shape), at);
      for (std::size_t j = 0; j < kTablePoints; ++j) matrix[i * kTablePoints + j] += weight * at[j];
    };
    for (std::size_t q = 0; q < rule.points.size(); ++q) {
      const double v = half * rule.points[q];
      const double short_part = std::pow(v, 1 / shape);
      const double weight = half * rule.weights[q];
      add(z - short_part, weight * std::exp(-v));
      const double u = z - short_part;
      const double hazard = std::pow(u, shape);
      const double density = shape * hazard / u * std::exp(-hazard);
      add(short_part, weight * density * short_part / (v * shape));
    }
  }
  std::vector<double> tail(kTablePoints);
  for (std::size_t i = 0; i < kTablePoints; ++i) tail[i] = -std::expm1(-w_[i]);
  for (std::size_t k = 0; k < order; ++k) {
    values_.insert(values_.end(), tail.begin(), tail.end());
    std::vector<double> next(kTablePoints, 0.0);
    for (std::size_t i = 1; i < kTablePoints; ++i) {
      for (std::size_t j = 0; j < kTablePoints; ++j)
        next[i] += matrix[i * kTablePoints + j] * tail[j];
      next[i] = std::clamp(next[i], 0.0, tail[i]);
    }
    tail = std::move(next);
  }
}

// Barycentric weights of Chebyshev points of the second kind alternate in sign, halved at the ends.
void SmallShapeTable::basis(double w, std::span<double> out) const {
  double sum = 0;
  for (std::size_t j = 0; j < kTablePoints; ++j) {
    const double away = w - w_[j];
    if (away == 0) {
      std::fill(out.begin(), out.end(), 0.0);
      out[j] = 1;
      return;
    }
    const double end = j == 0 || j == kDegree ? 0.5 : 1;
    out[j] = (j % 2 == 0 ? end : -end) / away;
    sum += out[j];
  }
  for (double& value : out) value /= sum;
}

void SmallShapeTable::add_tails(double z, double weight, std::span<double> out) const {
  std::vector<double> at(kTablePoints);
  basis(std::pow(std::max(z, 0.0), shape_), at);
  const std::size_t order = values_.size() / kTablePoints;
  for (std::size_t k = 0; k < std::min(order, out.size()); ++k) {
    double sum = 0;
    for (std::size_t j = 0; j < kTablePoints; ++j) sum += at[j] * values_[k * kTablePoints + j];
    out[k] += weight * std::max(0.0, sum);
  }
}

}  // namespace shearpin::stocking
