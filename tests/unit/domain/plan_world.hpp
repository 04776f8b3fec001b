#pragma once
/// The small rig that the tests of plans share, after the invented scenario of the demo.

#include <map>

#include "domain/plan.hpp"
#include "snapshot_builder.hpp"

namespace shearpin::domain::testing {

inline const Date kFitted = day(2023, 4, 10);
inline const Date kToday = day(2026, 5, 25);

/// Bins b1 and b4 aboard, b7 ashore; fuses p12 10 A, p13 15 A, p14 20 A; valve stems p25 (metal p26
/// may stand in); breakaway switch p30 (hidden class); gas hose p39 (dated class); cells p44.
/// Positions: l21 one fuse p13, l05 four stems p25, l12 switch p30, l25 hose p39, l31 one device
/// that takes six cells p44, t12 a spring of no part number.
inline SnapshotBuilder field_rig() {
  SnapshotBuilder rig;
  rig.add_bin("b1");
  rig.add_bin("b4");
  rig.add_bin("b7", true);
  rig.add_class("blade-fuse-mid").workaround = "borrow the same rating";
  rig.add_class("valve-stem");
  ComponentClass& breakaway = rig.add_class("breakaway-switch");
  breakaway.hidden = true;
  breakaway.severity = Severity::safety;
  ComponentClass& hose = rig.add_class("lp-hose");
  hose.dated = true;
  hose.shelf_life_days = 1826.25;  // five years of 365.25 days: common practice, no source
  rig.add_class("cell-coin").shelf_life_days = 3652.5;
  rig.add_class("leaf-spring");
  rig.add_part("p12", "blade-fuse-mid").rating_ampere = 10;
  rig.add_part("p13", "blade-fuse-mid").rating_ampere = 15;
  rig.add_part("p14", "blade-fuse-mid").rating_ampere = 20;
  rig.add_part("p25", "valve-stem");
  rig.add_part("p26", "valve-stem");
  rig.add_part("p30", "breakaway-switch");
  rig.add_part("p39", "lp-hose");
  rig.add_part("p44", "cell-coin");
  rig.add_substitute("p26", "p25");
  rig.add_position("l21", "p13");
  rig.add_position("l05", "p25", 4).workaround = "spare wheel";
  rig.add_position("l12", "p30").workaround = "none";
  rig.add_position("l25", "p39");
  rig.add_position("l31", "p44").pieces = 6;
  rig.add_position("t12", "").workaround = "block and chain";
  return rig;
}

inline When when(Date on, std::string note = {}) {
  return {on, day(2026, 5, 25), {}, std::move(note)};
}

/// Pieces that the entries take out of (negative) or put into each bin, by key; what every plan
/// must agree with. Fails the test run by an exception where a line moves nothing or goes nowhere.
inline std::map<std::string, std::int64_t> bin_changes(const Plan& plan, const Snapshot& now) {
  std::map<std::string, std::int64_t> changes;
  for (const EntryDraft& entry : plan.entries) {
    for (const MovementLine& line : entry.movements) {
      if (line.quantity <= 0 || line.from == line.to) {
        throw std::logic_error("a movement of nothing or to where it lies");
      }
      if (const auto* from = std::get_if<BinId>(&line.from)) {
        changes[now.catalogue->at(*from).key] -= line.quantity;
      }
      if (const auto* to = std::get_if<BinId>(&line.to)) {
        changes[now.catalogue->at(*to).key] += line.quantity;
      }
    }
  }
  return changes;
}

/// Pieces that go from one kind of place to an outside place.
inline std::int64_t moved_to(const EntryDraft& entry, Outside where_to) {
  std::int64_t pieces = 0;
  for (const MovementLine& line : entry.movements) {
    pieces += line.to == Place{where_to} ? line.quantity : 0;
  }
  return pieces;
}

}  // namespace shearpin::domain::testing
