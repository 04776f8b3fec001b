#include "stats/weibull_fit.hpp"

#include <algorithm>
#include <cmath>

#include "shearpin/base/error.hpp"
#include "stats/check.hpp"
#include "stats/fit_mode.hpp"
#include "stats/weibull_likelihood.hpp"

namespace shearpin::stats {
namespace {

[[noreturn]] void refuse_boundless() {
  throw InputError(
      "no best life exists for this record: it needs failures at two different ages, or one with a "
      "unit that lived longer beside it, and some exposure before the first look");
}

/// The oldest age that a unit is known to have lived to. Relative to it the hazard lived through
/// cannot vanish in doubles, however large the shape; ages by which units failed may lie above it,
/// but enter by their logarithms.
double longest_lived(std::span<const LifeRecord> records) {
  double longest = 0;
  for (const LifeRecord& record : records) {
    longest = std::max(longest, record.kind == LifeKind::interval ? record.lower : record.exit);
  }
  return longest;
}

/// Without a known age of failure: whether lives that all end at one age would explain every
/// record, so that the likelihood only rises as the shape grows. In doubles it is flat from some
/// shape on, and a search would stop anywhere there.
bool all_at_one_age(const RecordTable& table) {
  if (table.events > 0 || table.survived.empty() || table.intervals.empty()) {
    return false;
  }
  const auto longest = std::ranges::max(table.survived, {}, &AgeSpan::ln_upper).ln_upper;
  const auto earliest = std::ranges::min(table.intervals, {}, &AgeSpan::ln_upper).ln_upper;
  return longest <= earliest;
}

}  // namespace

RecordTable fit_table(std::span<const LifeRecord> records) {
  check_records(records);
  if (failure_count(records) == 0) {
    throw InputError(
        "the record holds no failures: a fit needs one or more; without, only a lower limit of the "
        "life can be given");
  }
  const double longest = longest_lived(records);
  const RecordTable table =
      longest > 0 ? make_record_table(records, longest) : make_record_table(records);
  if (table.events <= 0 && table.survived.empty()) {
    refuse_boundless();
  }
  return table;
}

DensityMode fit_mode(const RecordTable& table) {
  if (all_at_one_age(table)) {
    refuse_boundless();
  }
  const DensityMode mode = find_mode(LogPrior{}, table, 0);
  const DensitySlopes& at = mode.slopes;
  if (!mode.found || !(at.tt * at.zz - at.tz * at.tz > 0 && at.tt < 0)) {
    refuse_boundless();
  }
  return mode;
}

WeibullFit weibull_fit(std::span<const LifeRecord> records) {
  const RecordTable table = fit_table(records);
  const DensityMode mode = fit_mode(table);
  const DensitySlopes& at = mode.slopes;
  const double determinant = at.tt * at.zz - at.tz * at.tz;
  return {{std::exp(mode.t + table.ln_reference), std::exp(mode.z)},
          at.value,
          std::sqrt(-at.zz / determinant),
          std::sqrt(-at.tt / determinant)};
}

}  // namespace shearpin::stats
