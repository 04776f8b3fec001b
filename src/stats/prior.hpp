#pragma once
/// The class belief as the machinery takes it.

#include <span>

#include "shearpin/stats/weibull_posterior.hpp"
#include "stats/log_density.hpp"

namespace shearpin::stats {

/// InputError outside the domain of WeibullPrior.
LogPrior log_prior(const WeibullPrior& prior);

/// Posterior for a prior the machinery serves; it must be proper. The public function is this with
/// log_prior().
WeibullPosterior posterior_of(const LogPrior& prior, std::span<const LifeRecord> records,
                              const PosteriorOptions& options);

}  // namespace shearpin::stats
