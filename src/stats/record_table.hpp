#pragma once
/// Records made ready for many evaluations: logarithms of ages relative to the oldest, equal spans
/// merged, order forgotten.

#include <span>
#include <vector>

#include "shearpin/stats/weibull.hpp"

namespace shearpin::stats {

/// `count` equal spans of age (lower, upper]; ages divided by the table's reference age.
struct AgeSpan {
  double ln_upper;
  double ln_ratio;  ///< ln(upper / lower), infinite when lower is 0
  double count;
};

/// ln of the cumulative hazard upper^shape - lower^shape over a span, with derivatives in z = ln
/// shape.
struct LogHazard {
  double value;
  double slope;
  double curvature;
};

/// The likelihood of the records depends on them only through this.
struct RecordTable {
  double ln_reference = 0;  ///< ln of the oldest age met (unless the caller chose another): powers
                            ///< of relative ages cannot overflow
  double events = 0;        ///< failures at a known age, minimal repairs among them
  double sum_ln_event = 0;  ///< sum of ln(age / reference) over them
  std::vector<AgeSpan> survived;   ///< spans lived through
  std::vector<AgeSpan> intervals;  ///< spans within which a unit failed
};

/// Records as check_records accepts them. Every sum runs over sorted values, so the order of the
/// records does not matter, to the last bit.
RecordTable make_record_table(std::span<const LifeRecord> records);
/// The same with a reference age (> 0) of the caller's.
RecordTable make_record_table(std::span<const LifeRecord> records, double reference_age);

/// upper^shape - lower^shape of one span (not times count); no cancellation for nearly equal ages.
double hazard(const AgeSpan& span, double shape);
/// ln of it, exact where the powers themselves would underflow.
double log_hazard(const AgeSpan& span, double shape);
LogHazard log_hazard_slopes(const AgeSpan& span, double shape);

}  // namespace shearpin::stats
