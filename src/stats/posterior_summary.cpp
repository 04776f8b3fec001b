#include <cmath>

#include "shearpin/stats/weibull_posterior.hpp"
#include "stats/marginals.hpp"
#include "stats/prior.hpp"
#include "stats/weibull_likelihood.hpp"

namespace shearpin::stats {
namespace {

Quantiles exp_quantiles(const DensityTable& table) {
  return {std::exp(quantile(table, 0.1)), std::exp(quantile(table, 0.5)),
          std::exp(quantile(table, 0.9))};
}

double ln_mtbf_factor(double shape) { return std::lgamma(1 + 1 / shape); }

Quantiles times(const Quantiles& q, double factor) {
  return {q.low * factor, q.median * factor, q.high * factor};
}

}  // namespace

PosteriorSummary posterior_summary(const WeibullPrior& prior, std::span<const LifeRecord> records) {
  const WeibullPosterior posterior = weibull_posterior(prior, records);
  const LogPrior log = log_prior(prior);
  const RecordTable table = make_record_table(records);
  const Marginals marginals(log, table);
  const double unit = std::exp(table.ln_reference);
  PosteriorSummary out{};
  out.scale = times(exp_quantiles(marginals.of([](double) { return 0.0; })), unit);
  out.mtbf = times(exp_quantiles(marginals.of(ln_mtbf_factor)), unit);
  out.shape = log.shape_fixed
                  ? Quantiles{prior.shape_median, prior.shape_median, prior.shape_median}
                  : exp_quantiles(marginals.of_shape());
  const double prior_variance = prior.ln_scale_sd() * prior.ln_scale_sd();
  const double ratio = posterior.variance_log_scale / prior_variance;
  // Without records the two differ by rounding alone.
  constexpr double kRounding = 1e-6;
  out.share_learnt = ratio > 1 - kRounding ? 0 : 1 - ratio;
  out.variance_grew = ratio > 1 + kRounding;
  out.failures = posterior.failures;
  out.exposure = posterior.exposure;
  return out;
}

}  // namespace shearpin::stats
