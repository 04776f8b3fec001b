// What entries of the journal did, in words.

#include "report/entry_text.hpp"

#include <catch2/catch.hpp>

#include "shearpin/base/date.hpp"

using namespace shearpin;
using namespace shearpin::domain;

namespace {

/// A fridge fuse of part p13 and valve stems, a bin, a supplier and a meter; unit 1 is in l21, lot
/// 1 is of p13.
Mentioned known_things() {
  Mentioned all;
  all.catalogue.rigs.push_back({{"truck", "Expedition truck"}, RigId{1}});
  Part part;
  part.key = "p13";
  part.id = {1};
  all.catalogue.parts.push_back(part);
  Position position;
  position.rig = RigId{1};
  position.key = "l21";
  position.name = "Sample fridge fuse 15 A";
  position.id = {1};
  all.catalogue.positions.push_back(position);
  position.key = "l05";
  position.name = "Valve stems";
  position.units = 4;
  position.id = {2};
  all.catalogue.positions.push_back(position);
  all.catalogue.bins.push_back({{"b1", "Door box"}, BinId{1}, RigId{1}});
  all.catalogue.suppliers.push_back({{"s1", ""}, SupplierId{1}});
  all.catalogue.meters.push_back({{"truck-km", "Odometer"}, MeterId{1}, RigId{1}, "mi", {}});
  FitLine fit;
  fit.position = {1};
  all.units[{1}] = fit;
  all.lots[{1}].part = {1};
  all.lots[{1}].batch = "VB-07";
  all.orders[{1}].number = "o7";
  return all;
}

std::string words(const EntryDraft& draft, std::optional<EntryId> reverses = {}) {
  return report::entry_text(draft, reverses, known_things());
}

}  // namespace

TEST_CASE("An entry in words: what was fitted, failed and moved") {
  EntryDraft draft;
  draft.lots.emplace_back().part = {1};
  draft.movements.push_back({NewLot{0}, 5, Outside::supplier, BinId{1}});
  CHECK(words(draft) == "5 x p13 from supplier to b1");
  draft = {};
  EndLine end;
  end.unit = {1};
  end.cause = "overload";
  draft.ends.push_back(end);
  FitLine fit;
  fit.position = {1};
  fit.part = PartId{1};
  draft.fits.push_back(fit);
  draft.movements.push_back({LotId{1}, 1, BinId{1}, PositionId{1}});
  CHECK(words(draft) ==
        "failed: Sample fridge fuse 15 A (l21) unit 1, cause overload; fitted: Sample fridge fuse "
        "15 A (l21) unit 1, p13; 1 x p13 from b1 to l21");
  draft = {};
  end.kind = EndKind::stand_in_removed;
  end.left = PlaceState::workaround;
  end.note = "ice box";
  draft.ends.push_back(end);
  draft.repairs.push_back({{1}, "loose", false});
  draft.opens.push_back({{2}, 3, PlaceState::dead, ""});
  CHECK(words(draft) ==
        "stand-in taken out: Sample fridge fuse 15 A (l21) unit 1, cause overload, on a workaround:"
        " ice box; repaired in place: Sample fridge fuse 15 A (l21) unit 1, cause loose; dead: "
        "Valve stems (l05) unit 3");
}

TEST_CASE("An entry in words: lines of the field and of the stores") {
  EntryDraft draft;
  draft.orders.push_back({"o1", {1}, {1}, 5, {}, {}, ""});
  draft.receipts.push_back({{1}, 2, true});
  draft.quarantines.push_back({{1}, true});
  CHECK(words(draft) ==
        "o1: 5 x p13 from s1; 2 of order o7; order o7 cancelled; p13, batch VB-07 set aside");
  draft = {};
  draft.tests.push_back({{2}, 2, false, "6 min"});
  draft.stays.push_back({3, "Tarrow Lake"});
  draft.readings.push_back({{1}, 167800, true});
  CHECK(
      words(draft) ==
      "test FAILED: Valve stems (l05) unit 2, 6 min; stayed 3 nights, Tarrow Lake; truck-km reads "
      "167800 km, meter replaced");
  draft = {};
  draft.conditions.push_back({"salt", {}, parse_date("2024-02-01", {}), {}});
  draft.faults.push_back({"feed", PositionId{1}, true, ""});
  draft.attributions.push_back({"feed", {1}});
  draft.trips.push_back({"june", "", {}, {}});
  draft.trips.push_back({"july", "July round", {{}, {}}, {}});
  CHECK(words(draft) ==
        "salt on all rigs from 2024-02-01 on; fault feed closed at Sample fridge fuse 15 A (l21); "
        "failure at Sample fridge fuse 15 A (l21) unit 1 put down to fault feed; trip june removed;"
        " trip july of 2 legs");
  draft = {};
  draft.usages.push_back({{}, PositionId{2}, 1, true});
  draft.policies.push_back({"review-days", 45.0});
  CHECK(words(draft) == "review-days = 45; lost: 1 x a unit at Valve stems (l05)");
}

TEST_CASE("An entry in words: master data added and changed, and what an undo took back") {
  EntryDraft draft;
  for (int i = 0; i < 9; ++i) {
    draft.masters.push_back({std::nullopt, Bin{{"c" + std::to_string(i), ""}, {}, {}}});
  }
  CHECK(words(draft) == "bin c0 added; bin c1 added; bin c2 added; bin c3 added; and 5 more");
  draft = {};
  draft.masters.push_back({std::nullopt, Substitute{{1}, {1}, false, {}, true, ""}});
  CHECK(words(draft) == "p13 must never stand in for p13");
  const Meter before = known_things().catalogue.meters[0];
  Meter after = before;
  after.unit = "h";
  after.usual_per_day = 1.5;
  draft.masters = {{before, after}};
  CHECK(words(draft) == "meter truck-km: unit mi -> h; meter truck-km: usual (none) -> 1.5 a day");
  const Part was = known_things().catalogue.parts[0];
  Part is = was;
  is.price = Money{60};
  is.mass_g = 80;
  is.pack = 5;
  is.shelf_life_days = 3652.5;
  is.home_bin = BinId{1};
  is.retired = true;
  draft.masters = {{was, is}};
  CHECK(words(draft, EntryId{12}) ==
        "took back entry 12; part p13: price (none) -> 0.60; part p13: mass (none) -> 80 g; "
        "part p13: pack 1 -> 5; part p13: shelf-life (none) -> 3652.5 days; and 2 more");
  is = was;
  is.home_bin = BinId{1};
  is.retired = true;
  draft.masters = {{was, is}};
  CHECK(words(draft) == "part p13: home-bin (none) -> b1; part p13 retired");
}
