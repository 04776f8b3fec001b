#include "shearpin/stats/life_comparison.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "stats/marginals.hpp"
#include "stats/normal.hpp"
#include "stats/prior.hpp"
#include "stats/weibull_likelihood.hpp"

namespace shearpin::stats {
namespace {

DensityShares log_median_life(const LifeEvidence& evidence) {
  check_records(evidence.records);
  const LogPrior prior = log_prior(evidence.prior);
  const RecordTable table = make_record_table(evidence.records);
  const Marginals marginals(prior, table);
  DensityTable density =
      marginals.of([](double shape) { return std::log(std::numbers::ln2) / shape; });
  density.first += table.ln_reference;
  return DensityShares(std::move(density));
}

/// P(first - second > difference). The sum runs over the finer table, on whose step the other one's
/// distribution function is smooth; both densities fade to nothing at their ends, so plain sums do.
double chance_above(const DensityShares& first, const DensityShares& second, double difference) {
  const bool over_first = first.table().step < second.table().step;
  const DensityShares& fine = over_first ? first : second;
  const DensityTable& table = fine.table();
  double sum = 0;
  for (std::size_t i = 0; i < table.density.size(); ++i) {
    const double at = table.first + table.step * static_cast<double>(i);
    sum += fine.density(i) *
           (over_first ? second.below(at - difference) : 1 - first.below(at + difference));
  }
  return std::clamp(sum * table.step, 0.0, 1.0);
}

double end_of(const DensityTable& table) {
  return table.first + table.step * static_cast<double>(table.density.size());
}

/// The difference that first - second stays below with `probability`.
double difference_at(const DensityShares& first, const DensityShares& second, double probability) {
  double low = first.table().first - end_of(second.table());
  double high = end_of(first.table()) - second.table().first;
  constexpr double kClose = 1e-10;
  while (high - low > kClose) {
    const double middle = 0.5 * (low + high);
    (chance_above(first, second, middle) > 1 - probability ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

/// Mean and deviation of the mixture, in equal shares, of two normals.
struct Moments {
  double mean, sd;
};

Moments even_mixture(const Moments& one, const Moments& other) {
  const double apart = 0.5 * (one.mean - other.mean);
  return {0.5 * (one.mean + other.mean),
          std::sqrt(0.5 * (one.sd * one.sd + other.sd * other.sd) + apart * apart)};
}

bool equal(const WeibullPrior& one, const WeibullPrior& other) {
  return one.scale_median == other.scale_median && one.scale_low == other.scale_low &&
         one.scale_high == other.scale_high && one.shape_median == other.shape_median &&
         one.shape_log_sd == other.shape_log_sd;
}

LongerLife verdict_of(double chance_first_longer) {
  if (chance_first_longer > kMostProof) {
    return LongerLife::first;
  }
  return chance_first_longer < kLeastProof ? LongerLife::second : LongerLife::not_proven;
}

}  // namespace

LifeComparison compare_lives(const LifeEvidence& first, const LifeEvidence& second) {
  const DensityShares a = log_median_life(first);
  const DensityShares b = log_median_life(second);
  LifeComparison out{};
  out.chance_first_longer = chance_above(a, b, 0);
  out.ratio = {std::exp(difference_at(a, b, 0.1)), std::exp(difference_at(a, b, 0.5)),
               std::exp(difference_at(a, b, 0.9))};
  out.verdict = verdict_of(out.chance_first_longer);
  return out;
}

WeibullPrior pooled_prior(const WeibullPrior& one, const WeibullPrior& other) {
  log_prior(one);  // refuses what is outside the domain
  log_prior(other);
  if (equal(one, other)) {
    return one;
  }
  const Moments scale = even_mixture({std::log(one.scale_median), one.ln_scale_sd()},
                                     {std::log(other.scale_median), other.ln_scale_sd()});
  const Moments shape = even_mixture({std::log(one.shape_median), one.shape_log_sd},
                                     {std::log(other.shape_median), other.shape_log_sd});
  return {std::exp(scale.mean), std::exp(scale.mean - kTenPercentPoint * scale.sd),
          std::exp(scale.mean + kTenPercentPoint * scale.sd), std::exp(shape.mean), shape.sd};
}

}  // namespace shearpin::stats
