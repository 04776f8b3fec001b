#pragma once
/// The exact law of the number of reversals when every order of the intervals is equally likely.

#include <span>
#include <vector>

namespace shearpin::stats {

/// Beyond this many pairs the count takes long; for one system the normal law is then good to 3e-4.
inline constexpr long kMostExactPairs = 20'000;

/// Reversals summed over independent systems with `sizes` intervals each.
class ReversalLaw {
 public:
  explicit ReversalLaw(std::span<const long> sizes);

  double at_most(long reversals) const;
  double at_least(long reversals) const;

 private:
  std::vector<double> chances_;  ///< of 0, 1, ... reversals; symmetric
};

}  // namespace shearpin::stats
