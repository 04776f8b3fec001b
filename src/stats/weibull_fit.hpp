#pragma once
/// Maximum-likelihood Weibull fits, for those who want the classical figures beside
/// the posterior.

#include <span>

#include "shearpin/stats/weibull.hpp"

namespace shearpin::stats {

/// Fit with standard errors from the observed information in (ln scale, ln(1/shape)).
struct WeibullFit {
  Weibull life;
  double log_likelihood;
  double se_log_scale;
  double se_log_inverse_shape;
};

/// Weibull fit to failed, alive (right-censored), left-truncated, interval and repaired records;
/// left-censored is the interval from 0. The root of the profile score in ln shape by safeguarded
/// Newton steps, to 1e-12. InputError: no failures; records outside their domain; or no maximum
/// exists (a single failure age with nothing older beside it lets the shape grow without bound;
/// looks that lives of one length would explain do so too; only failures found at a first
/// look let the scale shrink to 0). Checked in
/// tests/reference/stats/weibull_fit.csv against R survreg, and optim for delayed entry.
WeibullFit weibull_fit(std::span<const LifeRecord> records);

}  // namespace shearpin::stats
