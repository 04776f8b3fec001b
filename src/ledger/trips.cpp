// Trip plans. A plan is never changed: each entry holds the whole of it anew, and the newest live
// one of a key counts. One with no name, legs or stops says that the trip was removed, so that
// removing needs no table of its own and is taken back like any entry.

#include <map>

#include "ledger/impl.hpp"
#include "ledger/record.hpp"
#include "shearpin/domain/trip.hpp"

namespace shearpin::ledger {
namespace {

constexpr const char* kLiveTrips =
    "SELECT e.id FROM entry AS e WHERE e.kind = 'trip'"
    " AND (SELECT count(*) FROM entry AS r WHERE r.root = e.id) % 2 = 0 ORDER BY e.id";

}  // namespace

std::vector<domain::TripLine> Ledger::trips() const {
  const Database& database = impl_->database;
  return guarded(database.path(), "reading the trips", [&] {
    const ReadScope reading(database);
    std::map<std::string, domain::TripLine> newest;
    Query row = database.query(kLiveTrips);
    while (row.next()) {
      for (domain::TripLine& trip : read_entry(database, row.id<EntryTag>()).draft.trips) {
        newest.insert_or_assign(trip.key, std::move(trip));
      }
    }
    std::vector<domain::TripLine> trips;
    for (auto& [key, trip] : newest) {
      if (!domain::is_removed(trip)) trips.push_back(std::move(trip));
    }
    return trips;
  });
}

}  // namespace shearpin::ledger
