#include "stats/record_table.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace shearpin::stats {
namespace {

AgeSpan make_span(double lower, double upper, double ln_reference) {
  const double ln_ratio =
      lower > 0 ? std::log1p((upper - lower) / lower) : std::numeric_limits<double>::infinity();
  return {std::log(upper) - ln_reference, ln_ratio, 1};
}

void merge_equal(std::vector<AgeSpan>& spans) {
  std::ranges::sort(spans, [](const AgeSpan& a, const AgeSpan& b) {
    return a.ln_upper != b.ln_upper ? a.ln_upper < b.ln_upper : a.ln_ratio < b.ln_ratio;
  });
  std::size_t kept = 0;
  for (const AgeSpan& span : spans) {
    if (kept > 0 && spans[kept - 1].ln_upper == span.ln_upper &&
        spans[kept - 1].ln_ratio == span.ln_ratio) {
      spans[kept - 1].count += span.count;
    } else {
      spans[kept++] = span;
    }
  }
  spans.resize(kept);
}

double oldest_age(std::span<const LifeRecord> records) {
  double oldest = 0;
  for (const LifeRecord& record : records) {
    oldest = std::max(oldest, record.exit);
  }
  return oldest > 0 ? oldest : 1;
}

}  // namespace

RecordTable make_record_table(std::span<const LifeRecord> records) {
  return make_record_table(records, oldest_age(records));
}

RecordTable make_record_table(std::span<const LifeRecord> records, double reference_age) {
  RecordTable table;
  table.ln_reference = std::log(reference_age);
  table.survived.reserve(records.size());
  std::vector<double> ln_events;
  for (const LifeRecord& record : records) {
    const double survived_to = record.kind == LifeKind::interval   ? record.lower
                               : record.kind == LifeKind::repaired ? record.entry
                                                                   : record.exit;
    if (survived_to > record.entry) {
      table.survived.push_back(make_span(record.entry, survived_to, table.ln_reference));
    }
    if (record.kind == LifeKind::interval) {
      table.intervals.push_back(make_span(record.lower, record.exit, table.ln_reference));
    } else if (record.kind != LifeKind::alive) {
      ln_events.push_back(std::log(record.exit) - table.ln_reference);
    }
  }
  merge_equal(table.survived);
  merge_equal(table.intervals);
  std::ranges::sort(ln_events);
  table.events = static_cast<double>(ln_events.size());
  for (const double ln_event : ln_events) {
    table.sum_ln_event += ln_event;
  }
  return table;
}

double hazard(const AgeSpan& span, double shape) {
  const double power = std::exp(shape * span.ln_upper);
  return std::isinf(span.ln_ratio) ? power : -power * std::expm1(-shape * span.ln_ratio);
}

double log_hazard(const AgeSpan& span, double shape) {
  const double power = shape * span.ln_upper;
  return std::isinf(span.ln_ratio) ? power : power + std::log(-std::expm1(-shape * span.ln_ratio));
}

LogHazard log_hazard_slopes(const AgeSpan& span, double shape) {
  const double power = shape * span.ln_upper;
  if (std::isinf(span.ln_ratio)) {
    return {power, power, power};
  }
  // d/dz ln(u^b - l^b) = b ln u + w / (e^w - 1) with w = b ln(u / l): no difference of near equals.
  const double w = shape * span.ln_ratio;
  const double pull = w > 700 ? 0 : w / std::expm1(w);
  return {power + std::log(-std::expm1(-w)), power + pull, power + pull * (1 - w - pull)};
}

}  // namespace shearpin::stats
