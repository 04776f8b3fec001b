#pragma once
/// Renewal counts for lives of very small shape, whose residual lives are so uneven that panels in
/// use (CountTable) would be countless.

#include <cstddef>
#include <span>
#include <vector>

namespace shearpin::stocking {

/// Below this shape a SmallShapeTable serves.
inline constexpr double kSmallShape = 0.2;

/// Tails P(N(z) >= k), k = 1 .. order, of the count of ended lives within z for Weibull lives of
/// scale 1 and 0 < shape <= kSmallShape. Method: every tail is a power series in w = z^shape, and w
/// stays small where the shape does, so one polynomial through Chebyshev points in w serves the
/// whole reach; the renewal equation in that variable has smooth integrands on both halves of the
/// life. Accuracy: 1e-9 for z up to 64 and k up to 20
/// (tests/unit/stocking/failure_chance_test.cpp).
class SmallShapeTable {
 public:
  /// z_max > 0, order >= 1.
  SmallShapeTable(double shape, double z_max, std::size_t order);

  /// out[k-1] += weight x P(N(z) >= k) for k = 1 .. min(order, out.size()); 0 <= z <= z_max.
  void add_tails(double z, double weight, std::span<double> out) const;

 private:
  void basis(double w, std::span<double> out) const;

  double shape_;
  double w_max_;
  std::vector<double> w_;       // Chebyshev points
  std::vector<double> values_;  // order x points
};

}  // namespace shearpin::stocking
