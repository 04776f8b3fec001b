#include "ledger/record.hpp"

#include <stdexcept>

#include "ledger/names.hpp"

namespace shearpin::ledger {
namespace {

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

void Recorder::write() {
  write_masters();
  write_policies();
  write_lots();
  write_faults();
  write_ends();
  write_fits();
  write_repairs();
  write_opens();
  write_attributions();
  // Before the pieces move: what a unit takes with it when it ends twice is not there to be moved.
  std::vector<Conflict> found;
  for (const auto& [position, unit] : places_) {
    check_place({database_, EntryId{0}, entry_}, position, unit, found);
  }
  refuse_first(found);
  write_movements();
  write_usages();
  write_quarantines();
  write_orders();
  write_receipts();
  write_tests();
  write_readings();
  write_stays();
  write_conditions();
  write_trips();
  check_touched();
}

void Recorder::check_touched() {
  const Question ask{database_, EntryId{0}, entry_};
  std::vector<Conflict> found;
  for (const LotId lot : lots_) check_lot(ask, lot, found);
  for (const OrderId order : orders_) {
    check_order(ask, order, found);
    check_order_number(ask, order, found);
  }
  for (const FaultId fault : faults_) check_fault(ask, fault, found);
  for (const MeterId meter : meters_) check_meter(ask, meter, draft_.happened, found);
  refuse_first(found);
}

void Recorder::refuse_first(const std::vector<Conflict>& found) const {
  if (found.empty()) return;
  std::string what = found.front().what;
  if (what.back() != '.') what += '.';
  throw InputError(what);
}

}  // namespace shearpin::ledger
