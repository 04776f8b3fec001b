#include "copy.hpp"

#include <algorithm>
#include <map>

namespace shearpin::ledger {
namespace {

using namespace domain;

/// Numbers of one ledger as those of its copy.
class Naming {
 public:
  void learn(const EntryDraft& draft, const Created& here, const Created& there) {
    for (std::size_t i = 0; i < here.masters.size(); ++i) {
      masters_[draft.masters[i].after.index()][here.masters[i]] = there.masters.at(i);
    }
    add(here.lots, there.lots, lots_);
    add(here.units, there.units, units_);
    add(here.orders, there.orders, orders_);
    add(here.faults, there.faults, faults_);
  }

  EntryDraft translated(EntryDraft draft) const {
    for (auto& line : draft.masters) {
      if (line.before) std::visit([this](auto& thing) { rename(thing); }, *line.before);
      std::visit([this](auto& thing) { rename(thing); }, line.after);
    }
    for (auto& lot : draft.lots) rename(lot.part);
    for (auto& line : draft.movements) {
      rename(line.lot);
      rename(line.from);
      rename(line.to);
    }
    for (auto& line : draft.ends) {
      rename(line.unit);
      rename(line.fault);
    }
    for (auto& line : draft.fits) {
      rename(line.position);
      rename(line.part);
      rename(line.lot);
    }
    for (auto& line : draft.repairs) rename(line.unit);
    for (auto& line : draft.opens) rename(line.position);
    for (auto& line : draft.tests) rename(line.position);
    for (auto& line : draft.readings) rename(line.meter);
    for (auto& line : draft.conditions) rename(line.rig);
    for (auto& line : draft.orders) {
      rename(line.part);
      rename(line.supplier);
    }
    for (auto& line : draft.receipts) rename(line.order);
    for (auto& line : draft.usages) {
      rename(line.part);
      rename(line.position);
    }
    for (auto& line : draft.faults) rename(line.position);
    for (auto& line : draft.attributions) rename(line.unit);
    for (auto& line : draft.quarantines) rename(line.lot);
    for (auto& trip : draft.trips) {
      for (auto& leg : trip.legs) {
        for (auto& use : leg.use) rename(use.first);
      }
    }
    return draft;
  }

 private:
  template <class ThingId>
  static void add(const std::vector<ThingId>& here, const std::vector<ThingId>& there,
                  std::map<ThingId, ThingId>& known) {
    for (std::size_t i = 0; i < here.size(); ++i) known.insert_or_assign(here[i], there.at(i));
  }

  template <class Thing>
  void rename_master(std::int64_t& number) const {
    number = masters_.at(Master(Thing{}).index()).at(number);
  }
  void rename(RigId& id) const { rename_master<Rig>(id.value); }
  void rename(ClassId& id) const { rename_master<ComponentClass>(id.value); }
  void rename(PartId& id) const { rename_master<Part>(id.value); }
  void rename(PositionId& id) const { rename_master<Position>(id.value); }
  void rename(MeterId& id) const { rename_master<Meter>(id.value); }
  void rename(BinId& id) const { rename_master<Bin>(id.value); }
  void rename(SupplierId& id) const { rename_master<Supplier>(id.value); }
  void rename(LotId& id) const { id = lots_.at(id); }
  void rename(UnitId& id) const { id = units_.at(id); }
  void rename(OrderId& id) const { id = orders_.at(id); }
  void rename(FaultId& id) const { id = faults_.at(id); }
  template <class T>
  void rename(std::optional<T>& id) const {
    if (id) rename(*id);
  }
  void rename(LotRef& lot) const {
    if (auto* known = std::get_if<LotId>(&lot)) rename(*known);
  }
  void rename(Place& place) const {
    if (auto* bin = std::get_if<BinId>(&place)) rename(*bin);
    if (auto* position = std::get_if<PositionId>(&place)) rename(*position);
  }
  void rename(Rig&) const {}
  void rename(ComponentClass&) const {}
  void rename(Supplier&) const {}
  void rename(SafetyNote&) const {}
  void rename(Part& part) const {
    rename(part.component_class);
    rename(part.supplier);
    rename(part.home_bin);
  }
  void rename(Substitute& substitute) const {
    rename(substitute.part);
    rename(substitute.stands_for);
    rename(substitute.only);
  }
  void rename(Position& position) const {
    rename(position.rig);
    rename(position.part);
    rename(position.component_class);
    rename(position.meter);
    rename(position.usual_meter);
  }
  void rename(Meter& meter) const { rename(meter.rig); }
  void rename(Bin& bin) const { rename(bin.rig); }

  std::map<std::size_t, std::map<std::int64_t, std::int64_t>> masters_;  // by kind
  std::map<LotId, LotId> lots_;
  std::map<UnitId, UnitId> units_;
  std::map<OrderId, OrderId> orders_;
  std::map<FaultId, FaultId> faults_;
};

}  // namespace

void record_again(const Ledger& from, Ledger& to) {
  std::vector<JournalRow> rows = from.journal({});
  std::reverse(rows.begin(), rows.end());
  Naming naming;
  std::map<EntryId, EntryId> entries;
  constexpr Date kLate = std::chrono::year{2099} / 12 / 31;
  for (auto row = rows.begin(); row != rows.end();) {
    // As many entries of one command as can be: each transaction waits for the disk.
    const JournalRow first = *row;
    const bool undoing = first.reverses.has_value();
    auto transaction = to.begin({first.written, undoing ? first.draft.happened : kLate, first.who});
    while (row != rows.end() && row->written == first.written && row->who == first.who &&
           row->reverses.has_value() == undoing &&
           (!undoing || row->draft.happened == first.draft.happened)) {
      std::vector<EntryId> made;
      if (!undoing) {
        made = {transaction.record(naming.translated(row->draft), row->batch, row->said)};
        naming.learn(row->draft, row->made, transaction.created());
      } else if (row->batch.empty()) {
        made = {transaction.undo(entries.at(*row->reverses), row->draft.note)};
      } else {
        made = transaction.undo_batch(row->batch.substr(5), row->draft.note);  // "undo-" and it
      }
      for (const EntryId entry : made) entries[(row++)->id] = entry;
    }
    transaction.commit();
  }
}

}  // namespace shearpin::ledger
