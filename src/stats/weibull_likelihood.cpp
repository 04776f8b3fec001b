#include "stats/weibull_likelihood.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "shearpin/base/error.hpp"
#include "stats/check.hpp"
#include "stats/cloglog.hpp"

namespace shearpin::stats {
namespace {

/// ln of H(upper) - H(lower); -infinity when the ages are equal.
double log_hazard_between(const Weibull& life, double lower, double upper) {
  const double log_upper = life.shape * std::log(upper / life.scale);
  if (lower <= 0) {
    return log_upper;
  }
  return log_upper + std::log(-std::expm1(-life.shape * std::log1p((upper - lower) / lower)));
}

double hazard_between(const Weibull& life, double lower, double upper) {
  return upper > lower ? std::exp(log_hazard_between(life, lower, upper)) : 0;
}

double log_hazard_rate(const Weibull& life, double age) {
  return std::log(life.shape / life.scale) + (life.shape - 1) * std::log(age / life.scale);
}

double log_likelihood_of(const Weibull& life, const LifeRecord& record) {
  switch (record.kind) {
    case LifeKind::failed:
      return log_hazard_rate(life, record.exit) - hazard_between(life, record.entry, record.exit);
    case LifeKind::alive:
      return -hazard_between(life, record.entry, record.exit);
    case LifeKind::interval:
      return interval_log(log_hazard_between(life, record.lower, record.exit)) -
             hazard_between(life, record.entry, record.lower);
    case LifeKind::repaired:
      return log_hazard_rate(life, record.exit);
  }
  return 0;
}

bool is_sound(const LifeRecord& record) {
  const bool ages = std::isfinite(record.exit) && std::isfinite(record.entry) &&
                    record.entry >= 0 && record.entry <= record.exit;
  switch (record.kind) {
    case LifeKind::failed:
      return ages && record.exit > record.entry;
    case LifeKind::alive:
      return ages;
    case LifeKind::interval:
      return ages && record.entry <= record.lower && record.lower < record.exit;
    case LifeKind::repaired:
      return ages && record.exit > 0;
  }
  return false;
}

}  // namespace

void check_records(std::span<const LifeRecord> records) {
  for (std::size_t i = 0; i < records.size(); ++i) {
    if (!is_sound(records[i])) {
      throw InputError(fmt::format(
          "life record {} runs from age {} to {}: ages must be numbers of 0 or more, the exit not "
          "below the entry, and a failure above it, e.g. entry 0, exit 120",
          i + 1, records[i].entry, records[i].exit));
    }
  }
}

double log_likelihood(const Weibull& life, std::span<const LifeRecord> records) {
  require_positive("scale", life.scale);
  require_positive("shape", life.shape);
  check_records(records);
  double sum = 0;
  for (const LifeRecord& record : records) {
    sum += log_likelihood_of(life, record);
  }
  return sum;
}

int failure_count(std::span<const LifeRecord> records) {
  return static_cast<int>(std::ranges::count_if(
      records, [](const LifeRecord& record) { return record.kind != LifeKind::alive; }));
}

double exposure_sum(std::span<const LifeRecord> records) {
  double sum = 0;
  for (const LifeRecord& record : records) {
    if (record.kind == LifeKind::interval) {
      sum += 0.5 * (record.lower + record.exit) - record.entry;
    } else if (record.kind != LifeKind::repaired) {
      sum += record.exit - record.entry;
    }
  }
  return sum;
}

}  // namespace shearpin::stats
