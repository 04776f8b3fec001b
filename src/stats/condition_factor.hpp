#pragma once
/// Did a condition really hurt? The factor by which a condition ages a part, learnt together with
/// its life.

#include <optional>
#include <span>
#include <vector>

#include "shearpin/stats/weibull_posterior.hpp"

namespace shearpin::stats {

/// An age in two parts: exposure without the condition and exposure under it. With factor f the
/// effective age is plain + f x exposed (cumulative-exposure model). Both >= 0. Factors of other
/// conditions, if any, are already counted in both parts: one condition is learnt at a time.
struct SplitAge {
  double plain = 0;
  double exposed = 0;

  double at(double factor) const { return plain + factor * exposed; }
};

/// A life record whose ages are split; `lower` only for an interval. Neither part may fall from
/// entry to lower to exit.
struct SplitRecord {
  LifeKind kind = LifeKind::alive;
  SplitAge entry;
  SplitAge lower;
  SplitAge exit;
  /// The condition held when a failed or repaired unit failed: the hazard of that day, in days, is
  /// f times the hazard in effective age. Not read for alive and interval.
  bool exposed_at_exit = false;
};

/// Belief: ln f ~ N(ln median, log_sd^2), counted as no more than `largest` (the cap on all factors
/// together, applied to f itself). 0 < median < largest; log_sd > 0.
struct FactorPrior {
  double median;
  double log_sd = 0.5;
  double largest = 8;
};

/// The life as it would be believed if the factor were known; `weight` is the share of this factor.
struct FactorSlice {
  double factor;
  double weight;
  WeibullPosterior life;
};

/// Joint posterior of the factor and the life. A stretch ahead with and without the condition is
/// answered slice by slice, since its effective exposure depends on the factor too.
struct FactorPosterior {
  Quantiles factor;           ///< low to high hold 80 %
  double chance_above_one;    ///< P(f > 1)
  double chance_above_prior;  ///< P(f > the prior's median)
  double share_learnt;        ///< max(0, 1 - var(posterior ln f) / var(prior ln f)), f as capped
  std::vector<FactorSlice> slices;  ///< factor rising, weights sum to 1
  double log_evidence;  ///< ln of the integral over factor and life of prior times likelihood
};

/// One node of the joint posterior; weights sum to 1. `scale` is in effective exposure.
struct FactorNode {
  double scale;
  double shape;
  double factor;
  double weight;
};

/// Whether units were watched both with and without the condition; else the factor cannot be told
/// from the life.
bool factor_is_learnable(std::span<const SplitRecord> records);

/// Posterior by quadrature over ln f around weibull_posterior: p(f | record) is proportional to
/// p(f) x evidence(f) x f^(failures under the condition). ln evidence is interpolated through
/// Chebyshev points in ln f, doubled until the density settles to 1e-6 of its peak; quantiles from
/// its integral, slices at the points of a Gauss rule; what the prior puts above the cap is one
/// slice at the cap. Nothing (nullopt) where factor_is_learnable is false. InputError for a prior
/// or a record outside its domain; NumericError where it does not settle. Accuracy: 1e-5 in
/// probability. Source: cumulative exposure, Nelson 1990, Accelerated Testing, ch. 10 (from
/// memory).
std::optional<FactorPosterior> factor_posterior(const WeibullPrior& prior,
                                                const FactorPrior& factor,
                                                std::span<const SplitRecord> records);

/// The records as they are at one factor (> 0).
std::vector<LifeRecord> records_at(std::span<const SplitRecord> records, double factor);

/// All nodes of all slices.
std::vector<FactorNode> joint_nodes(const FactorPosterior& posterior);

}  // namespace shearpin::stats
