#include "shearpin/domain/life_records.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

#include "domain/last_good.hpp"
#include "domain/watched_unit.hpp"

namespace shearpin::domain {
namespace {

/// A failure counts at least this much exposure after the fit: a life of no length has no hazard.
constexpr double kLeastExposure = 0.5;

void remark(AgeRecord& record, const std::string& note) {
  record.note += record.note.empty() ? note : "; " + note;
}

/// The record stands for what was run from the fit to `to`.
void set_exit(AgeRecord& record, const Exposure& run, Date to) {
  record.to = to;
  record.exit = record.lower = record.entry + run.effective;
  record.plain = run.plain;
  record.assumed_exposure = run.assumed();
  record.class_rate = run.class_rate;
}

/// As set_exit, at least half a day or half a unit after the fit.
void set_failure(AgeRecord& record, const Exposure& run, Date to) {
  set_exit(record, run, to);
  record.kind = AgeRecord::Kind::failed;
  if (run.effective < kLeastExposure) {
    record.exit = record.lower = record.entry + kLeastExposure;
    remark(record, run.effective > 0 ? "hardly used: half a unit of exposure counted"
                                     : "no exposure since the fit: half a unit counted");
  }
}

}  // namespace

LifeReader::LifeReader(const Snapshot& snapshot, const ExposureReader& exposure)
    : snapshot_(&snapshot), exposure_(&exposure) {
  for (const TestResult& test : snapshot.tests) {
    tests_[test.position].push_back(&test);
  }
  for (const UnitLife& life : snapshot.lives) {
    if (!life.end) {
      fitted_[life.position].push_back(&life);
    }
    if (life.stand_in) {
      continue;  // a stop-gap says nothing of any part
    }
    if (life.part) {
      by_part_[*life.part].push_back(&life);
    } else if (const ComponentClass* kind =
                   snapshot.catalogue->class_of(snapshot.catalogue->at(life.position))) {
      without_part_[kind->id].push_back(&life);
    }
  }
  for (const OpenPlace& place : snapshot.open_places) {
    open_[place.position].push_back(&place);
  }
  for (const StockLine& line : snapshot.stock) {
    if (line.state == LotState::worn) {
      worn_lots_[line.lot] = &line;
    }
  }
}

LifeReader::Watched LifeReader::watch(const UnitLife& life, const ComponentClass* as_if) const {
  const Catalogue& catalogue = *snapshot_->catalogue;
  const Position& position = catalogue.at(life.position);
  const ComponentClass* kind = as_if != nullptr ? as_if
                               : life.part      ? catalogue.class_of(catalogue.at(*life.part))
                                                : catalogue.class_of(position);
  AgeRecord start;
  start.unit = life.id;
  start.position = life.position;
  start.place = life.unit;
  start.from = life.fitted;
  std::optional<double> age = life.age_at_fit;
  bool unknown = life.age_unknown;
  if (!age && !unknown && life.lot) {
    const auto worn = worn_lots_.find(*life.lot);
    if (worn != worn_lots_.end()) {
      age = worn->second->age;
      unknown = !age;
    }
  }
  if (unknown) {
    const double median = kind != nullptr ? kind->life_median : snapshot_->policy.vague_life.median;
    age = snapshot_->policy.unknown_age_share * median;
    start.assumed_age = true;
    remark(start, "age at the fit unknown, one taken from the class's life");
  }
  start.entry = start.lower = start.exit = age.value_or(0);
  return {life, position, kind, start, *exposure_};
}

void LifeReader::add_repairs(const Watched& unit, std::vector<AgeRecord>& records) const {
  for (std::size_t i = 0; i < unit.life.repairs.size(); ++i) {
    AgeRecord repair = unit.start;
    set_failure(repair, unit.run_to(unit.life.repairs[i]), unit.life.repairs[i]);
    repair.kind = AgeRecord::Kind::repaired;
    repair.entry = repair.exit;
    repair.plain = 0;
    repair.took_part = i < unit.life.repair_took_part.size() && unit.life.repair_took_part[i];
    records.push_back(repair);
  }
}

/// The day a unit found failed was last known good.
Date LifeReader::good_before(const Watched& unit, Date found) const {
  const std::optional<Date>& told = unit.life.end->last_good;
  const Date good =
      told ? *told : last_good(list_of(tests_, unit.life.position), unit.life, found).date;
  return std::clamp(good, unit.life.fitted, found);
}

AgeRecord LifeReader::found_failed(const Watched& unit) const {
  const LifeEnd& end = *unit.life.end;
  const Date found = std::max(end.test_date.value_or(end.date), unit.life.fitted);
  const Exposure until_good = unit.run_to(good_before(unit, found));
  const Exposure until_found = unit.run_to(found);
  AgeRecord record = unit.start;
  if (!(until_good.effective < until_found.effective)) {
    set_failure(record, until_found, found);
    remark(record, "no exposure between last known good and the test");
    return record;
  }
  set_exit(record, until_found, found);
  record.kind = AgeRecord::Kind::interval;
  record.lower = record.entry + until_good.effective;
  record.plain = (until_good.plain + until_found.plain) / 2;
  return record;
}

/// A failure that an upstream fault brought about. Once that is repaired, it only says that the
/// unit had lived so long.
AgeRecord LifeReader::attributed(const Watched& unit, AgeRecord failure) const {
  const FaultId id = *unit.life.end->fault;
  const auto fault = std::find_if(snapshot_->faults.begin(), snapshot_->faults.end(),
                                  [id](const Fault& candidate) { return candidate.id == id; });
  if (fault == snapshot_->faults.end()) {
    throw std::logic_error("a failure is attributed to a fault that the snapshot does not hold");
  }
  failure.fault = id;
  if (!fault->closed || *fault->closed > snapshot_->as_of) {
    remark(failure, fmt::format("through fault {}, still open", fault->key));
    return failure;
  }
  const Date known =
      failure.kind == AgeRecord::Kind::interval ? good_before(unit, failure.to) : failure.to;
  AgeRecord alive = unit.start;
  alive.fault = id;
  set_exit(alive, unit.run_to(known), known);
  remark(alive, fmt::format("failed through fault {}, closed on {}", fault->key,
                            shearpin::to_text(*fault->closed)));
  return alive;
}

AgeRecord LifeReader::ended(const Watched& unit) const {
  const LifeEnd& end = *unit.life.end;
  AgeRecord record = unit.start;
  switch (end.kind) {
    case EndKind::failed:
      set_failure(record, unit.run_to(end.date), end.date);
      break;
    case EndKind::failed_on_test:
      record = found_failed(unit);
      break;
    case EndKind::renewed:
    case EndKind::expired:
    case EndKind::lost:
    case EndKind::stand_in_removed:
      set_exit(record, unit.run_to(end.date), end.date);
      return record;
  }
  return end.fault ? attributed(unit, record) : record;
}

AgeRecord LifeReader::still_fitted(const Watched& unit) const {
  AgeRecord record = unit.start;
  if (unit.kind == nullptr || !unit.kind->hidden) {
    set_exit(record, unit.run_to(snapshot_->as_of), snapshot_->as_of);
    return record;
  }
  const LastGood good = last_good(list_of(tests_, unit.life.position), unit.life, snapshot_->as_of);
  set_exit(record, unit.run_to(good.date), good.date);
  remark(record, good.tested ? "failure would not show: counted to its last passed test"
                 : good.date == unit.life.fitted
                     ? "failure would not show and it was never tested: counted to its fit"
                     : "failure would not show: counted to its repair");
  return record;
}

void LifeReader::add_records(const Watched& unit, std::vector<AgeRecord>& records) const {
  add_repairs(unit, records);
  records.push_back(unit.life.end ? ended(unit) : still_fitted(unit));
}

std::vector<AgeRecord> LifeReader::of_part(PartId part) const {
  std::vector<AgeRecord> records;
  for (const UnitLife* life : list_of(by_part_, part)) {
    add_records(watch(*life), records);
  }
  return records;
}

std::vector<AgeRecord> LifeReader::of_part(PartId part, const ComponentClass& as_if) const {
  std::vector<AgeRecord> records;
  for (const UnitLife* life : list_of(by_part_, part)) {
    add_records(watch(*life, &as_if), records);
  }
  return records;
}

std::vector<AgeRecord> LifeReader::of_class_without_part(ClassId kind) const {
  std::vector<AgeRecord> records;
  for (const UnitLife* life : list_of(without_part_, kind)) {
    add_records(watch(*life), records);
  }
  return records;
}

std::vector<AgeRecord> life_records(const Snapshot& snapshot, const ExposureReader& exposure,
                                    PartId part) {
  return LifeReader(snapshot, exposure).of_part(part);
}

std::vector<AgeRecord> life_records_of_class_without_part(const Snapshot& snapshot,
                                                          const ExposureReader& exposure,
                                                          ClassId kind) {
  return LifeReader(snapshot, exposure).of_class_without_part(kind);
}

std::string_view to_text(AgeRecord::Kind kind) {
  switch (kind) {
    case AgeRecord::Kind::failed:
      return "failed";
    case AgeRecord::Kind::alive:
      return "alive";
    case AgeRecord::Kind::interval:
      return "interval";
    case AgeRecord::Kind::repaired:
      return "repaired";
  }
  throw std::logic_error("a kind of life record outside the list");
}

}  // namespace shearpin::domain
