// Lines from the field: faults, tests, readings, stays, conditions, trip plans.

#include <fmt/format.h>

#include <cmath>

#include "base/text.hpp"
#include "ledger/tables.hpp"

namespace shearpin::ledger {
namespace {

constexpr const char* kFaultByKey =
    "SELECT f.id FROM fault AS f JOIN entry AS e ON e.id = f.entry WHERE f.key = ?1"
    " AND (SELECT count(*) FROM entry AS r WHERE r.root = e.id) % 2 = 0";
constexpr const char* kFaultById =
    "SELECT f.id FROM fault AS f JOIN entry AS e ON e.id = f.entry WHERE f.id = ?1"
    " AND (SELECT count(*) FROM entry AS r WHERE r.root = e.id) % 2 = 0";

const LineTable<domain::StayLine>& stay_table() {
  using T = domain::StayLine;
  static const LineTable<T> table(
      {"stay"}, {column<T, &T::nights>("nights", ">= 1"), column<T, &T::place>("place")});
  return table;
}

// A trip plan: the trip, its legs with their use, and its stops.

const LineTable<domain::TripLine>& trip_table() {
  using T = domain::TripLine;
  static const LineTable<T> table(
      {"trip"}, {column<T, &T::key>("key", "<> ''"), column<T, &T::name>("name")});
  return table;
}

struct LegRow : domain::TripLegDraft {
  TripId trip;
};

const LineTable<LegRow>& leg_table() {
  using T = LegRow;
  static const LineTable<T> table(
      {"trip_leg", {}, {"(trip)"}, "CHECK (to_day >= from_day)"},
      {column<T, &T::trip>("trip"), column<T, &T::number>("number"),
       column<T, &T::from>("from_day"), column<T, &T::to>("to_day"), column<T, &T::route>("route"),
       column<T, &T::conditions>("conditions"), column<T, &T::signal>("signal")});
  return table;
}

struct UseRow {
  LegId leg;
  MeterId meter;
  double amount = 0;
};

const LineTable<UseRow>& use_table() {
  using T = UseRow;
  static const LineTable<T> table({"trip_use", {}, {"(leg)"}},
                                  {column<T, &T::leg>("leg"), column<T, &T::meter>("meter"),
                                   column<T, &T::amount>("amount", ">= 0")});
  return table;
}

struct StopRow : domain::TripStopDraft {
  TripId trip;
};

const LineTable<StopRow>& stop_table() {
  using T = StopRow;
  static const LineTable<T> table(
      {"trip_stop", {}, {"(trip)"}},
      {column<T, &T::trip>("trip"), column<T, &T::date>("day"), column<T, &T::place>("place"),
       column<T, &T::sold>("sold"), column<T, &T::parcels>("parcels"),
       column<T, &T::extra_days>("extra_days", ">= 0")});
  return table;
}

void write_faults(Recording& to) {
  for (const domain::FaultLine& line : to.draft.faults) {
    FaultId fault;
    if (line.closes) {
      fault = require_fault(to.database, line.key);
      closing_table().write(to.database, to.entry, {fault, line.note});
    } else {
      if (!line.position) {
        throw InputError(fmt::format("fault {} needs the position it troubles.", line.key));
      }
      fault_table().require_references(to.database, line);
      fault.value = fault_table().write(to.database, to.entry, line);
    }
    to.created.faults.push_back(fault);
  }
}
void read_faults(Reading& from) {
  fault_table().each(from.database, from.low, from.high,
                     [&from](EntryId entry, std::int64_t number, domain::FaultLine line) {
                       from.entries[entry].draft.faults.push_back(std::move(line));
                       from.entries[entry].made.faults.push_back({number});
                     });
  closing_table().each(from.database, from.low, from.high,
                       [&from](EntryId entry, std::int64_t, const Closing& closing) {
                         domain::FaultLine line = fault_of(from.database, closing.fault);
                         line.closes = true;
                         line.note = closing.note;
                         from.entries[entry].draft.faults.push_back(std::move(line));
                         from.entries[entry].made.faults.push_back(closing.fault);
                       });
}

void check_test(const Recording& to, const domain::TestLine& line) {
  if (line.unit) require_unit_number(to.database, line.position, *line.unit);
}

void check_reading(const Recording& to, const domain::ReadingLine& line) {
  if (std::isfinite(line.value) && line.value >= 0) return;
  throw InputError(fmt::format("meter {}: a reading is nought or more, not {}. Example: 195800.",
                               key_of(to.database, line.meter), line.value));
}

void check_condition(const Recording&, const domain::ConditionLine& line) {
  if (!line.to || *line.to >= line.from) return;
  throw InputError(fmt::format("condition {} would end on {}, before it begins on {}.",
                               line.condition, to_text(*line.to), to_text(line.from)));
}

void write_leg(Recording& to, const std::string& trip, const LegRow& leg) {
  if (leg.to < leg.from) {
    throw InputError(fmt::format("leg {} of trip {} would end on {}, before it begins on {}.",
                                 leg.number, trip, to_text(leg.to), to_text(leg.from)));
  }
  const LegId id{leg_table().write(to.database, to.entry, leg)};
  for (const auto& [meter, amount] : leg.use) {
    const UseRow use{id, meter, amount};
    use_table().require_references(to.database, use);
    use_table().write(to.database, to.entry, use);
  }
}

void write_trips(Recording& to) {
  for (const domain::TripLine& line : to.draft.trips) {
    const TripId trip{trip_table().write(to.database, to.entry, line)};
    for (const auto& leg : line.legs) write_leg(to, line.key, {leg, trip});
    for (const auto& stop : line.stops) stop_table().write(to.database, to.entry, {stop, trip});
  }
}

void read_trips(Reading& from) {
  // Where in the drafts a row was put.
  std::map<TripId, std::pair<EntryId, std::size_t>> trips;
  std::map<LegId, std::pair<TripId, std::size_t>> legs;
  const auto found = [&from](const auto& places, auto id) {
    const auto place = places.find(id);
    if (place == places.end()) throw_damaged(from.database.path(), "a piece of no trip plan");
    return place->second;
  };
  const auto trip_of = [&](TripId id) -> domain::TripLine& {
    const auto [entry, index] = found(trips, id);
    return from.entries[entry].draft.trips[index];
  };
  trip_table().each(from.database, from.low, from.high,
                    [&](EntryId entry, std::int64_t number, domain::TripLine line) {
                      auto& all = from.entries[entry].draft.trips;
                      trips[{number}] = {entry, all.size()};
                      all.push_back(std::move(line));
                    });
  if (trips.empty()) return;
  leg_table().each(from.database, from.low, from.high,
                   [&](EntryId, std::int64_t number, const LegRow& leg) {
                     auto& all = trip_of(leg.trip).legs;
                     legs[{number}] = {leg.trip, all.size()};
                     all.push_back(leg);
                   });
  use_table().each(from.database, from.low, from.high,
                   [&](EntryId, std::int64_t, const UseRow& use) {
                     const auto [trip, index] = found(legs, use.leg);
                     trip_of(trip).legs[index].use.emplace_back(use.meter, use.amount);
                   });
  stop_table().each(from.database, from.low, from.high,
                    [&](EntryId, std::int64_t, const StopRow& stop) {
                      trip_of(stop.trip).stops.push_back(stop);
                    });
}

}  // namespace

/// The line that opens a fault.
const LineTable<domain::FaultLine>& fault_table() {
  using T = domain::FaultLine;
  static const LineTable<T> table(
      {"fault", {}, {"(key)", "(position)"}},
      {column<T, &T::key>("key", "<> ''"), column<T, &T::position>("position", "IS NOT NULL"),
       column<T, &T::note>("note")});
  return table;
}

const LineTable<Closing>& closing_table() {
  using T = Closing;
  static const LineTable<T> table({"fault_close", {}, {"(fault)"}},
                                  {column<T, &T::fault>("fault"), column<T, &T::note>("note")});
  return table;
}

const LineTable<domain::TestLine>& test_table() {
  using T = domain::TestLine;
  static const LineTable<T> table(
      {"test", {kHappened}, {"(position, unit, happened)"}},
      {column<T, &T::position>("position"), column<T, &T::unit>("unit", ">= 1"),
       column<T, &T::passed>("passed"), column<T, &T::reading>("reading")});
  return table;
}

const LineTable<domain::ReadingLine>& reading_table() {
  using T = domain::ReadingLine;
  static const LineTable<T> table(
      {"reading", {kHappened}, {"(meter, happened)"}},
      {column<T, &T::meter>("meter"), column<T, &T::value>("value", ">= 0"),
       column<T, &T::replaced>("replaced")});
  return table;
}

const LineTable<domain::ConditionLine>& condition_table() {
  using T = domain::ConditionLine;
  static const LineTable<T> table(
      {"condition", {}, {}, "CHECK (to_day IS NULL OR to_day >= from_day)"},
      {column<T, &T::condition>("condition", "<> ''"), column<T, &T::rig>("rig"),
       column<T, &T::from>("from_day"), column<T, &T::to>("to_day")});
  return table;
}

domain::FaultLine fault_of(const Database& database, FaultId fault) {
  auto line = fault_table().find(database, fault.value);
  if (!line) throw_damaged(database.path(), "a fault is named that is not there");
  return *line;
}

FaultId require_fault(const Database& database, const std::string& key) {
  Query row = database.query(kFaultByKey);
  row.with(key);
  if (row.next()) return row.id<FaultTag>();
  throw InputError(fmt::format("there is no fault {} in the ledger; name one that is there.",
                               shearpin::quoted(key)));
}

void require_fault(const Database& database, FaultId fault) {
  Query row = database.query(kFaultById);
  row.with(fault);
  if (row.next()) return;
  throw InputError(fmt::format("there is no fault of number {} in the ledger.", fault.value));
}

std::vector<LineKind> field_kinds() {
  return {{{&fault_table(), &closing_table()}, write_faults, read_faults},
          plain_kind<test_table, &domain::EntryDraft::tests, check_test>(),
          plain_kind<reading_table, &domain::EntryDraft::readings, check_reading>(),
          plain_kind<stay_table, &domain::EntryDraft::stays, unchecked<domain::StayLine>>(),
          plain_kind<condition_table, &domain::EntryDraft::conditions, check_condition>(),
          {{&trip_table(), &leg_table(), &use_table(), &stop_table()}, write_trips, read_trips}};
}

}  // namespace shearpin::ledger
