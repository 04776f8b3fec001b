#pragma once
/// Events of repairable systems, each on its own clock that starts when the watching does.

#include <span>
#include <vector>

#include "shearpin/stats/constant_rate.hpp"

namespace shearpin::stats {

/// One system. Time-terminated: watched to `end`, whatever came. Failure-terminated: watched until
/// its last event, so `end` is the last of `ages`.
struct EventHistory {
  std::vector<double> ages;  ///< of the events: ascending, ties allowed, above 0, none above `end`
  double end = 0;
  Termination termination = Termination::time;
};

/// Refuses, with InputError naming the system's number (from 1) and the value, a history for which
/// the above does not hold; failure-terminated without an event too.
void check_histories(std::span<const EventHistory> systems);

/// The ages that carry information once the end is known: all of them, but without the last of a
/// failure-terminated history. A view into `system`.
std::span<const double> counted_ages(const EventHistory& system);

}  // namespace shearpin::stats
