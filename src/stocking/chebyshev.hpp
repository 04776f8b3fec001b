#pragma once
/// Interpolation on Chebyshev points of the first kind, mapped to (0, 1).

#include <cstddef>
#include <span>
#include <vector>

namespace shearpin::stocking {

/// One set of points, with what evaluation and differentiation need.
struct Chebyshev {
  std::vector<double> nodes;              ///< in (0, 1), rising
  std::vector<double> weights;            ///< barycentric (Berrut and Trefethen 2004, eq. 5.3)
  std::vector<double> to_coefficients;    ///< row d: coefficient of x^d from the values, row by row
  std::vector<double> from_node;          ///< the same by columns: what each value gives to all
  std::vector<double> centred_from_node;  ///< so for powers of x - 1/2, better conditioned

  std::size_t size() const { return nodes.size(); }

  /// Values at x in [0, 1] of the Lagrange polynomials of the nodes; basis.size() == size().
  void basis(double x, std::span<double> basis) const;
};

inline constexpr std::size_t kMostChebyshev = 12;

/// The set of n points, 2 <= n <= kMostChebyshev; made once.
const Chebyshev& chebyshev(std::size_t n);

}  // namespace shearpin::stocking
