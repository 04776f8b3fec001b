#pragma once
/// Residual life of a unit that is known only by its own posterior: a mixture of Weibulls,
/// tabulated.

#include <span>
#include <vector>

#include "shearpin/stats/weibull.hpp"

namespace shearpin::stocking {

/// Density and survival of the residual life of a unit of age `age`, for u in [0, reach]: mixture
/// over the nodes, interpolated on panels that shrink towards 0. Accuracy 1e-9.
class TabulatedLife {
 public:
  TabulatedLife(std::span<const stats::WeibullNode> nodes, double age, double reach);

  double density(double u) const;
  double survival(double u) const;
  /// Length over which the density may change much: pieces of an integral should not be longer.
  double scale() const { return scale_; }
  /// The shortest length in which a node that matters runs out: near 0 the density may change that
  /// fast (an old unit), further out no faster than the distance from 0.
  double first_spent() const { return first_spent_; }

 private:
  std::size_t panel_of(double u) const;

  double scale_ = 0;
  double first_spent_ = 0;
  std::vector<double> starts_;  // panel p is [starts_[p], starts_[p + 1]]
  std::vector<double> densities_;
  std::vector<double> survivals_;
};

}  // namespace shearpin::stocking
