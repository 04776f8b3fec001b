#pragma once
/// Counts over very many lives, where the renewal table would be long and the count is nearly
/// normal.

#include <cstddef>
#include <vector>

namespace shearpin::stocking {

/// First four cumulants of a length of use.
struct Cumulants {
  double mean = 0;
  double variance = 0;
  double third = 0;
  double fourth = 0;
};

/// Cumulants of a Weibull life of scale 1.
Cumulants weibull_cumulants(double shape);

/// A stretch of a pmf that starts at `first`.
struct PmfBand {
  std::size_t first = 0;
  std::vector<double> values;
};

/// Distribution of the number of ends within z when the first comes after a life with cumulants
/// `first` and the others after lives with cumulants `later`: Edgeworth's series for the sum of the
/// lives (Cramer 1946, eq. 17.7.3) to the fourth cumulant. Tails below `tail_cutoff` are left out.
/// Error about 1e-4 for z = 64 mean lives with shape 1, less for larger shapes.
PmfBand many_lives(const Cumulants& first, const Cumulants& later, double z, double tail_cutoff);

}  // namespace shearpin::stocking
