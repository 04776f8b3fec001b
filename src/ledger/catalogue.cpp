// Master data and trip plans as plain values.

#include <map>

#include "ledger/impl.hpp"
#include "ledger/master_columns.hpp"
#include "ledger/record.hpp"
#include "shearpin/domain/trip.hpp"

namespace shearpin::ledger {
namespace {

// A plan is never changed: each entry holds the whole of it anew, and the newest live one of a key
// counts. One with no name, legs or stops says that the trip was removed, so that removing needs no
// table of its own and is taken back like any entry.
constexpr const char* kLiveTrips =
    "SELECT e.id FROM entry AS e WHERE e.kind = 'trip'"
    " AND (SELECT count(*) FROM entry AS r WHERE r.root = e.id) % 2 = 0 ORDER BY e.id";

template <class Thing>
std::vector<Thing> read_all(const Database& database, bool gone) {
  const std::size_t table = domain::Master(Thing{}).index();
  std::vector<Thing> things;
  Query row = database.query(master_tables()[table].all.c_str());
  row.with(gone);
  while (row.next()) read_row(row, things.emplace_back());
  return things;
}

}  // namespace

domain::Catalogue read_catalogue(const Database& database, bool gone) {
  domain::Catalogue catalogue;
  catalogue.rigs = read_all<domain::Rig>(database, gone);
  catalogue.classes = read_all<domain::ComponentClass>(database, gone);
  catalogue.parts = read_all<domain::Part>(database, gone);
  catalogue.substitutes = read_all<domain::Substitute>(database, gone);
  catalogue.positions = read_all<domain::Position>(database, gone);
  catalogue.meters = read_all<domain::Meter>(database, gone);
  catalogue.bins = read_all<domain::Bin>(database, gone);
  catalogue.suppliers = read_all<domain::Supplier>(database, gone);
  catalogue.safety_notes = read_all<domain::SafetyNote>(database, gone);
  return catalogue;
}

domain::Catalogue Ledger::catalogue() const {
  const Database& database = impl_->database;
  return guarded(database.path(), "reading the master data", [&] {
    const ReadScope reading(database);
    return read_catalogue(database);
  });
}

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
