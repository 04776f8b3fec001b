#pragma once
/// The standard normal and chi-square laws as the classical tests need them. Arguments are the
/// caller's to check.

namespace shearpin::stats {

/// z with P(Z > z) = 0.1: half the width of an 80 % range, in deviations.
inline constexpr double kTenPercentPoint = 1.2815515655446004;

/// P(Z > z), accurate far out.
double normal_tail(double z);
/// z with P(|Z| <= z) = level, 0 < level < 1.
double normal_two_sided(double level);

/// P(X <= x) and P(X > x); degrees > 0, x >= 0.
double chi_square_cdf(double degrees, double x);
double chi_square_tail(double degrees, double x);
/// x with P(X <= x) = probability, accurate for small ones.
double chi_square_quantile(double degrees, double probability);

}  // namespace shearpin::stats
