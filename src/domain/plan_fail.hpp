#pragma once
/// A failure, what was done about it, and tests that find one.

#include "domain/plan.hpp"

namespace shearpin::domain {

/// What was done about a failure.
enum class Remedy {
  spare,       ///< a fitting piece is fitted; with none the unit stays dead
  repaired,    ///< repaired in place, the same unit lives on
  workaround,  ///< does without, something gets the person by
  left_dead,
  stand_in  ///< something of no part number was put in
};

struct FailRequest {
  When when;
  PositionId position;
  std::vector<int> units;  ///< none: the longest fitted ones, `count` of them
  int count = 1;           ///< units that failed at once; ignored where `units` are named
  Remedy remedy = Remedy::spare;
  Pick pick;                       ///< for spare; for repaired the piece that the repair used up
  std::int64_t repair_pieces = 1;  ///< pieces that the repair used up, where pick names a part
  std::string remedy_text;         ///< what stands in (needed), or what gets the person by
  std::string cause;
  std::optional<FaultId> fault;  ///< upstream cause; open on that day
  bool found_on_test = false;    ///< the failure lies between `last_good` and the day
  std::optional<Date> last_good;
};

/// `fail`. Rules:
/// - Without units: the longest fitted (smallest number among equals).
/// - Remedy::spare with an empty pick takes sound fitting pieces from aboard: the part called for
///   first, then approved substitutes, temporary ones last; within a part first to expire, then
///   oldest lot, worn ones after new. Never ashore, expired on that day, quarantined, forbidden, or
///   a fuse of larger rating. Units for which no complete set of pieces is aboard are left dead,
///   and `elsewhere` says where other pieces lie. A pick that cannot be met is refused.
/// - A bin named in the pick is taken at its word: ashore or doubtful pieces are used, sound ones
///   first, with a note. A part named without a bin must be sound and aboard.
/// - found_on_test: failed_on_test with `last_good`, else the last passed test or repair, else the
///   day of the fit; test_date is the day.
/// - A place that holds nothing sound: refused, with what is open there, unless the remedy changes
///   the state (workaround, stand-in, left dead), and then no new failure is recorded; or the unit
///   was ended by a failed test and not replaced: then the failure is already in the ledger and
///   this only fits the new unit (an entry of kind fit).
/// - A stand-in that fails ends as failed, a life under no part.
/// - repaired: a RepairLine; a piece used up is consumed: as took_part where it fits the position,
///   else as a usage of its own (a plug in a tyre).
/// - hints: a failure of the same position on the same or the day before is a likely double entry.
Plan plan_fail(const Snapshot& now, const FailRequest& request);

struct TestRequest {
  When when;
  PositionId position;
  /// None: all units. A failed test must name one where several are fitted.
  std::optional<int> unit;
  bool passed = true;
  std::string reading;
  std::string cause;
};

/// `test`. A pass is a TestLine. A failed test records the TestLine and ends the unit at once, left
/// dead: for a hidden class as failed_on_test, last known good at the last passed test or
/// repair, else at the fit; for any other class as failed that day, since its failure would have
/// shown. The later `fit` or `fail` then only fits the new unit, so that the life ends at the test.
Plan plan_test(const Snapshot& now, const TestRequest& request);

}  // namespace shearpin::domain
