#include "scribbler.hpp"

#include <algorithm>

#include "shearpin/base/error.hpp"

namespace shearpin::ledger {

using namespace domain;

Scribbler::Scribbler(World& world, std::uint32_t seed)
    : world_(world), transaction_(world.ledger.begin(stamp_on(World::kToday))), dice_(seed) {
  transaction_.record(world_.receive(world_.p25, 6, world_.b1, "2024-01-10"));
  lots_ = transaction_.created().lots;
  transaction_.record(world_.fit(world_.l05, 4, world_.p25, "2024-01-11"));
  known_.insert({transaction_.created().units.at(0), 4});
  units_.assign(known_.begin(), known_.end());
  EntryDraft order = world_.draft(EntryKind::order, "2024-01-12");
  order.orders.push_back({"", world_.p25, world_.s1, 9, {}, Money{900}, "camp"});
  transaction_.record(order);
  orders_ = transaction_.created().orders;
}

std::string Scribbler::some_day() {
  const int number = 1 + below(28);
  return "2024-02-" + std::string(number < 10 ? "0" : "") + std::to_string(number);
}

void Scribbler::step() {
  const int what = below(40);
  const std::string on = some_day();
  if (what < 16) {
    const EntryDraft entry = of_units(what, on);
    attempt([&] { return transaction_.record(entry); });
  } else if (what < 25) {
    const EntryDraft entry = of_stores(what, on);
    attempt([&] { return transaction_.record(entry, below(5) == 0 ? "batch" : "", what); });
  } else if (what < 34) {
    const EntryDraft entry = of_the_field(what, on);
    attempt([&] { return transaction_.record(entry); });
  } else if (what < 36) {
    const EntryDraft entry = of_masters(on);
    attempt([&] { return transaction_.record(entry); });
  } else if (!entries_.empty()) {
    const EntryId entry = any(entries_);
    attempt([&] { return transaction_.undo(entry, "a slip"); });
  }
}

EntryDraft Scribbler::of_units(int what, const std::string& on) {
  const int unit = 1 + below(4);
  EntryDraft entry = world_.draft(EntryKind::fail, on);
  switch (what) {
    case 0:
    case 1:
    case 2:
    case 3:
      return world_.fit(world_.l05, unit, world_.p25, on);
    case 4:
      entry = world_.fit(world_.l05, unit, world_.p25, on);
      entry.fits.back().stand_in = true;
      entry.fits.back().part.reset();
      entry.fits.back().no_part = "a cork";
      return entry;
    case 5:
    case 6:
    case 7: {
      const auto [id, number] = any(units_);
      return world_.fail(id, world_.l05, number, world_.p25, any(lots_), on);
    }
    case 8:  // taken off while good, kept as a worn spare
      entry = world_.fail_dead(any(units_).first, on);
      entry.kind = EntryKind::renew;
      entry.ends[0].kind = EndKind::renewed;
      entry.lots.push_back({world_.p25, "", {}, {}, LotState::worn, 30.5, {}, false});
      entry.movements.push_back({NewLot{0}, 1, Outside::taken_off, world_.b1});
      return entry;
    case 9:
    case 10:
      entry = world_.fail_dead(any(units_).first, on);
      if (below(3) == 0) entry.ends[0].fault = FaultId{1 + below(3)};
      return entry;
    case 11:
    case 12:
      entry.repairs.push_back({any(units_).first, "loose", below(2) == 0});
      return entry;
    case 13:
      entry.opens.push_back({world_.l05, unit, PlaceState::workaround, "tape"});
      return entry;
    case 14:
      entry.kind = EntryKind::attribute;
      entry.attributions.push_back({"fault-" + std::to_string(below(3)), any(units_).first});
      return entry;
    default:
      entry.kind = EntryKind::test;
      entry.tests.push_back({world_.l05, unit, below(2) == 0, "6 min"});
      return entry;
  }
}

EntryDraft Scribbler::of_stores(int what, const std::string& on) {
  EntryDraft entry = world_.draft(EntryKind::receive, on);
  const LotId lot = any(lots_);
  const int quantity = 1 + below(3);
  switch (what) {
    case 16:
      entry = world_.receive(world_.p25, quantity, world_.b1, on, "VB-07");
      entry.lots[0].made = day("2023-11-30");
      if (below(2) == 0) entry.receipts.push_back({any(orders_), quantity, false});
      return entry;
    case 17:
      return world_.move(lot, quantity, world_.b1, world_.b7, on);
    case 18:
      return world_.use(world_.p25, lot, quantity, some_bin(), on);
    case 19:
      return world_.move(lot, 1, some_bin(), Outside::scrapped, on, EntryKind::scrap);
    case 20:
      entry = world_.move(lot, 1, some_bin(), Outside::lost, on, EntryKind::lose);
      entry.usages.push_back({world_.p25, {}, 1, true});
      return entry;
    case 21:
      return world_.move(lot, quantity, Outside::count_difference, some_bin(), on,
                         EntryKind::count);
    case 22:
      entry.kind = EntryKind::quarantine;
      entry.quarantines.push_back({lot, below(2) == 0});
      return entry;
    case 23:
      entry.kind = EntryKind::order;
      entry.orders.push_back({below(3) == 0 ? "S-" + std::to_string(below(9)) : "",
                              world_.p25,
                              world_.s1,
                              quantity,
                              day("2024-03-01"),
                              {},
                              ""});
      return entry;
    default:
      entry.kind = EntryKind::cancel_order;
      entry.receipts.push_back({any(orders_), 0, true});
      return entry;
  }
}

EntryDraft Scribbler::of_the_field(int what, const std::string& on) {
  EntryDraft entry = world_.draft(EntryKind::stay, on);
  entry.note = "two\nlines";
  entry.recorded = day("2024-03-0" + std::to_string(1 + below(9)));
  switch (what) {
    case 25:
    case 26:
      return world_.reading(world_.km, 100.25 * below(40), on, below(6) == 0);
    case 27:
      entry.stays.push_back({1 + below(5), "Tarrow Lake"});
      entry.readings.push_back({world_.nights, 1.0 * below(90), false});
      return entry;
    case 28:
      entry.kind = EntryKind::condition;
      entry.conditions.push_back({"salt", {}, day(on), {}});
      if (below(2) == 0) entry.conditions[0].to = day("2024-03-01");
      return entry;
    case 29:
    case 30:
      entry.kind = EntryKind::fault_open;
      entry.faults.push_back({"fault-" + std::to_string(below(3)), world_.l05, false, "chafed"});
      return entry;
    case 31:
      entry.kind = EntryKind::fault_close;
      entry.faults.push_back({"fault-" + std::to_string(below(3)), {}, true, "sleeved"});
      return entry;
    case 32:
      entry.kind = EntryKind::policy;
      entry.policies.push_back({"review-days", std::nullopt});
      if (below(3) > 0) entry.policies[0].value = 30 + below(30);
      return entry;
    default: {
      entry.kind = EntryKind::trip;
      TripLine trip{"trip-" + std::to_string(below(2)), "", {}, {}};
      if (below(4) > 0) {
        trip.name = "Out and back";
        trip.legs.push_back({1,
                             day("2026-06-08"),
                             day("2026-06-10"),
                             "out",
                             {{world_.km, 620.5}, {world_.nights, 2}},
                             {"heat", "salt"},
                             true});
        trip.legs.push_back({2, day("2026-06-11"), day("2026-06-12"), "back", {}, {}, false});
        trip.stops.push_back({day("2026-06-10"), "Velkin Crossing", {"all"}, true, 3});
      }
      entry.trips.push_back(trip);
      return entry;
    }
  }
}

/// Things with fields that are left out and fields that are nought, and changes of some.
EntryDraft Scribbler::of_masters(const std::string& on) {
  const Catalogue now = world_.ledger.catalogue();
  EntryDraft entry = world_.draft(EntryKind::add, on);
  if (below(2) == 0) {
    Part part;
    part.key = "q" + std::to_string(below(6));
    part.component_class = world_.fuses;
    if (below(2) == 0) part.price = Money{0};
    if (below(2) == 0) part.mass_g = 0.0;
    entry.masters.push_back({std::nullopt, part});
    entry.masters.push_back(
        {std::nullopt, Substitute{world_.p13, world_.p14, true, {}, false, ""}});
    if (below(2) == 0) entry.masters.pop_back();
    return entry;
  }
  const Part before = any(now.parts);
  Part after = before;
  entry.kind = below(3) == 0 ? EntryKind::retire : EntryKind::set;
  if (entry.kind == EntryKind::retire) {
    after.retired = !after.retired;
  } else {
    after.pack = 1 + below(3);
    if (below(2) == 0) after.price = Money{100 * below(3)};
    if (below(2) == 0) after.home_bin = world_.b1;
    if (below(3) == 0) after.note = "blue";
  }
  entry.masters.push_back({before, after});
  return entry;
}

template <class Work>
void Scribbler::attempt(Work work) {
  const std::size_t before = entries_.size();
  try {
    entries_.push_back(work());
  } catch (const InputError&) {
    ++refused;
    return;
  }
  ++written;
  JournalQuery newest;
  newest.id = entries_[before];
  kinds.insert(world_.ledger.journal(newest).at(0).draft.kind);
  const Created& created = transaction_.created();
  for (const LotId lot : created.lots) {
    if (std::find(lots_.begin(), lots_.end(), lot) == lots_.end()) lots_.push_back(lot);
  }
  for (const OrderId order : created.orders) {
    if (std::find(orders_.begin(), orders_.end(), order) == orders_.end()) orders_.push_back(order);
  }
  for (const UnitLife& life : world_.at("2026-05-25").lives) known_.insert({life.id, life.unit});
  units_.assign(known_.begin(), known_.end());
}

}  // namespace shearpin::ledger
