#pragma once
/// After a trip: what broke, what was short and for how long, what was carried for nothing, and
/// what would now be advised for the same trip.

#include <string>
#include <vector>

#include "shearpin/advice/answers.hpp"
#include "shearpin/domain/snapshot.hpp"

namespace shearpin::advice {

/// One failure, loss or marked end on the way.
struct DebriefEvent {
  Date date;
  std::string position, name, part;
  std::string what;  ///< failed, found failed, lost, ran out
  std::string cause;
  int days_open = 0;        ///< days its place stood without a sound unit, within the trip
  bool still_open = false;  ///< at the end of the trip
};

/// One part that was advised, carried or asked for.
struct DebriefLine {
  std::string part, name;
  domain::Severity severity = domain::Severity::degraded;
  std::int64_t aboard = 0;       ///< at the departure, sound and in date to the end
  std::int64_t advised = 0;      ///< by what was known then
  std::int64_t asked = 0;        ///< pieces asked for on the way
  std::int64_t short_of = 0;     ///< asked for beyond what was aboard
  std::int64_t for_nothing = 0;  ///< aboard and not asked for
  double chance_told = 1;        ///< of no shortage with what was aboard
  int days_without = 0;          ///< unit-days its places stood open
  std::int64_t advised_now = 0;  ///< for the same trip by what is known now
};

struct DebriefAnswer {
  Date as_of;
  std::string trip, name;
  Date from, to;                     ///< the trip's days that are over
  bool under_way = false;            ///< it is not over yet
  std::vector<DebriefEvent> events;  ///< by date
  std::vector<DebriefLine> lines;    ///< short ones first, then asked for, then by key
  double readiness_told = 1;         ///< chance of no shortage at all, as told at the departure
  std::vector<std::string> counts;   ///< stocktake differences since the departure, in words
};

/// `then`: the ledger of the day before the departure, as far as it was known then; `today`: now,
/// on or after the departure. `again`: the same plan moved to begin after today.
DebriefAnswer advise_debrief(const domain::Snapshot& today, const domain::Snapshot& then,
                             const domain::Trip& trip, const domain::Trip& again);

}  // namespace shearpin::advice
