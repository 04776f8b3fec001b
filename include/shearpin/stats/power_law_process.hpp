#pragma once
/// Power-law process (Crow; minimal repair): a repairable system has rate * age^shape events by an
/// age, on average.

#include <optional>
#include <span>
#include <vector>

#include "shearpin/stats/event_history.hpp"

namespace shearpin::stats {

/// shape > 0: above 1 events come ever faster; rate > 0, events by age 1.
struct PowerLaw {
  double shape;
  double rate;
};

/// Events expected by `age` (>= 0), and per unit of age at `age` (> 0). Domain: InputError.
double expected_events(const PowerLaw& law, double age);
double event_intensity(const PowerLaw& law, double age);

/// Fit of one law to all systems.
struct PowerLawFit {
  PowerLaw law;  ///< maximum likelihood
  /// shape (M - 1) / sum ln(T/t), M counted events (see counted_ages), which for one system is the
  /// maximum-likelihood one times (n - 1)/n when time-terminated, (n - 2)/n when
  /// failure-terminated, and the rate that goes with it; empty with a single counted event.
  std::optional<PowerLaw> unbiased;
  long events;
  long counted;
};

/// One system: shape n / sum ln(T/t), rate n / T^shape. Several, ends T_q of their own: the root of
/// n / shape + sum ln t = n sum T_q^shape ln T_q / sum T_q^shape, rate n / sum T_q^shape; systems
/// without events count with their T_q. InputError: no counted event; all counted events at the
/// very end of their system's watch, where the shape has no bound; or as check_histories.
/// Source: MIL-HDBK-189 (1981) App. C; MIL-HDBK-189C (2011); Crow 1975 (several systems, from
/// memory). Checked in tests/reference/stats/power_law.csv.
PowerLawFit power_law_fit(std::span<const EventHistory> systems);

struct ShapeInterval {
  double lower;
  double upper;
};

/// Two-sided exact interval for the shape at confidence `level` in (0, 1): 2 shape sum ln(T/t) is
/// chi-square with 2M degrees of freedom, given the counts, for any number of systems and either
/// termination. InputError as power_law_fit. Source: as power_law_fit.
ShapeInterval power_law_shape_interval(std::span<const EventHistory> systems, double level);

struct MtbfInterval {
  double lower;
  std::optional<double> upper;  ///< empty where the normal law reaches no events at all
};

/// Approximate interval for the mean time between events at the end of one time-terminated system's
/// watch, 1 / event_intensity there: N (N - 1) M / mu^2 with M = T / (N unbiased shape). For the
/// lower limit mu is the larger root of (mu - N)^2 = z^2 mu / 2, that is N + z^2/4 + sqrt(N z^2/2 +
/// z^4/16); for the upper one mu = N - z sqrt(N/2). (Print with N z^2/4 under the root solves no
/// such equation; the handbook's own figure comes from the form here.) InputError: fewer than two
/// events; failure-terminated; or as power_law_fit. Source: NIST/SEMATECH e-Handbook 8.4.5.2 R
/// code.
MtbfInterval ending_mtbf_interval(const EventHistory& system, double level);

/// How far the ages lie from any power law.
struct CramerVonMises {
  double statistic;
  long points;  ///< M, the counted events
};

/// 1 / (12 M) + sum ((t / T)^unbiased_shape - (2i - 1) / (2M))^2 over the counted ratios t / T of
/// all systems, sorted. InputError: fewer than two counted events, or as power_law_fit.
/// Source: MIL-HDBK-189 (1981) App. C; MIL-HDBK-189C (2011).
CramerVonMises cramer_von_mises(std::span<const EventHistory> systems);

/// Value that the statistic exceeds with chance `significance` (0.20, 0.15, 0.10, 0.05 or 0.01; no
/// others are tabulated: InputError) if a power law holds; points >= 2. Between the table's rows
/// linear in 1 / points, beyond 100 points as there.
/// Source: the table of MIL-HDBK-189 and MIL-HDBK-189C, from memory; each entry confirmed by
/// simulation (tests/reference/stats/cramer_von_mises.csv).
double cramer_von_mises_critical(long points, double significance);

/// Fit to counts: `edges` ascending from 0, one more than `counts`; counts[i] events in (edges[i],
/// edges[i+1]].
struct GroupedEvents {
  std::vector<double> edges;
  std::vector<long> counts;
};

struct GroupedPowerLawFit {
  PowerLaw law;
  std::vector<double> expected;  ///< events in each group
  double chi_square;             ///< sum (count - expected)^2 / expected
  long degrees_of_freedom;       ///< groups - 2
  /// P(chi-square >= the one met); empty without degrees of freedom. Good where no group expects
  /// fewer than five.
  std::optional<double> chance;
};

/// Maximum likelihood from grouped counts. InputError: edges or counts outside their domain; no
/// events; all of them in the first group or all in the last, where the shape has no bound.
/// Source: MIL-HDBK-189 (1981) App. C, option for grouped data. Checked in
/// tests/reference/stats/power_law.csv.
GroupedPowerLawFit power_law_fit(const GroupedEvents& events);

}  // namespace shearpin::stats
