// What ages are counted from (readings, conditions), tests, faults and policy.

#include <algorithm>

#include "ledger/snapshot_parts.hpp"
#include "ledger/sql_live.hpp"
#include "ledger/tables.hpp"

namespace shearpin::ledger {
namespace {

constexpr const char* kPolicy =
    "SELECT p.key, p.value FROM policy AS p CROSS JOIN entry AS e ON e.id = p.entry"
    " WHERE (SELECT count(*) FROM entry AS r WHERE r.root = e.id) % 2 = 0"
    " ORDER BY p.id";
constexpr const char* kFirstDay =
    "SELECT e.happened FROM entry AS e WHERE e.root IS NULL AND " SHEARPIN_SQL_LIVE
    " ORDER BY e.happened LIMIT 1";

auto adding_tests(domain::Snapshot& into) {
  return [&into](domain::TestLine line, const Written& at) {
    into.tests.push_back(
        {line.position, line.unit, at.day, line.passed, std::move(line.reading), at.entry});
  };
}

void sort_tests(std::vector<domain::TestResult>& tests) {
  std::stable_sort(tests.begin(), tests.end(),
                   [](const domain::TestResult& a, const domain::TestResult& b) {
                     return a.date < b.date || (a.date == b.date && a.entry < b.entry);
                   });
}

auto adding_readings(domain::Snapshot& into) {
  return [&into](const domain::ReadingLine& line, const Written& at) {
    into.readings.push_back({line.meter, at.day, line.value, line.replaced, at.entry});
  };
}

}  // namespace

void read_tests(const Database& database, const View& view, Ranges positions,
                domain::Snapshot& into) {
  static const std::string sql =
      test_table().live("x.position BETWEEN ?3 AND ?4 ORDER BY x.position, x.id");
  for (const Range& range : positions) {
    test_table().each_live(database, sql, adding_tests(into), view.as_of, view.known, range.low,
                           range.high);
  }
  sort_tests(into.tests);
}

void read_latest_tests(const Database& database, const View& view,
                       std::span<const PlaceUnits> positions, domain::Snapshot& into) {
  // Of a unit (?4), or of all units of the position at once where that is NULL.
  static const std::string last_passed = test_table().live(
      "x.position = ?3 AND x.unit IS ?4 AND x.happened <= ?1 AND x.passed = 1"
      " ORDER BY x.happened DESC, x.id DESC LIMIT 1");
  static const std::string failed =
      test_table().live("x.entry = ?3 AND x.passed = 0 ORDER BY x.id");
  const auto add = [&](PositionId position, std::optional<int> unit) {
    test_table().each_live(database, last_passed, adding_tests(into), view.as_of, view.known,
                           position, unit);
  };
  for (const PlaceUnits& position : positions) {
    add(position.id, std::nullopt);
    for (int unit = 1; unit <= position.units; ++unit) add(position.id, unit);
  }
  for (const domain::UnitLife& life : into.lives) {
    if (!life.end) continue;
    test_table().each_live(database, failed, adding_tests(into), view.as_of, view.known,
                           life.end->entry);
  }
  sort_tests(into.tests);
}

void read_readings(const Database& database, const View& view, Ranges meters,
                   domain::Snapshot& into) {
  static const std::string sql =
      reading_table().live("x.meter BETWEEN ?3 AND ?4 ORDER BY x.meter, x.happened, x.id");
  for (const Range& range : meters) {
    reading_table().each_live(database, sql, adding_readings(into), view.as_of, view.known,
                              range.low, range.high);
  }
}

void read_latest_readings(const Database& database, const View& view,
                          const std::vector<domain::Meter>& meters, domain::Snapshot& into) {
  static const std::string sql = reading_table().live(
      "x.meter = ?3 AND x.happened <= ?1 ORDER BY x.happened DESC, x.id DESC LIMIT 1");
  for (const domain::Meter& meter : meters) {
    reading_table().each_live(database, sql, adding_readings(into), view.as_of, view.known,
                              meter.id);
  }
}

void read_conditions(const Database& database, const View& view, domain::Snapshot& into) {
  static const std::string sql = condition_table().live("TRUE ORDER BY x.id");
  condition_table().each_live(
      database, sql,
      [&into](const domain::ConditionLine& line, const Written& at) {
        into.conditions.push_back({line.condition, line.rig, line.from, line.to, at.entry});
      },
      view.as_of, view.known);
}

void read_faults(const Database& database, const View& view, Ranges positions,
                 domain::Snapshot& into) {
  static const std::string opened =
      fault_table().live("x.position BETWEEN ?3 AND ?4 ORDER BY x.id");
  static const std::string closed = closing_table().live(
      "x.fault IN (SELECT id FROM fault WHERE position BETWEEN ?3 AND ?4) ORDER BY x.id");
  for (const Range& range : positions) {
    fault_table().each_live(
        database, opened,
        [&into](const domain::FaultLine& line, const Written& at) {
          into.faults.push_back({{at.number}, line.key, *line.position, at.day, {}});
        },
        view.as_of, view.known, range.low, range.high);
    closing_table().each_live(
        database, closed,
        [&into](const Closing& closing, const Written& at) {
          for (domain::Fault& fault : into.faults) {
            if (fault.id == closing.fault) fault.closed = at.day;
          }
        },
        view.as_of, view.known, range.low, range.high);
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
