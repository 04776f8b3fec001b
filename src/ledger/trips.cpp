// Trip plans as stored. A plan is never changed: each entry holds the whole of it anew, and the
// newest live one of a key counts. One with no name, legs or stops says that the trip was removed,
// so that removing needs no table of its own and is taken back like any entry.

#include <map>

#include "ledger/impl.hpp"
#include "ledger/master_columns.hpp"
#include "shearpin/domain/trip.hpp"

namespace shearpin::ledger {
namespace {

constexpr const char* kAllTrips =
    "SELECT t.id, t.key, t.name FROM trip AS t CROSS JOIN entry AS e ON e.id = t.entry"
    " WHERE (SELECT count(*) FROM entry AS r WHERE r.root = e.id) % 2 = 0 ORDER BY t.id";
constexpr const char* kLegs =
    "SELECT id, number, from_day, to_day, route, conditions, signal FROM trip_leg WHERE trip = ?1"
    " ORDER BY id";
constexpr const char* kUses = "SELECT meter, amount FROM trip_use WHERE leg = ?1 ORDER BY id";
constexpr const char* kStops =
    "SELECT day, place, sold, parcels, extra_days FROM trip_stop WHERE trip = ?1 ORDER BY id";

std::vector<domain::TripLegDraft> read_legs(const Database& database, std::int64_t trip) {
  std::vector<domain::TripLegDraft> legs;
  Query row = database.query(kLegs);
  row.with(trip);
  while (row.next()) {
    domain::TripLegDraft& leg = legs.emplace_back();
    const std::int64_t id = row.integer();
    leg.number = row.small();
    leg.from = row.date();
    leg.to = row.date();
    leg.route = row.text();
    leg.conditions = words_of(row.text());
    leg.signal = row.flag();
    Query use = database.query(kUses);
    use.with(id);
    while (use.next()) {
      const auto meter = use.id<MeterTag>();
      leg.use.emplace_back(meter, use.real());
    }
  }
  return legs;
}

std::vector<domain::TripStopDraft> read_stops(const Database& database, std::int64_t trip) {
  std::vector<domain::TripStopDraft> stops;
  Query row = database.query(kStops);
  row.with(trip);
  while (row.next()) {
    domain::TripStopDraft& stop = stops.emplace_back();
    stop.date = row.date();
    stop.place = row.text();
    stop.sold = words_of(row.text());
    stop.parcels = row.flag();
    stop.extra_days = row.small();
  }
  return stops;
}

}  // namespace

std::vector<domain::TripLine> Ledger::trips() const {
  const Database& database = impl_->database;
  return guarded(database.path(), "reading the trips", [&] {
    const ReadScope reading(database);
    std::map<std::string, domain::TripLine> newest;
    Query row = database.query(kAllTrips);
    while (row.next()) {
      domain::TripLine trip;
      const std::int64_t id = row.integer();
      trip.key = row.text();
      trip.name = row.text();
      trip.legs = read_legs(database, id);
      trip.stops = read_stops(database, id);
      newest.insert_or_assign(trip.key, std::move(trip));
    }
    std::vector<domain::TripLine> trips;
    for (auto& [key, trip] : newest) {
      if (!domain::is_removed(trip)) trips.push_back(std::move(trip));
    }
    return trips;
  });
}

}  // namespace shearpin::ledger
