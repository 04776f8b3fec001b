#pragma once
/// How often to test what fails unseen: failure-finding interval of a hidden function.

#include <span>

#include "shearpin/stats/weibull.hpp"

namespace shearpin::stats {

/// Mean over the nodes of the share of a test interval during which the unit stands dead unseen:
/// U(t) = 1 - (1/t) integral_0^t R(u) du, R the survival of a unit that is good at `age` when the
/// interval begins. interval > 0; age >= 0. Weights are not updated for the age: its own record
/// (alive at its last passed test) belongs among the records. Accuracy: 1e-10. InputError outside
/// the domain.
double mean_unavailability(std::span<const WeibullNode> nodes, double interval, double age = 0);

/// The longest interval with mean_unavailability <= 1 - availability; it rises with the interval,
/// so there is one. Age 0 takes every unit as new after a test; a unit that wears out (shape > 1)
/// needs the shorter interval of its own age. The mean is taken over unavailabilities, never over
/// MTTF, which wide beliefs make endless. 0 < availability < 1. Closed to 1e-12 relative; nodes
/// however wide. InputError outside the domain.
/// Checked in tests/reference/stats/failure_finding.csv.
double failure_finding_interval(std::span<const WeibullNode> nodes, double availability,
                                double age = 0);
double failure_finding_interval(const Weibull& life, double availability, double age = 0);

}  // namespace shearpin::stats
