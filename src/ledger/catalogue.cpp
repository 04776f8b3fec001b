// Master data as plain values.

#include "ledger/impl.hpp"
#include "ledger/master_columns.hpp"

namespace shearpin::ledger {
namespace {

template <class Thing>
std::vector<Thing> read_all(const Database& database) {
  const std::size_t table = domain::Master(Thing{}).index();
  std::vector<Thing> things;
  Query row = database.query(master_tables()[table].all.c_str());
  while (row.next()) read_row(row, things.emplace_back());
  return things;
}

}  // namespace

domain::Catalogue read_catalogue(const Database& database) {
  domain::Catalogue catalogue;
  catalogue.rigs = read_all<domain::Rig>(database);
  catalogue.classes = read_all<domain::ComponentClass>(database);
  catalogue.parts = read_all<domain::Part>(database);
  catalogue.substitutes = read_all<domain::Substitute>(database);
  catalogue.positions = read_all<domain::Position>(database);
  catalogue.meters = read_all<domain::Meter>(database);
  catalogue.bins = read_all<domain::Bin>(database);
  catalogue.suppliers = read_all<domain::Supplier>(database);
  catalogue.safety_notes = read_all<domain::SafetyNote>(database);
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
