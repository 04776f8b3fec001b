#pragma once
/// Builds small snapshots for the tests of exposure and life records.

#include <string>
#include <utility>
#include <vector>

#include "editable_catalogue.hpp"
#include "shearpin/domain/life_records.hpp"

namespace shearpin::domain::test {

inline Date day(std::string_view text) { return parse_date(text, Date{}); }

/// A snapshot that grows by one thing a call; ids count from 1.
struct World {
  Snapshot snapshot;

  explicit World(std::string_view as_of) {
    snapshot.as_of = day(as_of);
    rig("truck");
    rig("trailer");
  }

  Catalogue& catalogue() { return editable_catalogue(snapshot); }
  const Catalogue& catalogue() const { return *snapshot.catalogue; }

  RigId rig(const std::string& key) {
    Rig rig;
    rig.key = key;
    rig.id = {static_cast<std::int64_t>(catalogue().rigs.size()) + 1};
    catalogue().rigs.push_back(rig);
    return rig.id;
  }

  ComponentClass& component_class(const std::string& key, Basis basis) {
    ComponentClass kind;
    kind.key = key;
    kind.id = {static_cast<std::int64_t>(catalogue().classes.size()) + 1};
    kind.basis = basis;
    catalogue().classes.push_back(kind);
    return catalogue().classes.back();
  }

  PartId part(const std::string& key, std::optional<ClassId> kind) {
    Part part;
    part.key = key;
    part.id = {static_cast<std::int64_t>(catalogue().parts.size()) + 1};
    part.component_class = kind;
    catalogue().parts.push_back(part);
    return part.id;
  }

  MeterId meter(const std::string& key, const std::string& unit,
                const std::vector<std::pair<const char*, double>>& readings,
                std::int64_t rig_number = 1) {
    Meter meter;
    meter.key = key;
    meter.id = {static_cast<std::int64_t>(catalogue().meters.size()) + 1};
    meter.rig = {rig_number};
    meter.unit = unit;
    catalogue().meters.push_back(meter);
    for (const auto& reading : readings) {
      read(meter.id, reading.first, reading.second);
    }
    return meter.id;
  }

  void read(MeterId meter, std::string_view date, double value, bool replaced = false) {
    MeterReading reading;
    reading.meter = meter;
    reading.date = day(date);
    reading.value = value;
    reading.replaced = replaced;
    snapshot.readings.push_back(reading);
  }

  Position& position(const std::string& key, std::optional<PartId> part, int units = 1) {
    Position position;
    position.key = key;
    position.id = {static_cast<std::int64_t>(catalogue().positions.size()) + 1};
    position.rig = {1};
    position.part = part;
    position.units = units;
    catalogue().positions.push_back(position);
    return catalogue().positions.back();
  }

  void condition(const std::string& name, std::string_view from, std::string_view to,
                 std::optional<RigId> rig = std::nullopt) {
    ConditionPeriod period;
    period.condition = name;
    period.rig = rig;
    period.from = day(from);
    if (!to.empty()) {
      period.to = day(to);
    }
    snapshot.conditions.push_back(period);
  }

  /// A unit of the position's part that still stands there.
  UnitLife& fit(PositionId position, std::string_view date, int unit = 1) {
    UnitLife life;
    life.id = {static_cast<std::int64_t>(snapshot.lives.size()) + 1};
    life.position = position;
    life.unit = unit;
    life.part = catalogue().at(position).part;
    life.fitted = day(date);
    snapshot.lives.push_back(life);
    return snapshot.lives.back();
  }

  UnitLife& life(PositionId position, std::string_view from, std::string_view to,
                 EndKind kind = EndKind::failed, int unit = 1) {
    UnitLife& life = fit(position, from, unit);
    life.end.emplace();
    life.end->date = day(to);
    life.end->kind = kind;
    return life;
  }

  void test(PositionId position, std::string_view date, bool passed,
            std::optional<int> unit = std::nullopt) {
    TestResult result;
    result.position = position;
    result.unit = unit;
    result.date = day(date);
    result.passed = passed;
    snapshot.tests.push_back(result);
  }

  std::vector<AgeRecord> records(PartId part) const {
    const ExposureReader exposure(snapshot);
    return life_records(snapshot, exposure, part);
  }
};

}  // namespace shearpin::domain::test
