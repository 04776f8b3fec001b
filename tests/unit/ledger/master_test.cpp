// Master data: added, changed, taken back.

#include <catch2/catch.hpp>

#include "shearpin/base/error.hpp"
#include "world.hpp"

namespace shearpin::ledger {

using namespace domain;
using Catch::Matchers::Contains;

namespace {

EntryDraft adding(const World& world, Master thing) {
  EntryDraft entry = world.draft(EntryKind::add, "2024-01-01");
  entry.masters.push_back({std::nullopt, std::move(thing)});
  return entry;
}

EntryDraft setting(const World& world, Master before, Master after,
                   EntryKind kind = EntryKind::set) {
  EntryDraft entry = world.draft(kind, "2024-01-02");
  entry.masters.push_back({std::move(before), std::move(after)});
  return entry;
}

template <class Thing>
Thing find(const std::vector<Thing>& things, std::string_view key) {
  for (const Thing& thing : things) {
    if (thing.key == key) return thing;
  }
  FAIL("there is no " << key);
  return {};
}

template <class Thing>
bool has(const std::vector<Thing>& things, std::string_view key) {
  for (const Thing& thing : things) {
    if (thing.key == key) return true;
  }
  return false;
}

}  // namespace

TEST_CASE("Every field of every kind of master data is read back") {
  World world;
  EntryDraft entry = world.draft(EntryKind::add, "2024-01-01");
  const auto add = [&entry](Master thing) { entry.masters.push_back({std::nullopt, thing}); };
  SafetyNote note{"fuses", "when a fuse is chosen", "A fuse guards the wire."};
  add(note);
  ComponentClass kind;
  kind.key = "co-alarm";
  kind.name = "Carbon monoxide alarm";
  kind.system = "safety";
  kind.failure_modes = {"expired", "random"};
  kind.basis = Basis::nights;
  kind.usual_per_day = 0.25;
  kind.life_median = 2555;
  kind.life_low = 1825;
  kind.life_high = 3650.5;
  kind.shape = 2.5;
  kind.severity = Severity::safety;
  kind.hidden = true;
  kind.test_interval_days = 30;
  kind.resupply = Resupply::hardware_store;
  kind.shelf_life_days = 3652.5;
  kind.dated = true;
  kind.mass_g = 210;
  kind.volume_ml = 400.25;
  kind.price = Money{4400};
  kind.sensitivity = {{"freezing", 1.2}, {"humid", 1.05}};
  kind.workaround = "none";
  kind.safety_note = "fuses";
  kind.basis_note = "common practice";
  kind.consumed = true;
  add(kind);
  world.record(entry);
  CHECK(world.made.masters.size() == 2);
  ComponentClass stored = find(world.ledger.catalogue().classes, "co-alarm");
  kind.id = stored.id;
  CHECK(stored == kind);
  CHECK(world.ledger.catalogue().safety_notes.at(0) == note);

  Supplier supplier{{"s4", "Axle mail order", true}, {}, SupplierKind::parcel};
  world.record(adding(world, supplier));
  supplier.id = {world.made.masters.at(0)};
  CHECK(find(world.ledger.catalogue().suppliers, "s4") == supplier);

  Bin bin{{"carrier", "Wheel carrier"}, {}, world.rig, false, true};
  world.record(adding(world, bin));
  bin.id = {world.made.masters.at(0)};
  CHECK(find(world.ledger.catalogue().bins, "carrier") == bin);

  Part part;
  part.key = "p22";
  part.name = "Alarm, sealed";
  part.component_class = stored.id;
  part.price = Money{4999};
  part.mass_g = 210.5;
  part.volume_ml = 350;
  part.pack = 5;
  part.shelf_life_days = 100;
  part.supplier = supplier.id;
  part.resupply = Resupply::specialist;
  part.rating_ampere = 7.5;
  part.home_bin = bin.id;
  part.note = "dated";
  world.record(adding(world, part));
  part.id = {world.made.masters.at(0)};
  CHECK(find(world.ledger.catalogue().parts, "p22") == part);

  Meter meter{{"winch", "Winch"}, {}, world.rig, "cycles", 1.5};
  world.record(adding(world, meter));
  meter.id = {world.made.masters.at(0)};
  CHECK(find(world.ledger.catalogue().meters, "winch") == meter);

  Position position;
  position.key = "t27";
  position.name = "Alarm over the bed";
  position.rig = world.rig;
  position.component_class = stored.id;
  position.units = 2;
  position.pieces = 6;
  position.severity = Severity::nuisance;
  position.meter = meter.id;
  position.usual_per_day = 0.5;
  position.usual_meter = world.nights;
  position.workaround = "window open";
  position.place = "living box";
  position.nicknames = {"beeper", "canary"};
  position.cost_of_day = Money{15000};
  world.record(adding(world, position));
  position.id = {world.made.masters.at(0)};
  CHECK(find(world.ledger.catalogue().positions, "t27") == position);

  Substitute substitute{world.p14, world.p13, true, world.l21, true, "larger"};
  world.record(adding(world, substitute));
  CHECK(world.ledger.catalogue().substitutes.at(0) == substitute);
  Rig rig{{"trailer", "Lab trailer", true}, {}};
  world.record(adding(world, rig));
  rig.id = {world.made.masters.at(0)};
  CHECK(find(world.ledger.catalogue().rigs, "trailer") == rig);
  CHECK(world.ledger.verify().findings.empty());
}

TEST_CASE("A taken key is refused, for a rename too") {
  World world;
  CHECK_THAT(world.refusal(adding(world, Bin{{"b1", "x"}, {}, {}})),
             Contains("bin b1 is there already"));
  const Bin b7 = find(world.ledger.catalogue().bins, "b7");
  Bin renamed = b7;
  renamed.key = "b1";
  CHECK_THAT(world.refusal(setting(world, b7, renamed)), Contains("bin b1 is there already"));
}

TEST_CASE("A change is written with old and new value and taken back to the old") {
  World world;
  const Bin before = find(world.ledger.catalogue().bins, "b7");
  Bin after = before;
  after.key = "shed";
  after.name = "Shed, upper shelf";
  after.ashore = false;
  const EntryId set = world.record(setting(world, before, after));
  CHECK(find(world.ledger.catalogue().bins, "shed") == after);
  RawFile file(world.path());
  CHECK(file.rows("SELECT field, old, new FROM change WHERE added = 0 ORDER BY id") ==
        std::vector<std::string>{"key|b7|shed", "name|Shed shelf|Shed, upper shelf", "ashore|1|0"});
  const EntryId undone = world.undo(set);
  CHECK(find(world.ledger.catalogue().bins, "b7") == before);
  CHECK(file.one("SELECT count(*) FROM change WHERE added = 0") == "6");
  world.undo(undone);
  CHECK(find(world.ledger.catalogue().bins, "shed") == after);
  CHECK(world.ledger.verify().findings.empty());
}

TEST_CASE("A change that changes nothing, or starts from old values, is refused") {
  World world;
  const Bin b7 = find(world.ledger.catalogue().bins, "b7");
  CHECK_THAT(world.refusal(setting(world, b7, b7)), Contains("has these values already"));
  Bin stale = b7;
  stale.name = "Something else";
  CHECK_THAT(world.refusal(setting(world, stale, b7)), Contains("changed by somebody else"));
}

TEST_CASE("A change is not taken back under a later one of the same field") {
  World world;
  Bin first = find(world.ledger.catalogue().bins, "b7");
  Bin second = first;
  second.name = "Two";
  Bin third = second;
  third.name = "Three";
  Bin aside = third;
  aside.ashore = false;
  const EntryId one = world.record(setting(world, first, second));
  const EntryId two = world.record(setting(world, second, third));
  const EntryId other = world.record(setting(world, third, aside));
  const std::string refusal = world.undo_refusal(one);
  CHECK_THAT(refusal, Contains(entry_words(two)));
  CHECK_THAT(refusal, !Contains(entry_words(other)));  // another field
  world.undo(two);
  world.undo(one);
  const Bin now = find(world.ledger.catalogue().bins, "b7");
  CHECK(now.name == "Shed shelf");
  CHECK_FALSE(now.ashore);
  CHECK(world.ledger.verify().findings.empty());
}

TEST_CASE("Taking an adding back frees the key, and it comes back only while that is free") {
  World world;
  const EntryId added = world.record(adding(world, Bin{{"b9", "First"}, {}, {}}));
  const EntryId gone = world.undo(added);
  CHECK_FALSE(has(world.ledger.catalogue().bins, "b9"));
  const EntryId again = world.record(adding(world, Bin{{"b9", "Second"}, {}, {}}));
  CHECK(find(world.ledger.catalogue().bins, "b9").name == "Second");
  CHECK_THAT(world.undo_refusal(gone), Contains("a key it needs is in use"));
  world.undo(again);
  world.undo(gone);
  CHECK(find(world.ledger.catalogue().bins, "b9").name == "First");
  CHECK(world.ledger.verify().findings.empty());
}

TEST_CASE("An adding is not taken back while lines or other things refer to it") {
  World world;
  const EntryId added = world.record(adding(world, Bin{{"b9", "Nine"}, {}, {}}));
  const BinId b9{world.made.masters.at(0)};
  const EntryId received = world.record(world.receive(world.p13, 1, b9, "2024-05-01"));
  CHECK_THAT(world.undo_refusal(added), Contains(entry_words(received)));
  world.undo(received);
  Part part = find(world.ledger.catalogue().parts, "p13");
  Part homed = part;
  homed.home_bin = b9;
  const EntryId set = world.record(setting(world, part, homed));
  CHECK_THAT(world.undo_refusal(added), Contains(entry_words(set)));
  world.undo(set);
  world.undo(added);
  // The set cannot come back to a bin that is gone.
  CHECK_THAT(world.undo_refusal(EntryId{set.value + 1}), Contains("bin b9"));
  CHECK_THAT(world.refusal(setting(world, part, homed)), Contains("is not in the ledger any more"));
}

TEST_CASE("Each kind of master data is held by what refers to it") {
  World world;
  // Added in World in this order, an entry each: rig, class, p13, p14, p25, l21, l05, b1, ...
  const auto depends = [&world](std::int64_t entry, EntryId on) {
    CHECK_THAT(world.undo_refusal(EntryId{entry}), Contains(entry_words(on)));
  };
  depends(1, EntryId{6});  // rig: a position stands on it
  depends(2, EntryId{3});  // class: a part is of it
  depends(3, EntryId{6});  // part: a position calls for it
  const EntryId fitted = world.record(world.fit(world.l05, 1, world.p25, "2024-05-01"));
  depends(7, fitted);  // position: a unit is fitted there
  const EntryId read = world.record(world.reading(world.km, 5, "2024-05-01"));
  depends(11, read);
  EntryDraft order = world.draft(EntryKind::order, "2024-05-01");
  order.orders.push_back({"", world.p14, world.s1, 1, {}, {}, ""});
  const EntryId ordered = world.record(order);
  depends(10, ordered);
  depends(4, ordered);
  const EntryId note = world.record(adding(world, SafetyNote{"fuses", "", "x"}));
  ComponentClass fuse = find(world.ledger.catalogue().classes, "blade-fuse-mid");
  ComponentClass noted = fuse;
  noted.safety_note = "fuses";
  const EntryId set = world.record(setting(world, fuse, noted));
  depends(note.value, set);
  depends(2, set);  // a later change of it
}

TEST_CASE("A thing is retired and brought into use again") {
  World world;
  const Bin before = find(world.ledger.catalogue().bins, "b7");
  Bin after = before;
  after.retired = true;
  const EntryId retired = world.record(setting(world, before, after, EntryKind::retire));
  CHECK(find(world.ledger.catalogue().bins, "b7").retired);
  world.undo(retired);
  CHECK_FALSE(find(world.ledger.catalogue().bins, "b7").retired);
}

TEST_CASE("A class names a safety note that is there") {
  World world;
  ComponentClass kind;
  kind.key = "lp-hose";
  kind.safety_note = "gas";
  CHECK_THAT(world.refusal(adding(world, kind)), Contains("no safety note \"gas\""));
}

TEST_CASE("Substitutes are changed and taken back by their three parts") {
  World world;
  const Substitute before{world.p14, world.p13, false, {}, false, ""};
  const EntryId added = world.record(adding(world, before));
  CHECK_THAT(world.refusal(adding(world, before)), Contains("p14 for p13 is there already"));
  Substitute elsewhere = before;
  elsewhere.only = world.l21;
  world.record(adding(world, elsewhere));
  Substitute after = before;
  after.forbidden = true;
  const EntryId set = world.record(setting(world, before, after));
  CHECK(world.ledger.catalogue().substitutes.at(0).forbidden);
  CHECK_THAT(world.undo_refusal(added), Contains(entry_words(set)));
  world.undo(set);
  world.undo(added);
  CHECK(world.ledger.catalogue().substitutes.size() == 1);
}

}  // namespace shearpin::ledger
