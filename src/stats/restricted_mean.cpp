#include "stats/restricted_mean.hpp"

#include <cmath>

namespace shearpin::stats {
namespace {

constexpr double kSmallHazard = 0.5;
constexpr double kDigits = 1e-17;

/// sum over n >= 1 of (-1)^(n+1) H^n / (n! (n shape + 1)).
double missed_early(double shape, double hazard) {
  double power = hazard;
  double sum = 0;
  for (int n = 1; std::abs(power) > kDigits * sum; ++n) {
    sum += power / (n * shape + 1);
    power *= -hazard / (n + 1);
  }
  return sum;
}

/// e^-H sum over n >= 0 of H^n / product over j <= n of (j + 1/shape).
double lived_later(double shape, double hazard) {
  double term = 1;
  double sum = 1;
  for (int n = 1; term > kDigits * sum; ++n) {
    term *= hazard / (n + 1 / shape);
    sum += term;
  }
  return sum * std::exp(-hazard);
}

}  // namespace

StretchShares stretch_shares(double shape, double hazard) {
  if (hazard < kSmallHazard) {
    const double missed = hazard > 0 ? missed_early(shape, hazard) : 0;
    return {1 - missed, missed};
  }
  // Past this nothing of the life is left: the whole mean life has been lived.
  const double spent = 44 + 4 / shape;
  const double lived = hazard > spent
                           ? std::exp(std::lgamma(1 + 1 / shape) - std::log(hazard) / shape)
                           : lived_later(shape, hazard);
  return {lived, 1 - lived};
}

}  // namespace shearpin::stats
