// Master data as plain values.

#include "ledger/impl.hpp"
#include "ledger/master_columns.hpp"

namespace shearpin::ledger {
namespace {

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

}  // namespace shearpin::ledger
