#include "stocking/many_lives.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace shearpin::stocking {
namespace {

// P(sum <= z) for a sum with these cumulants.
double edgeworth(const Cumulants& c, double z) {
  const double deviation = std::sqrt(c.variance);
  const double x = (z - c.mean) / deviation;
  const double normal = std::erfc(-x / std::numbers::sqrt2) / 2;
  const double density = std::exp(-x * x / 2) / std::sqrt(2 * std::numbers::pi);
  const double skew = c.third / (c.variance * deviation);
  const double excess = c.fourth / (c.variance * c.variance);
  const double x2 = x * x;
  const double h2 = x2 - 1;
  const double h3 = x * (x2 - 3);
  const double h5 = x * (x2 * (x2 - 10) + 15);
  const double correction = skew / 6 * h2 + excess / 24 * h3 + skew * skew / 72 * h5;
  return std::clamp(normal - density * correction, 0.0, 1.0);
}

}  // namespace

Cumulants weibull_cumulants(double shape) {
  const double m1 = std::tgamma(1 + 1 / shape);
  const double m2 = std::tgamma(1 + 2 / shape);
  const double m3 = std::tgamma(1 + 3 / shape);
  const double m4 = std::tgamma(1 + 4 / shape);
  const double v = m2 - m1 * m1;
  const double third = m3 - 3 * m1 * m2 + 2 * m1 * m1 * m1;
  const double central4 = m4 - 4 * m1 * m3 + 6 * m1 * m1 * m2 - 3 * m1 * m1 * m1 * m1;
  return {m1, v, third, central4 - 3 * v * v};
}

PmfBand many_lives(const Cumulants& first, const Cumulants& later, double z, double tail_cutoff) {
  // k ends within z if the first k lives together are no longer than z.
  const auto tail = [&](double k) {
    const double more = k - 1;
    return edgeworth({first.mean + more * later.mean, first.variance + more * later.variance,
                      first.third + more * later.third, first.fourth + more * later.fourth},
                     z);
  };
  const double middle = std::max(1.0, (z - first.mean) / later.mean + 1);
  const double spread =
      std::sqrt((first.variance + middle * later.variance) / (later.mean * later.mean)) + 1;
  const double low = std::max(0.0, std::floor(middle - 8 * spread));
  PmfBand band;
  band.first = static_cast<std::size_t>(low);
  double above = 1;  // P(N >= low): what lies lower is lumped into the first entry
  for (double k = low + 1;; ++k) {
    const double next = std::min(above, tail(k));
    band.values.push_back(above - next);
    above = next;
    if (above < tail_cutoff || k > middle + 12 * spread) break;
  }
  return band;
}

}  // namespace shearpin::stocking
