#pragma once
/// Weibull by a line through plotted failures: what is read off probability paper.

#include <span>

#include "shearpin/stats/weibull.hpp"

namespace shearpin::stats {

/// Which way the line is fitted: deviations of the plotted probability, or of ln age, are least.
enum class RankLine { probability_on_age, age_on_probability };

/// Least-squares line through the points (ln age, ln(-ln(1 - F))), F = (rank - 0.3) / (n + 0.4)
/// with Johnson's adjusted ranks where units alive stand between failures. Records: failed or alive
/// since age 0, any order; at one age failures come before those alive, tied failures take
/// successive ranks. An estimate for the eye: the maximum-likelihood fit uses the record better,
/// above all with many alive. InputError: fewer than two different failure ages; an entry above 0,
/// interval or repaired records; or as check_records. Source: NIST/SEMATECH e-Handbook 8.2.2.1
/// (probability on age); Johnson 1964, Abernethy, The New Weibull Handbook (age on probability;
/// from memory). Checked in tests/reference/stats/rank_regression.csv.
Weibull rank_regression(std::span<const LifeRecord> records, RankLine line);

}  // namespace shearpin::stats
