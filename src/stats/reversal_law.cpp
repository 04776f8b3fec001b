#include "stats/reversal_law.hpp"

#include <algorithm>

namespace shearpin::stats {
namespace {

/// Law of the sum of `law` and a count uniform on 0 ... values - 1.
std::vector<double> add_uniform(const std::vector<double>& law, std::size_t values) {
  std::vector<double> sum(law.size() + values - 1, 0);
  double window = 0;
  for (std::size_t i = 0; i < sum.size(); ++i) {
    window += i < law.size() ? law[i] : 0;
    window -= i >= values ? law[i - values] : 0;
    sum[i] = std::max(0.0, window) / static_cast<double>(values);
  }
  return sum;
}

}  // namespace

// The k-th interval is longer than any number from 0 to k - 1 of those before it, each equally
// likely and independent of the order of those before.
ReversalLaw::ReversalLaw(std::span<const long> sizes) : chances_{1} {
  for (const long size : sizes) {
    for (long k = 2; k <= size; ++k) {
      chances_ = add_uniform(chances_, static_cast<std::size_t>(k));
    }
  }
}

double ReversalLaw::at_most(long reversals) const {
  double sum = 0;
  for (long i = 0; i <= reversals && i < static_cast<long>(chances_.size()); ++i) {
    sum += chances_[static_cast<std::size_t>(i)];
  }
  return std::min(1.0, sum);
}

// By symmetry, from the thin end: small chances keep their digits.
double ReversalLaw::at_least(long reversals) const {
  return at_most(static_cast<long>(chances_.size()) - 1 - reversals);
}

}  // namespace shearpin::stats
