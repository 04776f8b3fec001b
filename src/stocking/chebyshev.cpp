#include "stocking/chebyshev.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <stdexcept>

namespace shearpin::stocking {
namespace {

// The inverse of the Vandermonde matrix: column j holds the coefficients of the Lagrange polynomial
// of node j, in powers of x - centre. In long double, since the entries reach 10^7.
std::vector<double> inverse_vandermonde(const Chebyshev& c, long double centre) {
  const std::size_t n = c.size();
  std::array<long double, kMostChebyshev + 1> product{};
  product[0] = 1;
  for (const double node : c.nodes) {
    const long double at = static_cast<long double>(node) - centre;
    for (std::size_t d = n; d > 0; --d) product[d] = product[d - 1] - product[d] * at;
    product[0] *= -at;
  }
  std::vector<double> inverse(n * n);
  std::array<long double, kMostChebyshev> quotient{};
  for (std::size_t j = 0; j < n; ++j) {
    const long double at = static_cast<long double>(c.nodes[j]) - centre;
    long double carry = 0;
    for (std::size_t d = n; d > 0; --d) quotient[d - 1] = carry = product[d] + carry * at;
    long double value = 0;
    for (std::size_t d = n; d > 0; --d) value = value * at + quotient[d - 1];
    for (std::size_t d = 0; d < n; ++d) {
      inverse[d * n + j] = static_cast<double>(quotient[d] / value);
    }
  }
  return inverse;
}

std::vector<double> transposed(const std::vector<double>& matrix, std::size_t n) {
  std::vector<double> other(n * n);
  for (std::size_t d = 0; d < n; ++d) {
    for (std::size_t j = 0; j < n; ++j) other[j * n + d] = matrix[d * n + j];
  }
  return other;
}

Chebyshev make(std::size_t n) {
  Chebyshev c;
  for (std::size_t j = 0; j < n; ++j) {
    const double angle =
        std::numbers::pi * (2 * static_cast<double>(j) + 1) / (2 * static_cast<double>(n));
    c.nodes.push_back((1 - std::cos(angle)) / 2);
    c.weights.push_back((j % 2 == 0 ? 1 : -1) * std::sin(angle));
  }
  c.to_coefficients = inverse_vandermonde(c, 0);
  c.from_node = transposed(c.to_coefficients, n);
  c.centred_from_node = transposed(inverse_vandermonde(c, 0.5L), n);
  return c;
}

}  // namespace

void Chebyshev::basis(double x, std::span<double> basis) const {
  double sum = 0;
  for (std::size_t j = 0; j < nodes.size(); ++j) {
    const double gap = x - nodes[j];
    if (std::fabs(gap) < 1e-15) {
      std::fill(basis.begin(), basis.end(), 0.0);
      basis[j] = 1;
      return;
    }
    basis[j] = weights[j] / gap;
    sum += basis[j];
  }
  const double scale = 1 / sum;
  for (double& b : basis) b *= scale;
}

const Chebyshev& chebyshev(std::size_t n) {
  static const std::array<Chebyshev, kMostChebyshev + 1> sets = [] {
    std::array<Chebyshev, kMostChebyshev + 1> made;
    for (std::size_t k = 2; k <= kMostChebyshev; ++k) made[k] = make(k);
    return made;
  }();
  if (n < 2 || n > kMostChebyshev) throw std::logic_error("no Chebyshev set of that many points");
  return sets[n];
}

}  // namespace shearpin::stocking
