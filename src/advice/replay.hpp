#pragma once
/// Would this advice have helped? The past played again: at each date only what was known then, the
/// advice of that day, and what happened until the next.

#include <functional>
#include <string>
#include <vector>

#include "shearpin/advice/answers.hpp"
#include "shearpin/domain/snapshot.hpp"

namespace shearpin::advice {

/// How one rule of carrying would have done over all parts and periods.
struct ReplayRule {
  std::string name;
  long cases = 0;           ///< a part over a period
  long shortages = 0;       ///< cases with more asked for than carried
  double days_without = 0;  ///< piece-days from each uncovered demand to the end of its period
  double cost_without = 0;  ///< those days at the cost of a day without of the part's severity
  long carried = 0;         ///< pieces, summed over cases
  long for_nothing = 0;     ///< of them not asked for in their period
  double cost_carried = 0;  ///< of holding them, where prices are known
};

/// Chances told against what came of them.
struct CalibrationBin {
  double low = 0, high = 0;  ///< chance of at least one demand in the period
  long cases = 0;
  double expected = 0;  ///< sum of the chances
  long happened = 0;
};

/// The promise by severity.
struct ReplayTarget {
  domain::Severity severity = domain::Severity::degraded;
  double target = 0;
  long cases = 0;
  double promised = 0;  ///< mean chance of no shortage told
  long kept = 0;        ///< cases without one
};

/// One period.
struct ReplayPeriod {
  Date from, to;
  int parts = 0;
  long demand = 0;                    ///< pieces asked for
  long carried = 0;                   ///< pieces advised
  std::vector<std::string> short_of;  ///< parts that ran short under the advice
};

struct ReplayAnswer {
  Date as_of;
  std::vector<ReplayPeriod> periods;
  std::vector<ReplayRule> rules;  ///< the advice first, then the naive ones
  std::vector<ReplayTarget> targets;
  std::vector<CalibrationBin> calibration;
};

/// The ledger as it was known on a day.
using SnapshotAt = std::function<domain::Snapshot(Date)>;
/// Called with periods done and all periods.
using ReplayProgress = std::function<void(std::size_t, std::size_t)>;

/// Plays periods of `every_days` (7 to 366; InputError) from the first day of `today` that leaves a
/// whole period, and counts what was asked for until the next: failures at positions, each for its
/// position's pieces, marked ends, repairs that took a part, pieces used, pieces and units lost.
/// Every part is looked at from the day one of it was first fitted, stocked or used. The advice is
/// carry for the period with nothing to be had on the way, at the usual rates of the day. Naive
/// rules on the same cases: carry none; carry one of everything; carry what was asked for in the
/// year before.
ReplayAnswer replay(const domain::Snapshot& today, const SnapshotAt& known_on, int every_days,
                    const ReplayProgress& progress = {});

}  // namespace shearpin::advice
