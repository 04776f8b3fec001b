#pragma once
/// Is a system getting worse, better, or neither? Tests of a constant rate against a trend.

#include <span>

#include "stats/event_history.hpp"

namespace shearpin::stats {

/// Chances, if there were no trend, of a statistic as far out as the one met. Each side includes
/// the value met; two-sided is twice the smaller, at most 1.
struct TrendChances {
  double worsening;  ///< as far or farther towards events coming ever faster
  double improving;  ///< as far or farther towards events coming ever slower
  double two_sided;
};

/// Laplace: `u` above 0 where events come late, that is, ever faster.
struct LaplaceTest {
  double u;
  TrendChances chances;
};

/// U = sum(t - T/2) / sqrt(sum T^2 / 12) over the counted events of all systems (see counted_ages),
/// T the end of each one's own history; standard normal without a trend: exact to about 0.01 from
/// four events on. InputError: no counted event, or as check_histories.
/// Source: MIL-HDBK-189C (2011); NIST/SEMATECH e-Handbook 8.2.3.4, whose sign is the other way
/// round (from memory). Checked in tests/reference/stats/trend.csv.
LaplaceTest laplace_test(std::span<const EventHistory> systems);

/// Military handbook: large where events come early, that is, where things improve.
struct MilitaryHandbookTest {
  double chi_square;
  long degrees_of_freedom;
  TrendChances chances;
};

/// 2 sum ln(T/t) over the counted events of all systems: exactly chi-square with two degrees of
/// freedom a counted event without a trend. InputError as laplace_test.
/// Source: MIL-HDBK-189 (1981), MIL-HDBK-189C (2011); NIST/SEMATECH e-Handbook 8.2.3.4. Checked in
/// tests/reference/stats/trend.csv.
MilitaryHandbookTest military_handbook_test(std::span<const EventHistory> systems);

}  // namespace shearpin::stats
