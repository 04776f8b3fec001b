#pragma once
/// Gauss-Legendre rules and the graded intervals of the renewal integrals.

#include <cstddef>
#include <vector>

namespace shearpin::stocking {

/// Points in (0, 1), rising, and weights that sum to 1.
struct GaussRule {
  std::vector<double> points;
  std::vector<double> weights;
};

/// Rule of n points, 2 <= n <= kMostGaussPoints; made once, by Newton's method on the Legendre
/// polynomial.
const GaussRule& gauss_rule(std::size_t n);
inline constexpr std::size_t kMostGaussPoints = 32;

/// One point of an integral over u: `rest` is z - u, `weight` the share of du.
struct SplitPoint {
  double u;
  double rest;
  double weight;
};

/// Substitution exponents. A density behaves like (age + u)^(shape - 1) near u = -age: with
/// age + u ~ t^density, density x shape is whole, which makes it a power series in t up to a high
/// odd power. A count behaves like 1 + y^shape near y = 0: y ~ t^count, count whole.
struct Grading {
  double density;
  double count;

  explicit Grading(double shape);
};

/// An integral of density(u) x count(z - u) du over u in [low, high]. The density is singular at
/// u = -age (age >= 0), the count at z - u = origin, origin <= z - high.
struct SplitRange {
  double low;
  double high;
  double z;
  double origin = 0;
  double age = 0;
};

/// Appends Gauss points for such an integral, crowded towards the singular ends; pieces are no
/// longer than `piece`, with n points each (two pieces at least). Nothing for an empty range.
void append_split_points(std::vector<SplitPoint>& points, const SplitRange& range,
                         const Grading& grading, double piece, std::size_t n);

}  // namespace shearpin::stocking
