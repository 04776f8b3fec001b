#include "ledger/record.hpp"

#include <stdexcept>

namespace shearpin::ledger {
namespace {

constexpr const char* kEntries =
    "SELECT id, kind, happened, recorded, note FROM entry WHERE id BETWEEN ?1 AND ?2";
constexpr const char* kInsertEntry =
    "INSERT INTO entry (uuid, written, recorded, happened, kind, who, note, batch, reverses, root,"
    " depth, said) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12)";

bool has_new_master(const domain::EntryDraft& draft) {
  for (const domain::MasterLine& line : draft.masters) {
    if (!line.before) return true;
  }
  return false;
}

}  // namespace

EntryId insert_entry(const Database& database, const EntryHead& head) {
  database.query(kInsertEntry)
      .with(head.uuid, head.written, head.recorded, head.happened, head.kind, head.who, head.note,
            head.batch, head.reverses, head.root, head.depth, head.said)
      .run();
  return EntryId{database.last_id()};
}

bool has_fitting_line(const domain::EntryDraft& d) {
  using domain::EntryKind;
  // Only the reversal of an `add` takes things away again.
  if (d.kind != EntryKind::add && has_new_master(d)) return false;
  switch (d.kind) {
    case EntryKind::add:
    case EntryKind::set:
    case EntryKind::retire:
      return !d.masters.empty();
    case EntryKind::policy:
      return !d.policies.empty();
    case EntryKind::fit:
      return !d.fits.empty();
    case EntryKind::fail:
      return !d.ends.empty() || !d.repairs.empty() || !d.opens.empty();
    case EntryKind::renew:
      return !d.ends.empty();
    case EntryKind::use:
      return !d.usages.empty();
    case EntryKind::lose:
      return !d.usages.empty() || !d.ends.empty();
    case EntryKind::receive:
      // Without movements: a table that keeps the lead time of an order told elsewhere as stock.
      return !d.movements.empty() || !d.receipts.empty();
    case EntryKind::scrap:
    case EntryKind::move:
      return !d.movements.empty();
    case EntryKind::test:
      return !d.tests.empty();
    case EntryKind::reading:
      return !d.readings.empty();
    case EntryKind::stay:
      return !d.stays.empty();
    case EntryKind::condition:
      return !d.conditions.empty();
    case EntryKind::fault_open:
    case EntryKind::fault_close:
      return !d.faults.empty();
    case EntryKind::attribute:
      return !d.attributions.empty();
    case EntryKind::order:
      return !d.orders.empty();
    case EntryKind::cancel_order:
      return !d.receipts.empty();
    case EntryKind::count:
      return true;  // a count that agrees with the book moves nothing
    case EntryKind::quarantine:
      return !d.quarantines.empty();
    case EntryKind::trip:
      return !d.trips.empty();
    case EntryKind::undo:
      return false;  // made by undo() alone
  }
  throw std::logic_error("a kind of entry outside the list");
}

const std::vector<LineKind>& line_kinds() {
  static const std::vector<LineKind> kinds = [] {
    std::vector<LineKind> all;
    for (auto* group : {master_kinds, field_kinds, lot_kinds, unit_kinds, store_kinds}) {
      for (LineKind& kind : group()) all.push_back(std::move(kind));
    }
    return all;
  }();
  return kinds;
}

void write_lines(Recording& to) {
  for (const LineKind& kind : line_kinds()) kind.write(to);
  std::vector<Conflict> found;
  check_others(to.ask(), touched_by(to.database, to.draft, to.created), to.draft.happened, found);
  refuse_first(found);
}

std::map<EntryId, EntryLines> read_entries(const Database& database, EntryId low, EntryId high) {
  Reading from{database, low, high};
  Query row = database.query(kEntries);
  row.with(low, high);
  while (row.next()) {
    domain::EntryDraft& draft = from.entries[row.id<EntryTag>()].draft;
    draft.kind = row.word(domain::parse_entry_kind);
    draft.happened = row.date();
    draft.recorded = row.date();
    draft.note = row.text();
  }
  for (const LineKind& kind : line_kinds()) kind.read(from);
  return std::move(from.entries);
}

Touched touched_by(const Database& database, const domain::EntryDraft& draft, const Created& made) {
  Touched touched;
  const auto add_unit = [&](UnitId unit) {
    const domain::FitLine fit = unit_of(database, unit);
    touched.places.insert({fit.position, fit.unit});
  };
  touched.lots.insert(made.lots.begin(), made.lots.end());
  for (const auto& line : draft.movements) {
    const LotId lot = *touched.lots.insert(resolve(made, line.lot)).first;
    for (const domain::Place& place : {line.from, line.to}) {
      if (const auto location = location_of(lot, place)) touched.locations.insert(*location);
    }
  }
  for (const auto& line : draft.quarantines) touched.lots.insert(line.lot);
  for (const auto& line : draft.fits) {
    if (line.lot) touched.lots.insert(resolve(made, *line.lot));
    touched.places.insert({line.position, line.unit});
  }
  for (const auto& line : draft.opens) touched.places.insert({line.position, line.unit});
  for (const auto& line : draft.repairs) add_unit(line.unit);
  for (const auto& line : draft.attributions) add_unit(line.unit);
  touched.faults.insert(made.faults.begin(), made.faults.end());
  for (const auto& line : draft.ends) {
    add_unit(line.unit);
    if (line.fault) touched.faults.insert(*line.fault);
  }
  touched.orders.insert(made.orders.begin(), made.orders.end());
  for (const auto& line : draft.receipts) touched.orders.insert(line.order);
  for (const auto& line : draft.readings) touched.meters.insert(line.meter);
  return touched;
}

void check_places(const Question& ask, const Touched& touched, std::vector<Conflict>& found) {
  for (const auto& [position, unit] : touched.places) check_place(ask, position, unit, found);
}

void check_others(const Question& ask, const Touched& touched, Date day,
                  std::vector<Conflict>& found) {
  for (const LotId lot : touched.lots) check_lot(ask, lot, found);
  for (const OrderId order : touched.orders) {
    check_order(ask, order, found);
    check_order_number(ask, order, found);
  }
  for (const FaultId fault : touched.faults) check_fault(ask, fault, found);
  for (const MeterId meter : touched.meters) check_meter(ask, meter, day, found);
}

void refuse_first(const std::vector<Conflict>& found) {
  if (found.empty()) return;
  std::string what = found.front().what;
  if (what.back() != '.') what += '.';
  throw InputError(what);
}

}  // namespace shearpin::ledger
