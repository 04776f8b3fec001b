// Tests, readings, stays, conditions, faults and trip plans.

#include <fmt/format.h>

#include <cmath>

#include "base/text.hpp"
#include "ledger/master_columns.hpp"
#include "ledger/names.hpp"
#include "ledger/record.hpp"

namespace shearpin::ledger {
namespace {

constexpr const char* kInsertTest =
    "INSERT INTO test (entry, position, unit, passed, reading, happened)"
    " VALUES (?1, ?2, ?3, ?4, ?5, ?6)";
constexpr const char* kInsertReading =
    "INSERT INTO reading (entry, meter, value, replaced, happened) VALUES (?1, ?2, ?3, ?4, ?5)";
constexpr const char* kInsertStay = "INSERT INTO stay (entry, nights, place) VALUES (?1, ?2, ?3)";
constexpr const char* kInsertCondition =
    "INSERT INTO condition (entry, condition, rig, from_day, to_day) VALUES (?1, ?2, ?3, ?4, ?5)";
constexpr const char* kInsertFault =
    "INSERT INTO fault (entry, key, position, note) VALUES (?1, ?2, ?3, ?4)";
constexpr const char* kInsertClose =
    "INSERT INTO fault_close (entry, fault, note) VALUES (?1, ?2, ?3)";
constexpr const char* kFaultByKey =
    "SELECT f.id FROM fault AS f JOIN entry AS e ON e.id = f.entry WHERE f.key = ?1"
    " AND (SELECT count(*) FROM entry AS r WHERE r.root = e.id) % 2 = 0";
constexpr const char* kFaultById =
    "SELECT f.id FROM fault AS f JOIN entry AS e ON e.id = f.entry WHERE f.id = ?1"
    " AND (SELECT count(*) FROM entry AS r WHERE r.root = e.id) % 2 = 0";
constexpr const char* kInsertTrip = "INSERT INTO trip (entry, key, name) VALUES (?1, ?2, ?3)";
constexpr const char* kInsertLeg =
    "INSERT INTO trip_leg (entry, trip, number, from_day, to_day, route, conditions, signal)"
    " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)";
constexpr const char* kInsertUse =
    "INSERT INTO trip_use (entry, leg, meter, amount) VALUES (?1, ?2, ?3, ?4)";
constexpr const char* kInsertStop =
    "INSERT INTO trip_stop (entry, trip, day, place, sold, parcels, extra_days)"
    " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)";

}  // namespace

FaultId Recorder::require_fault(const std::string& key) const {
  Query row = database_.query(kFaultByKey);
  row.with(key);
  if (row.next()) return row.id<FaultTag>();
  throw InputError(fmt::format("there is no fault {} in the ledger; name one that is there.",
                               shearpin::quoted(key)));
}

void Recorder::require_fault(FaultId fault) const {
  Query row = database_.query(kFaultById);
  row.with(fault);
  if (row.next()) return;
  throw InputError(fmt::format("there is no fault of number {} in the ledger.", fault.value));
}

void Recorder::write_tests() {
  for (const domain::TestLine& line : draft_.tests) {
    require(database_, line.position);
    if (line.unit) require_unit_number(line.position, *line.unit);
    database_.query(kInsertTest)
        .with(entry_, line.position, line.unit, line.passed, line.reading, draft_.happened)
        .run();
  }
}

void Recorder::write_readings() {
  for (const domain::ReadingLine& line : draft_.readings) {
    require(database_, line.meter);
    if (!std::isfinite(line.value) || line.value < 0) {
      throw InputError(
          fmt::format("meter {}: a reading is nought or more, not {}. Example: 195800.",
                      key_of(database_, line.meter), line.value));
    }
    database_.query(kInsertReading)
        .with(entry_, line.meter, line.value, line.replaced, draft_.happened)
        .run();
    meters_.insert(line.meter);
  }
}

void Recorder::write_stays() {
  for (const domain::StayLine& line : draft_.stays) {
    database_.query(kInsertStay).with(entry_, line.nights, line.place).run();
  }
}

void Recorder::write_conditions() {
  for (const domain::ConditionLine& line : draft_.conditions) {
    if (line.rig) require(database_, *line.rig);
    if (line.to && *line.to < line.from) {
      throw InputError(fmt::format("condition {} would end on {}, before it begins on {}.",
                                   line.condition, to_text(*line.to), to_text(line.from)));
    }
    database_.query(kInsertCondition)
        .with(entry_, line.condition, line.rig, line.from, line.to)
        .run();
  }
}

void Recorder::write_faults() {
  for (const domain::FaultLine& line : draft_.faults) {
    if (line.closes) {
      const FaultId fault = require_fault(line.key);
      database_.query(kInsertClose).with(entry_, fault, line.note).run();
      created_.faults.push_back(fault);
    } else {
      if (!line.position) {
        throw InputError(fmt::format("fault {} needs the position it troubles.", line.key));
      }
      require(database_, *line.position);
      database_.query(kInsertFault).with(entry_, line.key, line.position, line.note).run();
      created_.faults.push_back(FaultId{database_.last_id()});
    }
    faults_.insert(created_.faults.back());
  }
}

void Recorder::write_trips() {
  for (const domain::TripLine& line : draft_.trips) {
    database_.query(kInsertTrip).with(entry_, line.key, line.name).run();
    const std::int64_t trip = database_.last_id();
    for (const domain::TripLegDraft& leg : line.legs) {
      if (leg.to < leg.from) {
        throw InputError(fmt::format("leg {} of trip {} would end on {}, before it begins on {}.",
                                     leg.number, line.key, to_text(leg.to), to_text(leg.from)));
      }
      database_.query(kInsertLeg)
          .with(entry_, trip, leg.number, leg.from, leg.to, leg.route, lines_of(leg.conditions),
                leg.signal)
          .run();
      const std::int64_t leg_id = database_.last_id();
      for (const auto& [meter, amount] : leg.use) {
        require(database_, meter);
        database_.query(kInsertUse).with(entry_, leg_id, meter, amount).run();
      }
    }
    for (const domain::TripStopDraft& stop : line.stops) {
      database_.query(kInsertStop)
          .with(entry_, trip, stop.date, stop.place, lines_of(stop.sold), stop.parcels,
                stop.extra_days)
          .run();
    }
  }
}

}  // namespace shearpin::ledger
