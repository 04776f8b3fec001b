// Beginnings and ends of lives, repairs, open places, attributions.

#include <fmt/format.h>

#include "ledger/names.hpp"
#include "ledger/record.hpp"

namespace shearpin::ledger {
namespace {

constexpr const char* kInsertBegin =
    "INSERT INTO unit_begin (entry, position, unit, part, no_part, stand_in, lot, age, age_unknown,"
    " made, marked_end, happened) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12)";
constexpr const char* kInsertEnd =
    "INSERT INTO unit_end (entry, unit, kind, last_good, test_date, fault, cause, left_state, note)"
    " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)";
constexpr const char* kInsertRepair =
    "INSERT INTO repair (entry, unit, cause, took_part, happened) VALUES (?1, ?2, ?3, ?4, ?5)";
constexpr const char* kInsertOpen =
    "INSERT INTO open_place (entry, position, unit, state, note, happened)"
    " VALUES (?1, ?2, ?3, ?4, ?5, ?6)";
constexpr const char* kInsertAttribution =
    "INSERT INTO attribution (entry, fault, unit) VALUES (?1, ?2, ?3)";
constexpr const char* kPlaceOfUnit = "SELECT position, unit FROM unit_begin WHERE id = ?1";
constexpr const char* kUnits = "SELECT key, units FROM position WHERE id = ?1";

}  // namespace

void Recorder::touch_unit(UnitId unit) {
  Query row = database_.query(kPlaceOfUnit);
  row.with(unit);
  if (!row.next()) {
    throw InputError(
        fmt::format("there is no fitted unit of number {} in the ledger.", unit.value));
  }
  const auto position = row.id<PositionTag>();
  places_.insert({position, row.small()});
}

void Recorder::require_unit_number(PositionId position, int unit) const {
  require(database_, position);
  Query row = database_.query(kUnits);
  row.with(position);
  row.next();
  const std::string key = row.text();
  const std::int64_t units = row.integer();
  if (unit >= 1 && unit <= units) return;
  throw InputError(fmt::format("{0} has units 1 to {1}; {2} is not one of them. Example: {0}/1.",
                               key, units, unit));
}

void Recorder::write_ends() {
  for (const domain::EndLine& line : draft_.ends) {
    touch_unit(line.unit);
    if (line.fault) require_fault(*line.fault);
    if (line.fault) faults_.insert(*line.fault);
    database_.query(kInsertEnd)
        .with(entry_, line.unit, to_text(line.kind), line.last_good, line.test_date, line.fault,
              line.cause, to_text(line.left), line.note)
        .run();
  }
}

void Recorder::write_fits() {
  for (const domain::FitLine& line : draft_.fits) {
    require_unit_number(line.position, line.unit);
    if (line.part) require(database_, *line.part);
    database_.query(kInsertBegin)
        .with(entry_, line.position, line.unit, line.part, line.no_part, line.stand_in,
              resolve(line.lot), line.age, line.age_unknown, line.made, line.marked_end,
              draft_.happened)
        .run();
    created_.units.push_back(UnitId{database_.last_id()});
    places_.insert({line.position, line.unit});
  }
}

void Recorder::write_repairs() {
  for (const domain::RepairLine& line : draft_.repairs) {
    touch_unit(line.unit);
    database_.query(kInsertRepair)
        .with(entry_, line.unit, line.cause, line.took_part, draft_.happened)
        .run();
  }
}

void Recorder::write_opens() {
  for (const domain::OpenLine& line : draft_.opens) {
    require_unit_number(line.position, line.unit);
    database_.query(kInsertOpen)
        .with(entry_, line.position, line.unit, to_text(line.state), line.note, draft_.happened)
        .run();
    places_.insert({line.position, line.unit});
  }
}

void Recorder::write_attributions() {
  for (const domain::AttributeLine& line : draft_.attributions) {
    touch_unit(line.unit);
    const FaultId fault = require_fault(line.fault);
    database_.query(kInsertAttribution).with(entry_, fault, line.unit).run();
  }
}

}  // namespace shearpin::ledger
