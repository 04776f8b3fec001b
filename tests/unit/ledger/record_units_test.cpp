// Lives of units and the places left open.

#include <catch2/catch.hpp>

#include "world.hpp"

namespace shearpin::ledger {

using namespace domain;

TEST_CASE("A life is read back from its fit to its end") {
  World world;
  EntryDraft fit = world.fit(world.l05, 3, world.p25, "2024-04-20");
  fit.fits[0].age = 12.5;
  fit.fits[0].made = day("2023-01-01");
  fit.fits[0].marked_end = day("2030-01-01");
  const EntryId fitted = world.record(fit);
  const UnitId unit = world.made.units.at(0);
  EntryDraft end = world.draft(EntryKind::fail, "2024-05-14");
  EndLine line;
  line.unit = unit;
  line.kind = EndKind::failed_on_test;
  line.last_good = day("2024-05-01");
  line.test_date = day("2024-05-13");
  line.cause = "random";
  end.ends.push_back(line);
  const EntryId ended = world.record(end);

  const Snapshot now = world.at("2024-05-14");
  REQUIRE(now.lives.size() == 1);
  const UnitLife& life = now.lives[0];
  CHECK(life.id == unit);
  CHECK(life.position == world.l05);
  CHECK(life.unit == 3);
  CHECK(life.part == world.p25);
  CHECK(life.fitted == day("2024-04-20"));
  CHECK(life.age_at_fit == 12.5);
  CHECK(life.marked_end == day("2030-01-01"));
  CHECK(life.entry == fitted);
  REQUIRE(life.end);
  CHECK(life.end->date == day("2024-05-14"));
  CHECK(life.end->kind == EndKind::failed_on_test);
  CHECK(life.end->last_good == day("2024-05-01"));
  CHECK(life.end->test_date == day("2024-05-13"));
  CHECK(life.end->cause == "random");
  CHECK(life.end->entry == ended);
  // A life whose end happened later appears without it.
  CHECK_FALSE(world.at("2024-05-13").lives.at(0).end);
  CHECK(world.at("2024-04-19").lives.empty());
}

TEST_CASE("Every kind of end and every state left is stored by its own word") {
  World world;
  int month = 1;
  for (const EndKind kind : {EndKind::failed, EndKind::failed_on_test, EndKind::renewed,
                             EndKind::expired, EndKind::lost, EndKind::stand_in_removed}) {
    const std::string at = "2024-0" + std::to_string(month++) + "-01";
    world.record(world.fit(world.l21, 1, world.p13, at));
    EntryDraft end = world.draft(EntryKind::renew, at);
    EndLine line;
    line.unit = world.made.units.at(0);
    line.kind = kind;
    end.ends.push_back(line);
    world.record(end);
    CHECK(world.at(at).lives.back().end->kind == kind);
  }
  for (const PlaceState state :
       {PlaceState::dead, PlaceState::workaround, PlaceState::stand_in, PlaceState::empty}) {
    EntryDraft open = world.draft(EntryKind::fail, "2024-08-01");
    open.opens.push_back({world.l21, 1, state, "so"});
    world.record(open);
    CHECK(world.at("2024-08-01").open_places.at(0).state == state);
  }
}

TEST_CASE("A failure with a spare closes one life and begins the next") {
  World world;
  world.record(world.receive(world.p13, 2, world.b1, "2024-05-01"));
  const LotId lot = world.made.lots.at(0);
  world.record(world.fit(world.l21, 1, world.p13, "2023-04-10"));
  world.record(world.fail(world.made.units.at(0), world.l21, 1, world.p13, lot, "2024-05-28"));
  const Snapshot now = world.at("2024-05-28");
  REQUIRE(now.lives.size() == 2);
  CHECK(now.lives[0].end->date == day("2024-05-28"));
  CHECK(now.lives[1].fitted == day("2024-05-28"));
  CHECK(now.lives[1].lot == lot);
  CHECK_FALSE(now.lives[1].end);
  CHECK(now.open_places.empty());
  CHECK(now.stock.at(0).quantity == 1);
  CHECK(now.first_day == day("2023-04-01"));
}

TEST_CASE("A place stays open from its failure until something sound is fitted") {
  World world;
  world.record(world.fit(world.l21, 1, world.p13, "2024-01-01"));
  world.record(world.fail_dead(world.made.units.at(0), "2024-07-19"));
  EntryDraft around = world.draft(EntryKind::fail, "2024-07-21");
  around.opens.push_back({world.l21, 1, PlaceState::workaround, "ice box"});
  world.record(around);
  EntryDraft stand_in = world.draft(EntryKind::fit, "2024-07-25");
  FitLine bolt;
  bolt.position = world.l21;
  bolt.no_part = "plain bolt";
  bolt.stand_in = true;
  stand_in.fits.push_back(bolt);
  world.record(stand_in);
  const UnitId stop_gap = world.made.units.at(0);
  EntryDraft sound = world.fit(world.l21, 1, world.p13, "2024-07-31");
  EndLine out;
  out.unit = stop_gap;
  out.kind = EndKind::stand_in_removed;
  sound.ends.push_back(out);
  world.record(sound);

  CHECK(world.at("2024-07-18").open_places.empty());
  const auto open_on = [&world](std::string_view date) {
    const Snapshot then = world.at(date);
    REQUIRE(then.open_places.size() == 1);
    CHECK(then.open_places[0].position == world.l21);
    CHECK(then.open_places[0].unit == 1);
    CHECK(then.open_places[0].since == day("2024-07-19"));
    return then.open_places[0];
  };
  CHECK(open_on("2024-07-20").state == PlaceState::dead);
  CHECK(open_on("2024-07-20").note == "no spare aboard");
  CHECK(open_on("2024-07-22").state == PlaceState::workaround);
  CHECK(open_on("2024-07-22").note == "ice box");
  CHECK(open_on("2024-07-30").state == PlaceState::stand_in);
  CHECK(open_on("2024-07-30").note == "plain bolt");
  CHECK(world.at("2024-07-31").open_places.empty());
  const Snapshot now = world.at("2024-07-31");
  REQUIRE(now.lives.size() == 3);
  CHECK(now.lives[1].stand_in);
  CHECK_FALSE(now.lives[1].part);
  CHECK(now.lives[1].no_part == "plain bolt");
}

TEST_CASE("Mends keep the same unit, with and without a part") {
  World world;
  world.record(world.fit(world.l21, 1, world.p13, "2024-01-01"));
  const UnitId unit = world.made.units.at(0);
  for (const bool took : {false, true}) {
    EntryDraft repair = world.draft(EntryKind::fail, took ? "2024-03-01" : "2024-02-01");
    repair.repairs.push_back({unit, "loose", took});
    world.record(repair);
  }
  const UnitLife life = world.at("2024-12-31").lives.at(0);
  CHECK(life.repairs == std::vector<Date>{day("2024-02-01"), day("2024-03-01")});
  CHECK(life.repair_took_part == std::vector<bool>{false, true});
  CHECK_FALSE(life.end);
  CHECK(world.at("2024-02-15").lives.at(0).repairs.size() == 1);
}

TEST_CASE("A failure is put down to a fault at once or later") {
  World world;
  EntryDraft open = world.draft(EntryKind::fault_open, "2024-05-20");
  open.faults.push_back({"chafed-feed", world.l21, false, ""});
  world.record(open);
  const FaultId fault = world.made.faults.at(0);
  world.record(world.fit(world.l21, 1, world.p13, "2024-05-21"));
  EntryDraft at_once = world.fail_dead(world.made.units.at(0), "2024-05-28");
  at_once.ends[0].fault = fault;
  world.record(at_once);
  world.record(world.fit(world.l21, 1, world.p13, "2024-05-29"));
  const UnitId second = world.made.units.at(0);
  world.record(world.fail_dead(second, "2024-06-05"));
  EntryDraft later = world.draft(EntryKind::attribute, "2024-06-20");
  later.attributions.push_back({"chafed-feed", second});
  world.record(later);
  EntryDraft close = world.draft(EntryKind::fault_close, "2024-07-14");
  close.faults.push_back({"chafed-feed", {}, true, ""});
  world.record(close);

  const Snapshot now = world.at("2024-07-14");
  CHECK(now.lives.at(0).end->fault == fault);
  CHECK(now.lives.at(1).end->fault == fault);
  REQUIRE(now.faults.size() == 1);
  CHECK(now.faults[0].key == "chafed-feed");
  CHECK(now.faults[0].position == world.l21);
  CHECK(now.faults[0].opened == day("2024-05-20"));
  CHECK(now.faults[0].closed == day("2024-07-14"));
  const Snapshot before = world.at("2024-06-10");
  CHECK_FALSE(before.lives.at(1).end->fault);
  CHECK_FALSE(before.faults.at(0).closed);
}

TEST_CASE("Tests keep their day, unit and outcome") {
  World world;
  EntryDraft all = world.draft(EntryKind::test, "2024-04-12");
  all.tests.push_back({world.l05, std::nullopt, true, ""});
  world.record(all);
  EntryDraft one = world.draft(EntryKind::test, "2023-09-02");
  one.tests.push_back({world.l05, 2, false, "6 min"});
  world.record(one);
  const Snapshot now = world.at("2024-12-31");
  REQUIRE(now.tests.size() == 2);
  CHECK(now.tests[0].date == day("2023-09-02"));
  CHECK(now.tests[0].unit == 2);
  CHECK_FALSE(now.tests[0].passed);
  CHECK(now.tests[0].reading == "6 min");
  CHECK_FALSE(now.tests[1].unit);
  CHECK(now.tests[1].passed);
}

TEST_CASE("Two failures on one day keep their order") {
  World world;
  world.record(world.receive(world.p13, 5, world.b1, "2024-01-01"));
  const LotId lot = world.made.lots.at(0);
  world.record(world.fit(world.l21, 1, world.p13, "2024-05-01"));
  for (int i = 0; i < 3; ++i) {
    world.record(world.fail(world.made.units.at(0), world.l21, 1, world.p13, lot, "2024-05-01"));
  }
  const Snapshot now = world.at("2024-05-01");
  REQUIRE(now.lives.size() == 4);
  CHECK_FALSE(now.lives[3].end);
  CHECK(now.open_places.empty());
  CHECK(world.ledger.verify().findings.empty());
}

}  // namespace shearpin::ledger
