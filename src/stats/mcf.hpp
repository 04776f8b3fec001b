#pragma once
/// Mean cumulative function: how many events a system has had by an age, on average over systems.

#include <optional>
#include <span>
#include <vector>

namespace shearpin::stats {

/// One repairable system, watched over (start, end], and the ages of its events (any order, ties
/// allowed: two events of one day are two).
struct SystemWatch {
  double start = 0;
  double end = 0;
  std::vector<double> ages;
};

/// The estimate from one event age on.
struct McfStep {
  double age;
  long at_risk;  ///< systems with start < age <= end
  long events;   ///< at this very age, all systems together
  double mean;   ///< events a system by this age
  /// Nelson's unbiased variance of `mean`; empty from the first age on at which a covariance would
  /// have to come from a single system. It can be negative with few systems.
  std::optional<double> nelson_variance;
  double robust_variance;   ///< Lawless and Nadeau's, divisor at_risk; never negative
  double poisson_variance;  ///< sum of events / at_risk^2: right only for Poisson counts
};

/// Sum over event ages of events / at_risk, with three variances. With r_k systems at risk at age
/// k, n_i(k) events of system i there and dM(k) = sum n_i(k) / r_k:
///   robust   sum over systems of [sum over ages k at which i is at risk of (n_i(k) - dM(k)) /
///            r_k]^2
///   Nelson   sum over pairs of ages (j, k) of cov(j, k) |both| / (r_j r_k), cov the sample
///            covariance (divisor |both| - 1) of n_i(j) and n_i(k) over the systems at risk at both
///            ages. When all are watched from the same age these are the systems at risk at the
///            later one, as Nelson has it; for systems that enter late the formula is its plain
///            extension.
/// Systems without events count as watched. No events: no steps. InputError unless 0 <= start <
/// end, and each event lies in (start, end]. Cost: ages^2 x systems.
/// Source: Nelson 1995, Technometrics 37, 147-157; Lawless and Nadeau 1995, Technometrics 37,
/// 158-168 (pages from memory). Checked in tests/reference/stats/mcf.csv.
std::vector<McfStep> mean_cumulative_function(std::span<const SystemWatch> systems);

}  // namespace shearpin::stats
