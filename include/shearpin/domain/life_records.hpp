#pragma once
/// From the history of a ledger to what the statistics take: one record for each unit ever fitted,
/// the present state of every place, and the tests that are due. Ages are effective ages in the
/// basis of the unit's class (exposure.hpp).

#include <map>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "shearpin/domain/exposure.hpp"

namespace shearpin::domain {

/// What is known of one unit's life. 0 <= entry <= lower <= exit.
///
/// | the history says                                   | record                                  |
/// |----------------------------------------------------|-----------------------------------------|
/// | failed on a known day                              | failed at `exit`                        |
/// | found failed on a test                             | interval (lower, exit]: last known good |
/// |                                                    | (else last passed test, else the fit),  |
/// |                                                    | day of the test                         |
/// | found failed, both ages equal                      | failed at `exit`                        |
/// | fitted, renewed, expired, lost                     | alive at `exit`                         |
/// | fitted, hidden class                               | alive at the last passed test or repair |
/// |                                                    | since the fit, else at the fit          |
/// | fitted as used, age known; worn unit fitted again  | `entry` is that age, else 0             |
/// | fitted as used, age unknown                        | `entry` is half the class's median life |
/// | repaired in place                                    | one record `repaired` for each repair,
/// | |                                                    | besides the record of the life | |
/// failed, attributed to a fault closed by the as-of  | alive at `exit` (found on a test: at    |
/// | day                                                | the last known good)                    |
/// | a stand-in                                         | none                                    |
///
/// A failure or repair counts at least half a day or half a unit of exposure after the fit.
struct AgeRecord {
  enum class Kind { failed, alive, interval, repaired };
  Kind kind = Kind::alive;
  double entry = 0;               ///< age from which the unit was watched (left truncation)
  double lower = 0;               ///< interval: age last known good; else as `exit`
  double exit = 0;                ///< repaired: the age at the repair, and `entry` equals it
  double plain = 0;               ///< as run, without factors, over what `entry` to `exit` stands
                                  ///< for; interval: to the middle; repaired: 0
  bool assumed_exposure = false;  ///< class's usual rate, or partly outside meter readings
  bool class_rate = false;        ///< class's usual rate
  bool assumed_age = false;       ///< `entry` stands for an unknown age
  bool took_part = false;         ///< repaired: a part was used up by the repair
  UnitId unit;
  PositionId position;
  int place = 1;                 ///< 1..n at the position
  Date from, to;                 ///< days of the fit and of `exit`
  std::optional<FaultId> fault;  ///< upstream cause a failure is attributed to
  std::string note;              ///< in words why the record is not what one might expect, or empty
};

/// What stands at one unit place now.
struct FittedNow {
  PositionId position;
  int unit = 1;
  std::optional<UnitId> life;
  std::optional<PartId> part;  ///< of the fitted unit; of an open place the part called for
  double age = 0;        ///< effective; hidden class: at its last passed test, else at its fit
  double untested = 0;   ///< hidden class: effective exposure since then; else 0
  bool assumed = false;  ///< class's usual rate or an assumed age counts in it
  PlaceState state = PlaceState::fitted;
  std::optional<Date> marked_end;
};

/// A functional test that a hidden class asks for.
struct TestDue {
  PositionId position;
  std::optional<int> unit;  ///< none: all units alike
  Date last_good;           ///< last passed test since the fit, else the fit
  bool tested = false;      ///< last_good is a test
  Date due;
  double interval_days = 0;
};

/// Reads lives from a snapshot. Built once; const and safe to use from several threads.
class LifeReader {
 public:
  /// Keeps references: both must outlive it.
  LifeReader(const Snapshot& snapshot, const ExposureReader& exposure);

  /// All lives of a part number over all positions, in order of position, place and day of the fit.
  std::vector<AgeRecord> of_part(PartId part) const;
  /// The same, aged as units of `as_if` would: its basis, rates and condition factors. `as_if` is a
  /// class of the caller's making whose id is none of the catalogue's.
  std::vector<AgeRecord> of_part(PartId part, const ComponentClass& as_if) const;
  /// Lives with no part number at positions of the class; no stand-ins.
  std::vector<AgeRecord> of_class_without_part(ClassId kind) const;

  /// Every place of a position, 1..units in order (retired positions too).
  std::vector<FittedNow> now(PositionId position) const;

  /// Effective age of a unit on a day not before its fit (later than its end: at its end); none
  /// where its age at the fit is not known.
  std::optional<double> age(const UnitLife& life, Date on) const;

 private:
  struct Watched;
  Watched watch(const UnitLife& life, const ComponentClass* as_if = nullptr) const;
  void add_records(const Watched& unit, std::vector<AgeRecord>& records) const;
  void add_repairs(const Watched& unit, std::vector<AgeRecord>& records) const;
  AgeRecord ended(const Watched& unit) const;
  AgeRecord found_failed(const Watched& unit) const;
  AgeRecord attributed(const Watched& unit, AgeRecord failure) const;
  Date good_before(const Watched& unit, Date found) const;
  AgeRecord still_fitted(const Watched& unit) const;
  FittedNow now_of(const UnitLife& life) const;

  const Snapshot* snapshot_;
  const ExposureReader* exposure_;
  std::map<PositionId, std::vector<const TestResult*>> tests_;
  std::map<PartId, std::vector<const UnitLife*>> by_part_;
  std::map<ClassId, std::vector<const UnitLife*>> without_part_;
  std::map<PositionId, std::vector<const UnitLife*>> fitted_;
  std::map<PositionId, std::vector<const OpenPlace*>> open_;
  std::map<LotId, const StockLine*> worn_lots_;
};

/// The same for one call; use a LifeReader for many.
std::vector<AgeRecord> life_records(const Snapshot& snapshot, const ExposureReader& exposure,
                                    PartId part);
std::vector<AgeRecord> life_records_of_class_without_part(const Snapshot& snapshot,
                                                          const ExposureReader& exposure,
                                                          ClassId kind);
/// Every place of every position that is not retired, in order of position and place.
std::vector<FittedNow> fitted_now(const Snapshot& snapshot, const ExposureReader& exposure);

/// Tests of fitted units whose class names an interval, by due day, position, place; past ones too.
/// One line for a position whose units were all last known good on the same day, else one a unit.
/// Open places, stand-ins and retired positions have none.
std::vector<TestDue> tests_due(const Snapshot& snapshot);

std::string_view to_text(AgeRecord::Kind);  ///< failed, alive, interval, repaired

}  // namespace shearpin::domain
