#pragma once
/// What ages the parts: meter readings, nights, conditions.

#include "domain/plan.hpp"

namespace shearpin::domain {

struct ReadingRequest {
  When when;
  MeterId meter;
  double value = 0;       ///< in the meter's own unit; miles are stored as kilometres
  bool replaced = false;  ///< a new meter: may start below the last reading
};

/// `meter read`. Refused below the last reading on or before that day unless replaced. A rise of
/// over three times the meter's usual rate is hinted at as a likely slip of the pen.
Plan plan_reading(const Snapshot& now, const ReadingRequest& request);

struct StayRequest {
  When when;
  int nights = 1;  ///< 1 to 366, the last one ended on the day
  std::string place;
  std::optional<MeterId> meter;  ///< none: the only meter of nights, where there is just one
};

/// `stay`. A StayLine, and the same nights on the meter of nights: its last reading + nights. Where
/// the meter has no reading yet, an entry before sets it to 0 at the start of the stay. Refused
/// when more nights are told than have passed since the last reading, and without a meter of nights
/// where several are kept. With none kept, a note says that no exposure is counted.
Plan plan_stay(const Snapshot& now, const StayRequest& request);

struct ConditionRequest {
  When when;  ///< `on` is the first day
  std::string condition;
  std::optional<RigId> rig;  ///< none: all rigs
  std::optional<Date> to;    ///< inclusive; none: still on
};

/// `condition add`. Refused where the same condition of that rig already covers one of the days. A
/// name to which no class is sensitive is recorded with a note that lists the known ones.
Plan plan_condition(const Snapshot& now, const ConditionRequest& request);

}  // namespace shearpin::domain
