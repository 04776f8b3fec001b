#include "shearpin/stats/constant_rate.hpp"

#include <fmt/format.h>

#include <boost/math/special_functions/gamma.hpp>

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

}  // namespace shearpin::stats
