#include <algorithm>
#include <boost/math/special_functions/gamma.hpp>
#include <cmath>
#include <vector>

#include "shearpin/stats/weibull_posterior.hpp"
#include "stats/record_table.hpp"
#include "stats/weibull_likelihood.hpp"

namespace shearpin::stats {
namespace {

/// The ages watched, whatever ended the watching. Repairs lie inside their life's own record.
std::vector<LifeRecord> watched_ages(std::span<const LifeRecord> records) {
  std::vector<LifeRecord> watched;
  for (const LifeRecord& record : records) {
    if (record.kind == LifeKind::interval) {
      watched.push_back({LifeKind::alive, record.entry, 0, 0.5 * (record.lower + record.exit)});
    } else if (record.kind != LifeKind::repaired) {
      watched.push_back({LifeKind::alive, record.entry, 0, record.exit});
    }
  }
  return watched;
}

}  // namespace

double prior_predictive_p(const WeibullPrior& prior, std::span<const LifeRecord> records) {
  check_records(records);
  const double failures = failure_count(records);
  // A p-value is read to two digits at most; many failures make the tail steep in ln scale, so
  // nodes stand closer.
  const WeibullPosterior belief =
      weibull_posterior(prior, {}, {.tolerance = 1e-4, .lives = std::min(failures + 1, 60.0)});
  const RecordTable table = make_record_table(watched_ages(records));
  if (table.survived.empty()) {
    return 1;
  }
  double few = 0;
  double many = 0;
  for (const ShapeRow& row : belief.rows) {
    double unit_hazard = 0;
    for (const AgeSpan& span : table.survived) {
      unit_hazard += span.count * hazard(span, row.shape);
    }
    for (std::size_t node = row.first; node < row.first + row.count; ++node) {
      const double relative = std::log(belief.nodes[node].scale) - table.ln_reference;
      const double mean = std::min(1e9, unit_hazard * std::exp(-row.shape * relative));
      few += belief.nodes[node].weight * boost::math::gamma_q(failures + 1, mean);
      many += belief.nodes[node].weight * (failures > 0 ? boost::math::gamma_p(failures, mean) : 1);
    }
  }
  return std::min(1.0, 2 * std::min(few, many));
}

}  // namespace shearpin::stats
