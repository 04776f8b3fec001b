#include "shearpin/stats/constant_rate.hpp"

#include <fmt/format.h>

#include <boost/math/special_functions/gamma.hpp>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>

#include "shearpin/base/error.hpp"
#include "stats/check.hpp"

namespace shearpin::stats {
namespace {

namespace bm = boost::math;

// A chi-square variable with 2a degrees of freedom is twice a gamma variable of shape a.
double gamma_quantile(double shape, double probability) {
  return bm::gamma_p_inv(shape, probability);
}

/// Upper quantile: exceeded with `probability`; accurate for small ones.
double gamma_upper_quantile(double shape, double probability) {
  return bm::gamma_q_inv(shape, probability);
}

void check_record(const RateRecord& record) {
  const long least = record.termination == Termination::failure ? 1 : 0;
  if (record.failures < least) {
    throw InputError(
        fmt::format("the number of failures is {}: it must be {} or more", record.failures, least));
  }
  require_positive("the exposure", record.exposure);
}

void check_law(const GammaRate& law) {
  require_positive("the gamma shape", law.shape);
  require_positive("the gamma exposure", law.exposure);
}

/// Upper limit leaving `outside` above it.
double upper_limit(const RateRecord& record, double outside) {
  const double extra = record.termination == Termination::time ? 1 : 0;
  return gamma_upper_quantile(static_cast<double>(record.failures) + extra, outside) /
         record.exposure;
}

double lower_limit(const RateRecord& record, double outside) {
  return record.failures == 0
             ? 0
             : gamma_quantile(static_cast<double>(record.failures), outside) / record.exposure;
}

}  // namespace

RateInterval rate_interval(const RateRecord& record, double level) {
  check_record(record);
  require_fraction("the confidence", level);
  if (record.failures == 0) {
    return {std::nullopt, 0, upper_limit(record, 1 - level)};
  }
  const double outside = (1 - level) / 2;
  return {static_cast<double>(record.failures) / record.exposure, lower_limit(record, outside),
          upper_limit(record, outside)};
}

double rate_upper_limit(const RateRecord& record, double level) {
  check_record(record);
  require_fraction("the confidence", level);
  return upper_limit(record, 1 - level);
}

double rate_lower_limit(const RateRecord& record, double level) {
  check_record(record);
  require_fraction("the confidence", level);
  return lower_limit(record, 1 - level);
}

GammaRate gamma_posterior(const GammaRate& prior, long failures, double exposure) {
  require_not_negative("the prior's gamma shape", prior.shape);
  require_not_negative("the prior's gamma exposure", prior.exposure);
  require_not_negative("the exposure", exposure);
  if (failures < 0) {
    throw InputError(fmt::format("the number of failures is {}: it must be 0 or more", failures));
  }
  const GammaRate law{prior.shape + static_cast<double>(failures), prior.exposure + exposure};
  check_law(law);
  return law;
}

double gamma_rate_cdf(const GammaRate& law, double rate) {
  check_law(law);
  return rate <= 0 ? 0 : bm::gamma_p(law.shape, rate * law.exposure);
}

double gamma_rate_quantile(const GammaRate& law, double probability) {
  check_law(law);
  require_fraction("the probability", probability);
  return gamma_quantile(law.shape, probability) / law.exposure;
}

double gamma_mtbf_exceeded(const GammaRate& law, double probability) {
  return 1 / gamma_rate_quantile(law, probability);
}

NegativeBinomial gamma_predictive(const GammaRate& law, double future) {
  check_law(law);
  require_positive("the future exposure", future);
  return {law.shape, law.exposure / (law.exposure + future)};
}

GammaRate gamma_prior_50_95(double mtbf_median, double mtbf_low) {
  require_positive("the median MTBF", mtbf_median);
  require_positive("the low MTBF", mtbf_low);
  if (!(mtbf_low < mtbf_median)) {
    throw InputError(fmt::format(
        "the MTBF exceeded with 95 % is {} and the median {}: it must lie below the median, e.g. "
        "250 and 600",
        mtbf_low, mtbf_median));
  }
  // The ratio of the two rates depends on the shape alone, and falls as it grows.
  const double ratio = std::log(mtbf_median / mtbf_low);
  const auto excess = [ratio](double ln_shape) {
    const double shape = std::exp(ln_shape);
    return std::log(gamma_quantile(shape, 0.95) / gamma_quantile(shape, 0.5)) - ratio;
  };
  constexpr double kLeast = -4;  // shape 0.018: median and 95 % point some 10^16 apart
  constexpr double kMost = 12;
  if (excess(kLeast) < 0 || excess(kMost) > 0) {
    throw InputError(
        fmt::format("an MTBF of {} at the median and {} at 95 % are too far apart or too close "
                    "together for a gamma belief",
                    mtbf_median, mtbf_low));
  }
  std::uintmax_t steps = 100;
  const auto bracket =
      bm::tools::toms748_solve(excess, kLeast, kMost, bm::tools::eps_tolerance<double>(48), steps);
  const double shape = std::exp(0.5 * (bracket.first + bracket.second));
  return {shape, mtbf_median * gamma_quantile(shape, 0.5)};
}

double demonstration_exposure(const GammaRate& prior, double mtbf, double confidence,
                              long allowed) {
  require_not_negative("the prior's gamma exposure", prior.exposure);
  require_positive("the MTBF to show", mtbf);
  require_fraction("the confidence", confidence);
  if (allowed < 0) {
    throw InputError(fmt::format("the failures allowed are {}: it must be 0 or more", allowed));
  }
  const double shape = prior.shape + static_cast<double>(allowed);
  require_positive("the gamma shape with the failures allowed", shape);
  return std::max(0.0, mtbf * gamma_quantile(shape, confidence) - prior.exposure);
}

}  // namespace shearpin::stats
