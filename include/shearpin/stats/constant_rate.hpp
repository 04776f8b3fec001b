#pragma once
/// Constant failure rate: r failures in exposure T, with classical limits.

#include <optional>

namespace shearpin::stats {

/// How the watching ended: at a fixed exposure, or at the last failure.
enum class Termination { time, failure };

/// What was watched: failures >= 0; exposure > 0, summed over units (failure-terminated: failures
/// >= 1).
struct RateRecord {
  long failures;
  double exposure;
  Termination termination = Termination::time;
};

/// Failures per unit of exposure. No failures: `point` is empty, `lower` is 0 and `upper` spends
/// all of 1 - level.
struct RateInterval {
  std::optional<double> point;
  double lower;
  double upper;
};

/// Two-sided exact interval at confidence `level` in (0, 1): chi-square(2r) / 2T and chi-square(2r
/// + 2) / 2T for time-terminated, 2r degrees of freedom on both sides for failure-terminated.
/// InputError outside the domain. Source: NIST/SEMATECH e-Handbook 8.4.5.1; MIL-HDBK-338B
/// (1998) 8.3.2.5. Checked in tests/reference/stats/constant_rate.csv.
RateInterval rate_interval(const RateRecord& record, double level);

}  // namespace shearpin::stats
