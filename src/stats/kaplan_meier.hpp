#pragma once
/// Survival without a law of life: the product-limit estimate.

#include <optional>
#include <span>
#include <vector>

#include "shearpin/stats/weibull.hpp"

namespace shearpin::stats {

/// The estimate from one failure age on (it holds until the next one).
struct KaplanMeierStep {
  double age;
  long at_risk;     ///< lives with entry < age <= exit
  long failures;    ///< at this very age
  double survival;  ///< P(life > age)
  /// Greenwood's, of `survival`; empty once the estimate is 0, where the formula divides by 0.
  std::optional<double> standard_error;
};

/// Product over failure ages of (1 - failures / at_risk), with Greenwood's variance S^2 sum d / (n
/// (n - d)). Records: failed or alive, in any order, ties allowed; one that is alive at its entry
/// counts nowhere. At one age failures come before censorings, so a unit censored at a failure age
/// is still at risk there, and one that enters at it is not yet. Left truncation (entry > 0) only
/// shrinks the risk set: where few units are watched young, a lone early failure takes the estimate
/// to 0 for good, and the result is survival given survival to the first age watched.
/// No failures: no steps, the estimate is 1. InputError for interval or repaired records, which
/// have no failure age of their own, and as check_records.
/// Source: Kaplan and Meier 1958; Greenwood 1926; left truncation: Klein and Moeschberger 2003,
/// sec. 4.6 (from memory). Checked in tests/reference/stats/kaplan_meier.csv.
std::vector<KaplanMeierStep> kaplan_meier(std::span<const LifeRecord> records);

/// The scale on which an interval is symmetric: survival itself, its logarithm, or ln(-ln S), which
/// alone stays inside 0 to 1 by itself.
enum class SurvivalScale { plain, log, log_log };

struct SurvivalInterval {
  double lower;
  double upper;
};

/// Two-sided normal interval for the survival of one step at confidence `level` in (0, 1), cut to
/// [0, 1]. Empty where the standard error is. Source: Kalbfleisch and Prentice 2002, sec. 1.4 (from
/// memory); R survival's conf.type "plain", "log", "log-log".
std::optional<SurvivalInterval> survival_interval(const KaplanMeierStep& step, double level,
                                                  SurvivalScale scale = SurvivalScale::log_log);

}  // namespace shearpin::stats
