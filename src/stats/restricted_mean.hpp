#pragma once
/// How much of a stretch a new unit lives through: (1/T) integral_0^T exp(-(u/scale)^shape) du, as
/// a function of the cumulative hazard H = (T/scale)^shape alone.

namespace shearpin::stats {

/// Cumulative hazard past which what is left of a life changes no digit of a cost or a mean.
inline constexpr double kSpentHazard = 45;

/// Shares of a stretch that a new unit is expected to live and to miss; they sum to 1, and neither
/// is a difference of near equals.
struct StretchShares {
  double lived;
  double missed;
};

/// hazard >= 0, shape > 0. Accuracy about 1e-15 relative for both. Kummer's transformation of the
/// incomplete gamma function, all terms positive (DLMF 8.5.1 and 8.7.1; from memory).
StretchShares stretch_shares(double shape, double hazard);

}  // namespace shearpin::stats
