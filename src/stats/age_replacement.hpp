#pragma once
/// When to replace a unit before it fails: age replacement.

#include <optional>
#include <span>

#include "shearpin/stats/weibull.hpp"

namespace shearpin::stats {

/// What one replacement costs in all (part, work, days without): planned, or forced by a failure.
/// Both > 0, in one currency.
struct ReplacementCosts {
  double planned;
  double failure;
};

/// Gain over running to failure under which a planned replacement is not worth the trouble.
inline constexpr double kLeastReplacementGain = 0.05;

/// The answer; rates are costs per unit of exposure.
struct AgeReplacement {
  /// Effective age at which to replace. Absent: never pays, since the gain is under the least one
  /// or the cost only falls with age (no wear-out, or a failure no dearer than a replacement).
  std::optional<double> age;
  double cost_rate;             ///< at `age`, else of running to failure
  double cost_rate_to_failure;  ///< of never replacing before a failure
  double gain;                  ///< 1 - best cost rate / running to failure; 0 where none is lower
  double chance_wears_out;      ///< P(shape > 1)
};

/// Long-run cost rate of replacing at `age` > 0 or at failure, whichever is first, averaged over
/// the nodes: sum of w C(T), C(T) = [planned R(T) + failure (1 - R(T))] / integral_0^T R. The
/// average is over cost rates, since the one unknown life holds for the whole long run. Relative
/// accuracy 1e-13. InputError outside the domain.
/// Source: Barlow and Hunter 1960, Operations Research 8, policy I (formula from memory).
double replacement_cost_rate(std::span<const WeibullNode> nodes, const ReplacementCosts& costs,
                             double age);

/// The age that makes replacement_cost_rate least. Method: the derivative in ln T is negative below
/// every node's H(T) = planned / ((failure - planned) shape); its sign changes from there on are
/// found by steps of 0.1 in ln T and closed to 1e-12, and the best is taken. least_gain in [0, 1).
/// nodes: weights sum to 1, any order; shape 0.5 to 8 and beliefs however wide. InputError outside
/// the domain. Checked in tests/reference/stats/age_replacement.csv.
AgeReplacement age_replacement(std::span<const WeibullNode> nodes, const ReplacementCosts& costs,
                               double least_gain = kLeastReplacementGain);
AgeReplacement age_replacement(const Weibull& life, const ReplacementCosts& costs,
                               double least_gain = kLeastReplacementGain);

}  // namespace shearpin::stats
