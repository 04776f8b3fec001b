#pragma once
/// What has happened, as far as advice needs it: lives of units, tests, readings, stock, orders.
/// Only live entries appear here: a reversed entry and its reversal are both left out.

#include <optional>
#include <string>
#include <vector>

#include "shearpin/base/date.hpp"
#include "shearpin/base/id.hpp"
#include "shearpin/base/money.hpp"
#include "shearpin/domain/vocabulary.hpp"

namespace shearpin::domain {

/// How a fitted unit's life ended.
struct LifeEnd {
  Date date;
  EndKind kind = EndKind::failed;
  std::optional<Date> last_good;  ///< failed_on_test: last date known good
  std::optional<Date> test_date;  ///< failed_on_test: when the failure was found (<= date)
  std::optional<FaultId> fault;   ///< the upstream cause it is attributed to
  std::string cause;
  EntryId entry;
};

/// One unit ever fitted at a position, from its fit to its end or still there.
struct UnitLife {
  UnitId id;
  PositionId position;
  int unit = 1;                ///< 1..n at the position
  std::optional<PartId> part;  ///< none: no part number
  std::string no_part;         ///< its description where it has no part number
  bool stand_in = false;       ///< a stop-gap of no part number
  std::optional<LotId> lot;
  Date fitted;
  std::optional<double> age_at_fit;  ///< known effective age when fitted; 0 = new
  bool age_unknown = false;          ///< used, age not known
  std::optional<Date> marked_end;    ///< dated goods
  std::optional<LifeEnd> end;
  std::vector<Date> repairs;           ///< repaired in place, same unit
  std::vector<bool> repair_took_part;  ///< beside `repairs`: whether a part was used up
  EntryId entry;                       ///< the entry that fitted it
};

/// A position's unit place that holds nothing sound.
struct OpenPlace {
  PositionId position;
  int unit = 1;
  PlaceState state = PlaceState::empty;  ///< empty, dead, workaround or stand_in
  Date since;
  std::string note;  ///< the stand-in or workaround as declared
};

/// A functional check of what fails unseen.
struct TestResult {
  PositionId position;
  std::optional<int> unit;  ///< none: all units of the position
  Date date;
  bool passed = true;
  std::string reading;
  EntryId entry;
};

struct MeterReading {
  MeterId meter;
  Date date;
  double value = 0;       ///< km, h, cycles or nights
  bool replaced = false;  ///< first reading of a meter fitted new
  EntryId entry;
};

/// A dated stretch of dust, frost, salt ... on a rig.
struct ConditionPeriod {
  std::string condition;
  std::optional<RigId> rig;  ///< none: all rigs
  Date from;
  std::optional<Date> to;  ///< inclusive; none: still on
  EntryId entry;
};

/// Pieces of one lot in one bin on the as-of day.
struct StockLine {
  LotId lot;
  PartId part;
  BinId bin;
  std::int64_t quantity = 0;
  std::string batch;
  std::optional<Date> made;
  std::optional<Date> ends;
  LotState state = LotState::fresh;
  std::optional<double> age;  ///< effective age when taken off, worn pieces
  std::optional<Money> cost;  ///< per piece
  Date received;
  bool quarantined = false;
};

/// Pieces used up, not fitted.
struct Usage {
  PartId part;
  std::optional<PositionId> position;
  Date date;
  std::int64_t quantity = 1;
  EntryId entry;
};

/// Pieces left behind or stolen, from a bin or with a fitted unit.
struct Loss {
  std::optional<PartId> part;
  std::optional<PositionId> position;
  Date date;
  std::int64_t quantity = 1;
  EntryId entry;
};

struct Order {
  OrderId id;
  std::string number;  ///< what the person types: o48
  PartId part;
  SupplierId supplier;
  std::int64_t quantity = 0;
  std::int64_t received = 0;  ///< pieces received by the as-of day
  Date ordered;
  std::optional<Date> completed;  ///< day the last piece came
  std::optional<Date> promised;
  std::optional<Money> cost;  ///< for the line
  std::string to;             ///< bin or stop it goes to
  bool cancelled = false;
  EntryId entry;
};

/// An upstream cause and its repair.
struct Fault {
  FaultId id;
  std::string key;
  PositionId position;
  Date opened;
  std::optional<Date> closed;
};

}  // namespace shearpin::domain
