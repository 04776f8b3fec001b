#pragma once
/// Constant failure rate: r failures in exposure T, classical limits and gamma prior.

#include <optional>

#include "shearpin/stats/discrete.hpp"

namespace shearpin::stats {

/// How the watching ended: at a fixed exposure, or at the last failure.
enum class Termination { time, failure };

/// What was watched: failures >= 0; exposure > 0, summed over units (failure-terminated: failures
/// >= 1).
struct RateRecord {
  long failures;
  double exposure;
  Termination termination = Termination::time;
};

/// Failures per unit of exposure. No failures: `point` is empty, `lower` is 0 and `upper` spends
/// all of 1 - level.
struct RateInterval {
  std::optional<double> point;
  double lower;
  double upper;
};

/// Two-sided exact interval at confidence `level` in (0, 1): chi-square(2r) / 2T and chi-square(2r
/// + 2) / 2T for time-terminated, 2r degrees of freedom on both sides for failure-terminated.
/// InputError outside the domain. Source: NIST/SEMATECH e-Handbook 8.4.5.1; MIL-HDBK-338B
/// (1998) 8.3.2.5. Checked in tests/reference/stats/constant_rate.csv.
RateInterval rate_interval(const RateRecord& record, double level);

/// One-sided limits on the rate at confidence `level`; the lower one is 0 with no failures
/// (time-terminated).
double rate_upper_limit(const RateRecord& record, double level);
double rate_lower_limit(const RateRecord& record, double level);

/// Gamma law of a rate: mean shape / exposure. shape > 0; exposure > 0 (>= 0 as a prior, improper
/// at 0).
struct GammaRate {
  double shape;
  double exposure;
};

/// Prior plus r failures in T: (shape + r, exposure + T). InputError unless the result is proper.
GammaRate gamma_posterior(const GammaRate& prior, long failures, double exposure);

/// P(rate <= value), and the value with P(rate <= value) = probability in (0, 1).
double gamma_rate_cdf(const GammaRate& law, double rate);
double gamma_rate_quantile(const GammaRate& law, double probability);
/// MTBF exceeded with `probability`: 1 / gamma_rate_quantile(law, probability).
double gamma_mtbf_exceeded(const GammaRate& law, double probability);

/// Predictive count over `future` exposure (> 0): negative binomial, size shape, p exposure /
/// (exposure + future).
NegativeBinomial gamma_predictive(const GammaRate& law, double future);

/// Prior from two statements about the MTBF: median `mtbf_median`, and 95 % sure that it is above
/// `mtbf_low` (< median). Source: NIST/SEMATECH e-Handbook 8.2.5, 50/95 method.
GammaRate gamma_prior_50_95(double mtbf_median, double mtbf_low);

/// Exposure a test needs so that with at most `allowed` failures the MTBF is at least `mtbf` with
/// `confidence`: mtbf * q(confidence; shape + allowed) - prior exposure; 0 when the prior alone
/// says so. Source: NIST/SEMATECH e-Handbook 8.3.1.5.
double demonstration_exposure(const GammaRate& prior, double mtbf, double confidence, long allowed);

}  // namespace shearpin::stats
