// What ages are counted from (readings, conditions), tests, faults and policy.

#include <algorithm>

#include "ledger/snapshot_parts.hpp"
#include "ledger/sql_live.hpp"

namespace shearpin::ledger {
namespace {

constexpr const char* kTests =
    "SELECT x.position, x.unit, e.happened, x.passed, x.reading, x.entry"
    " FROM test AS x CROSS JOIN entry AS e ON e.id = x.entry"
    " WHERE x.position BETWEEN ?3 AND ?4 AND " SHEARPIN_SQL_LIVE " ORDER BY x.position, x.id";
// Of a unit (?4), or of all units of the position at once where that is NULL.
constexpr const char* kLastPassed =
    "SELECT x.position, x.unit, x.happened, x.passed, x.reading, x.entry"
    " FROM test AS x CROSS JOIN entry AS e ON e.id = x.entry"
    " WHERE x.position = ?3 AND x.unit IS ?4 AND x.happened <= ?1 AND x.passed = 1"
    " AND " SHEARPIN_SQL_LIVE " ORDER BY x.happened DESC, x.id DESC LIMIT 1";
constexpr const char* kTestsOfEntry =
    "SELECT x.position, x.unit, x.happened, x.passed, x.reading, x.entry"
    " FROM test AS x CROSS JOIN entry AS e ON e.id = x.entry"
    " WHERE x.entry = ?3 AND x.passed = 0 AND " SHEARPIN_SQL_LIVE " ORDER BY x.id";
constexpr const char* kLastReading =
    "SELECT x.meter, x.happened, x.value, x.replaced, x.entry"
    " FROM reading AS x CROSS JOIN entry AS e ON e.id = x.entry"
    " WHERE x.meter = ?3 AND x.happened <= ?1 AND " SHEARPIN_SQL_LIVE
    " ORDER BY x.happened DESC, x.id DESC LIMIT 1";
constexpr const char* kReadings =
    "SELECT x.meter, x.happened, x.value, x.replaced, x.entry"
    " FROM reading AS x CROSS JOIN entry AS e ON e.id = x.entry"
    " WHERE x.meter BETWEEN ?3 AND ?4 AND " SHEARPIN_SQL_LIVE " ORDER BY x.meter, x.happened, x.id";
constexpr const char* kConditions =
    "SELECT x.condition, x.rig, x.from_day, x.to_day, x.entry"
    " FROM condition AS x CROSS JOIN entry AS e ON e.id = x.entry"
    " WHERE " SHEARPIN_SQL_LIVE " ORDER BY x.id";
constexpr const char* kFaults =
    "SELECT f.id, f.key, f.position, e.happened"
    " FROM fault AS f CROSS JOIN entry AS e ON e.id = f.entry"
    " WHERE f.position BETWEEN ?3 AND ?4 AND " SHEARPIN_SQL_LIVE " ORDER BY f.id";
constexpr const char* kCloses =
    "SELECT x.fault, e.happened"
    " FROM fault AS f CROSS JOIN fault_close AS x ON x.fault = f.id"
    " CROSS JOIN entry AS e ON e.id = x.entry"
    " WHERE f.position BETWEEN ?3 AND ?4 AND " SHEARPIN_SQL_LIVE " ORDER BY x.id";
constexpr const char* kPolicy =
    "SELECT p.key, p.value FROM policy AS p CROSS JOIN entry AS e ON e.id = p.entry"
    " WHERE (SELECT count(*) FROM entry AS r WHERE r.root = e.id) % 2 = 0"
    " ORDER BY p.id";
constexpr const char* kFirstDay =
    "SELECT e.happened FROM entry AS e WHERE e.root IS NULL AND " SHEARPIN_SQL_LIVE
    " ORDER BY e.happened LIMIT 1";

void add_test(Query& row, domain::Snapshot& into) {
  domain::TestResult& test = into.tests.emplace_back();
  test.position = row.id<PositionTag>();
  test.unit = row.maybe([](Query& query) { return query.small(); });
  test.date = row.date();
  test.passed = row.flag();
  test.reading = row.text();
  test.entry = row.id<EntryTag>();
}

void sort_tests(std::vector<domain::TestResult>& tests) {
  std::stable_sort(tests.begin(), tests.end(),
                   [](const domain::TestResult& a, const domain::TestResult& b) {
                     return a.date < b.date || (a.date == b.date && a.entry < b.entry);
                   });
}

void add_reading(Query& row, domain::Snapshot& into) {
  domain::MeterReading& reading = into.readings.emplace_back();
  reading.meter = row.id<MeterTag>();
  reading.date = row.date();
  reading.value = row.real();
  reading.replaced = row.flag();
  reading.entry = row.id<EntryTag>();
}

}  // namespace

void read_tests(const Database& database, const View& view, Ranges positions,
                domain::Snapshot& into) {
  for (const Range& range : positions) {
    Query row = database.query(kTests);
    row.with(view.as_of, view.known, range.low, range.high);
    while (row.next()) add_test(row, into);
  }
  sort_tests(into.tests);
}

void read_latest_tests(const Database& database, const View& view,
                       std::span<const PlaceUnits> positions, domain::Snapshot& into) {
  const auto add = [&](PositionId position, std::optional<int> unit) {
    Query row = database.query(kLastPassed);
    row.with(view.as_of, view.known, position, unit);
    if (row.next()) add_test(row, into);
  };
  for (const PlaceUnits& position : positions) {
    add(position.id, std::nullopt);
    for (int unit = 1; unit <= position.units; ++unit) add(position.id, unit);
  }
  for (const domain::UnitLife& life : into.lives) {
    if (!life.end) continue;
    Query row = database.query(kTestsOfEntry);
    row.with(view.as_of, view.known, life.end->entry);
    while (row.next()) add_test(row, into);
  }
  sort_tests(into.tests);
}

void read_readings(const Database& database, const View& view, Ranges meters,
                   domain::Snapshot& into) {
  for (const Range& range : meters) {
    Query row = database.query(kReadings);
    row.with(view.as_of, view.known, range.low, range.high);
    while (row.next()) add_reading(row, into);
  }
}

void read_latest_readings(const Database& database, const View& view,
                          const std::vector<domain::Meter>& meters, domain::Snapshot& into) {
  for (const domain::Meter& meter : meters) {
    Query row = database.query(kLastReading);
    row.with(view.as_of, view.known, meter.id);
    if (row.next()) add_reading(row, into);
  }
}

void read_conditions(const Database& database, const View& view, domain::Snapshot& into) {
  Query row = database.query(kConditions);
  row.with(view.as_of, view.known);
  while (row.next()) {
    domain::ConditionPeriod& period = into.conditions.emplace_back();
    period.condition = row.text();
    period.rig = row.maybe_id<RigId>();
    period.from = row.date();
    period.to = row.maybe_date();
    period.entry = row.id<EntryTag>();
  }
}

void read_faults(const Database& database, const View& view, Ranges positions,
                 domain::Snapshot& into) {
  for (const Range& range : positions) {
    Query row = database.query(kFaults);
    row.with(view.as_of, view.known, range.low, range.high);
    while (row.next()) {
      domain::Fault& fault = into.faults.emplace_back();
      fault.id = row.id<FaultTag>();
      fault.key = row.text();
      fault.position = row.id<PositionTag>();
      fault.opened = row.date();
    }
    Query closing = database.query(kCloses);
    closing.with(view.as_of, view.known, range.low, range.high);
    while (closing.next()) {
      const std::int64_t id = closing.integer();
      const Date date = closing.date();
      for (domain::Fault& fault : into.faults) {
        if (fault.id.value == id) fault.closed = date;
      }
    }
  }
}

void read_policy(const Database& database, domain::Policy& into) {
  Query row = database.query(kPolicy);
  while (row.next()) {
    const std::string key = row.text();
    try {
      into.set(key, row.maybe_real());
    } catch (const InputError& unknown) {
      row.damaged(unknown.what());
    }
  }
}

Date read_first_day(const Database& database, const View& view) {
  Query row = database.query(kFirstDay);
  row.with(view.as_of, view.known);
  return row.next() ? row.date() : view.as_of;
}

}  // namespace shearpin::ledger
