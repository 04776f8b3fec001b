// The history as plain values: what is read for which scope.

#include <algorithm>

#include "ledger/impl.hpp"
#include "ledger/snapshot_parts.hpp"

namespace shearpin::ledger {
namespace {

constexpr const char* kPositionsOfPart =
    "SELECT DISTINCT position FROM unit_begin WHERE part = ?1 ORDER BY position";

/// The last day that SQL compares with: later than any day parse_date takes.
constexpr Date kForever = std::chrono::year{9999} / 12 / 31;

/// Ids as ascending ranges without repeats.
std::vector<Range> ranges_of(std::vector<std::int64_t> ids) {
  std::sort(ids.begin(), ids.end());
  ids.erase(std::unique(ids.begin(), ids.end()), ids.end());
  std::vector<Range> ranges;
  for (const std::int64_t id : ids) ranges.push_back({id, id});
  return ranges;
}

/// The scope resolved to ids: which positions, parts and meters are read.
struct Reach {
  std::vector<Range> positions, parts, ordered_parts, usage_parts, meters;
};

/// The catalogue is in the order of ids.
const domain::Position* find_position(const domain::Catalogue& catalogue, std::int64_t id) {
  const auto position = std::lower_bound(
      catalogue.positions.begin(), catalogue.positions.end(), id,
      [](const domain::Position& one, std::int64_t wanted) { return one.id.value < wanted; });
  const bool found = position != catalogue.positions.end() && position->id.value == id;
  return found ? &*position : nullptr;
}

/// Positions named, and for each part those that call for it or have held one.
std::vector<std::int64_t> positions_of(const Database& database, const Scope& scope,
                                       const domain::Catalogue& catalogue) {
  std::vector<std::int64_t> ids;
  for (const PositionId position : scope.positions) ids.push_back(position.value);
  if (scope.stores_only) return ids;
  for (const PartId part : scope.parts) {
    for (const domain::Position& position : catalogue.positions) {
      if (position.part == part) ids.push_back(position.id.value);
    }
    Query row = database.query(kPositionsOfPart);
    row.with(part);
    while (row.next()) ids.push_back(row.integer());
  }
  return ids;
}

Reach reach_of(const Database& database, const Scope& scope, const domain::Catalogue& catalogue) {
  Reach reach;
  if (scope.everything()) {
    reach.positions = reach.parts = reach.ordered_parts = reach.usage_parts =
        reach.meters = {Range{}};
    return reach;
  }
  if (scope.meters_only) {
    reach.meters = {Range{}};
    return reach;
  }
  const std::vector<std::int64_t> positions = positions_of(database, scope, catalogue);
  std::vector<std::int64_t> parts;
  for (const PartId part : scope.parts) parts.push_back(part.value);
  reach.positions = ranges_of(positions);
  reach.parts = ranges_of(parts);
  for (const PartId part : scope.orders_of) parts.push_back(part.value);
  reach.ordered_parts = ranges_of(parts);
  if (!scope.stores_only) reach.usage_parts = reach.parts;
  if (!scope.exposure) return reach;
  std::vector<std::int64_t> meters;
  for (const std::int64_t id : positions) {
    const domain::Position* position = find_position(catalogue, id);
    if (position == nullptr) continue;
    if (position->meter) meters.push_back(position->meter->value);
    if (position->usual_meter) meters.push_back(position->usual_meter->value);
  }
  reach.meters = ranges_of(meters);
  return reach;
}

std::vector<PlaceUnits> units_of(Ranges positions, const domain::Catalogue& catalogue) {
  std::vector<PlaceUnits> all;
  for (const Range& range : positions) {
    const domain::Position* position = find_position(catalogue, range.low);
    if (position != nullptr) all.push_back({position->id, position->units});
  }
  return all;
}

/// What a new line is checked against, and no more.
void read_latest(const Database& database, const View& view, const Scope& scope, const Reach& reach,
                 const domain::Catalogue& catalogue, domain::Snapshot& into) {
  const auto positions = units_of(reach.positions, catalogue);
  read_latest_lives(database, view, positions, into);
  read_latest_tests(database, view, positions, into);
  if (!scope.orders_of.empty()) read_orders(database, view, reach.ordered_parts, into);
  if (scope.meters_only) read_latest_readings(database, view, catalogue.meters, into);
}

void read_whole(const Database& database, const View& view, const Reach& reach,
                domain::Snapshot& into) {
  read_lives(database, view, reach.positions, into);
  read_orders(database, view, reach.ordered_parts, into);
  read_usage(database, view, reach.usage_parts, reach.positions, into);
  read_tests(database, view, reach.positions, into);
  read_readings(database, view, reach.meters, into);
}

domain::Snapshot read_snapshot(const Database& database, Date as_of, std::optional<Date> known,
                               const Scope& scope,
                               std::shared_ptr<const domain::Catalogue> catalogue) {
  const View view{as_of, known.value_or(kForever)};
  const Reach reach = reach_of(database, scope, *catalogue);
  domain::Snapshot snapshot;
  snapshot.as_of = as_of;
  snapshot.known = known;
  read_policy(database, snapshot.policy);
  if (scope.latest) {
    read_latest(database, view, scope, reach, *catalogue, snapshot);
  } else {
    read_whole(database, view, reach, snapshot);
  }
  if (known || scope.everything()) {
    read_stock(database, view, reach.parts, snapshot);
  } else {
    for (const Range& part : reach.parts) {
      read_stock_of_part(database, view, PartId{part.low}, snapshot);
    }
  }
  read_faults(database, view, reach.positions, snapshot);
  if (scope.everything() || scope.exposure) read_conditions(database, view, snapshot);
  snapshot.first_day = read_first_day(database, view);
  snapshot.catalogue = std::move(catalogue);
  return snapshot;
}

}  // namespace

domain::Snapshot Ledger::snapshot(Date as_of, std::optional<Date> known, const Scope& scope) const {
  const Database& database = impl_->database;
  return guarded(database.path(), "reading the history", [&] {
    const ReadScope reading(database);
    return read_snapshot(database, as_of, known, scope,
                         std::make_shared<domain::Catalogue>(read_catalogue(database)));
  });
}

domain::Snapshot Ledger::snapshot(Date as_of, std::optional<Date> known, const Scope& scope,
                                  std::shared_ptr<const domain::Catalogue> catalogue) const {
  const Database& database = impl_->database;
  return guarded(database.path(), "reading the history", [&] {
    const ReadScope reading(database);
    return read_snapshot(database, as_of, known, scope, std::move(catalogue));
  });
}

}  // namespace shearpin::ledger
