#pragma once
/// Which of two lasts longer: two posteriors of a Weibull life set against each other.

#include <span>

#include "shearpin/stats/weibull_posterior.hpp"

namespace shearpin::stats {

/// What is believed of one of the two, and its own records; ages of both in one unit.
struct LifeEvidence {
  WeibullPrior prior;
  std::span<const LifeRecord> records;
};

/// Chances between which neither is said to last longer.
inline constexpr double kLeastProof = 0.1;
inline constexpr double kMostProof = 0.9;

enum class LongerLife { first, second, not_proven };

/// The two median lives, scale (ln 2)^(1/shape), compared.
struct LifeComparison {
  double chance_first_longer;  ///< P(median life of the first > median life of the second)
  Quantiles ratio;             ///< first's median life over the second's; low to high hold 80 %
  LongerLife verdict;          ///< not_proven while the chance is in [kLeastProof, kMostProof]
};

/// Posteriors of the two taken as independent. Method: the density of each ln median life on a fine
/// grid, and sums of one density against the other's distribution function. Same domain and
/// refusals as weibull_posterior. Accuracy: 2e-6 in probability. Swapping the two turns the answer
/// round.
LifeComparison compare_lives(const LifeEvidence& first, const LifeEvidence& second);

/// One belief for two parts of unlike classes: that of somebody who holds it even which of the two
/// classes a part is of. The mixture of both in equal shares, as a normal of its mean and
/// deviation: of ln scale mean (m_a + m_b) / 2 and variance (u_a^2 + u_b^2) / 2 + ((m_a - m_b) /
/// 2)^2, of ln shape alike. Two equal beliefs give themselves, bit for bit; the order does not
/// matter. InputError outside the domain of WeibullPrior.
WeibullPrior pooled_prior(const WeibullPrior& one, const WeibullPrior& other);

}  // namespace shearpin::stats
