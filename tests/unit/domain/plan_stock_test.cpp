// Used, lost, scrapped, moved, counted.

#include "domain/plan_stock.hpp"

#include <catch2/catch.hpp>

#include "plan_world.hpp"
#include "shearpin/base/error.hpp"

using namespace shearpin;
using namespace shearpin::domain;
using namespace shearpin::domain::testing;
using Catch::Matchers::Contains;
using Changes = std::map<std::string, std::int64_t>;

namespace {

PiecesRequest pieces(const SnapshotBuilder& rig, const std::string& part, std::int64_t number) {
  PiecesRequest request;
  request.when = when(kToday, "remark");
  request.part = rig.part(part);
  request.pieces = number;
  return request;
}

CountRequest counting(const SnapshotBuilder& rig, std::int64_t number) {
  CountRequest request;
  request.when = when(kToday);
  request.part = rig.part("p12");
  request.pieces = number;
  request.in = rig.bin("b1");
  return request;
}

}  // namespace

TEST_CASE("Pieces used are consumed, first to expire first, over several bins") {
  SnapshotBuilder rig = field_rig();
  rig.add_stock("p44", "b1", 4);
  rig.add_stock("p44", "b4", 2).ends = day(2027, 1, 1);
  PiecesRequest request = pieces(rig, "p44", 3);
  request.position = rig.position("l31");
  const Plan plan = plan_use(rig.build(), request);
  const EntryDraft& entry = plan.entries.front();
  CHECK(entry.kind == EntryKind::use);
  CHECK(entry.note == "remark");
  CHECK(bin_changes(plan, rig.build()) == Changes{{"b1", -1}, {"b4", -2}});
  CHECK(moved_to(entry, Outside::consumed) == 3);
  REQUIRE(entry.usages.size() == 1);
  CHECK(entry.usages[0].quantity == 3);
  CHECK_FALSE(entry.usages[0].lost);
  CHECK(entry.usages[0].position == rig.position("l31"));
  CHECK(plan.outcome.left_aboard == 3);
  CHECK(plan.outcome.chosen_why == "first to expire");
}

TEST_CASE("More than is aboard is refused with what there is") {
  SnapshotBuilder rig = field_rig();
  rig.add_stock("p13", "b1", 2);
  rig.add_stock("p13", "b7", 5);
  REQUIRE_THROWS_WITH(
      plan_use(rig.build(), pieces(rig, "p13", 3)),
      Contains("2 of p13 are sound and aboard, 3 asked") && Contains("5 ashore in b7"));
  PiecesRequest request = pieces(rig, "p13", 3);
  request.from = rig.bin("b1");
  REQUIRE_THROWS_WITH(plan_use(rig.build(), request), Contains("b1 holds 2 of p13, 3 asked"));
  request.from = rig.bin("b7");
  CHECK(bin_changes(plan_use(rig.build(), request), rig.build()) == Changes{{"b7", -3}});
  REQUIRE_THROWS_AS(plan_use(rig.build(), pieces(rig, "p13", 0)), InputError);
  REQUIRE_THROWS_AS(plan_use(rig.build(), pieces(rig, "p13", 1'000'001)), InputError);
}

TEST_CASE("A lost piece is lost whatever its state, and counts as a loss") {
  SnapshotBuilder rig = field_rig();
  rig.add_stock("p25", "b4", 1).quarantined = true;
  const Plan plan = plan_lose_pieces(rig.build(), pieces(rig, "p25", 1));
  const EntryDraft& entry = plan.entries.front();
  CHECK(entry.kind == EntryKind::lose);
  CHECK(moved_to(entry, Outside::lost) == 1);
  CHECK(entry.usages.at(0).lost);
  CHECK(plan.outcome.left_aboard == 0);
  REQUIRE_THROWS_WITH(plan_lose_pieces(rig.build(), pieces(rig, "p25", 2)),
                      Contains("1 of p25 is aboard, 2 asked"));
}

TEST_CASE("Scrapping takes the least trusted first and is no demand") {
  SnapshotBuilder rig = field_rig();
  rig.add_stock("p25", "b4", 2);
  rig.add_stock("p25", "b4", 1).quarantined = true;
  rig.add_stock("p25", "b4", 1).ends = day(2026, 1, 1);
  rig.add_stock("p25", "b7", 1).ends = day(2025, 1, 1);
  PiecesRequest request = pieces(rig, "p25", 3);
  request.cause = "wet";
  Plan plan = plan_scrap(rig.build(), request);
  CHECK(plan.entries[0].kind == EntryKind::scrap);
  CHECK(plan.entries[0].note == "wet; remark");
  CHECK(plan.entries[0].usages.empty());
  REQUIRE(plan.outcome.taken.size() == 3);
  CHECK(plan.outcome.taken[0].lot == LotId{3});
  CHECK(plan.outcome.taken[1].lot == LotId{2});
  CHECK(plan.outcome.taken[2].lot == LotId{1});
  CHECK(plan.outcome.chosen_why == "expired");
  CHECK(moved_to(plan.entries[0], Outside::scrapped) == 3);

  request.cause = "expired";
  request.pieces = 2;
  plan = plan_scrap(rig.build(), request);
  CHECK(bin_changes(plan, rig.build()) == Changes{{"b4", -1}, {"b7", -1}});
  request.pieces = 3;
  REQUIRE_THROWS_WITH(plan_scrap(rig.build(), request), Contains("hold 2 of p25 past their end"));
}

TEST_CASE("A fitted unit lost at a camp: no failure, and a spare may go in at once") {
  SnapshotBuilder rig = field_rig();
  rig.add_life("l12", 1, kFitted);
  rig.add_stock("p30", "b4", 1);
  LoseUnitRequest request;
  request.when = when(kToday);
  request.position = rig.position("l12");
  Plan plan = plan_lose_unit(rig.build(), request);
  const EntryDraft& gone = plan.entries.front();
  CHECK(gone.ends.at(0).kind == EndKind::lost);
  CHECK(gone.ends[0].left == PlaceState::dead);
  CHECK(moved_to(gone, Outside::lost) == 1);
  REQUIRE(gone.usages.size() == 1);
  CHECK(gone.usages[0].lost);
  CHECK(gone.usages[0].part == rig.part("p30"));
  CHECK(plan.outcome.left_open == std::vector<int>{1});
  CHECK(plan.outcome.left_aboard == 1);

  request.refit = true;
  plan = plan_lose_unit(rig.build(), request);
  CHECK(plan.entries[0].ends[0].left == PlaceState::empty);
  CHECK(plan.entries[0].fits.size() == 1);
  CHECK(plan.entries[0].usages.size() == 1);
  CHECK(plan.outcome.left_aboard == 0);

  rig.edit().stock[0].quantity = 0;
  CHECK(plan_lose_unit(rig.build(), request).outcome.left_state == PlaceState::dead);
}

TEST_CASE("What is not fitted cannot be lost") {
  SnapshotBuilder rig = field_rig();
  LoseUnitRequest request;
  request.when = when(kToday);
  request.position = rig.position("l12");
  REQUIRE_THROWS_AS(plan_lose_unit(rig.build(), request), InputError);
}

TEST_CASE("Moving keeps the lot, a spare moved ashore is a spare no more") {
  SnapshotBuilder rig = field_rig();
  rig.add_stock("p13", "b1", 8);
  MoveRequest request;
  request.when = when(kToday);
  request.part = rig.part("p13");
  request.pieces = 5;
  request.from = rig.bin("b1");
  request.to = rig.bin("b7");
  const Plan plan = plan_move(rig.build(), request);
  CHECK(bin_changes(plan, rig.build()) == Changes{{"b1", -5}, {"b7", 5}});
  CHECK(plan.outcome.left_aboard == 3);
  CHECK(plan.outcome.left_ashore == 5);
  request.pieces = 9;
  REQUIRE_THROWS_WITH(plan_move(rig.build(), request), Contains("b1 holds 8 of p13, 9 asked"));
  request.to = request.from;
  REQUIRE_THROWS_AS(plan_move(rig.build(), request), InputError);
}

TEST_CASE("Doubtful pieces move last") {
  SnapshotBuilder rig = field_rig();
  rig.add_stock("p25", "b4", 3).quarantined = true;
  rig.add_stock("p25", "b4", 2).received = day(2025, 1, 1);
  MoveRequest request;
  request.when = when(kToday);
  request.part = rig.part("p25");
  request.pieces = 3;
  request.from = rig.bin("b4");
  request.to = rig.bin("b1");
  const Plan plan = plan_move(rig.build(), request);
  REQUIRE(plan.outcome.taken.size() == 2);
  CHECK(plan.outcome.taken[0].lot == LotId{2});
  CHECK_THAT(plan.outcome.notes.at(0), Contains("1 of them are quarantined"));
}

// Counts of 2023-11-21 and 2024-11-20 in the scenario: book 10 counted 9; book 12 counted 13.
TEST_CASE("A shortage is posted from the oldest lots") {
  SnapshotBuilder rig = field_rig();
  rig.add_stock("p12", "b1", 9).received = day(2025, 1, 1);
  rig.add_stock("p12", "b1", 1).received = day(2023, 4, 1);
  rig.add_stock("p12", "b4", 3);
  Plan plan = plan_count(rig.build(), counting(rig, 9));
  CHECK(plan.outcome.book == 10);
  CHECK(plan.outcome.counted == 9);
  REQUIRE(plan.entries[0].movements.size() == 1);
  CHECK(std::get<LotId>(plan.entries[0].movements[0].lot) == LotId{2});
  CHECK(moved_to(plan.entries[0], Outside::count_difference) == 1);
  CHECK(plan.outcome.left_aboard == 12);
  plan = plan_count(rig.build(), counting(rig, 0));
  CHECK(bin_changes(plan, rig.build()) == Changes{{"b1", -10}});
}

TEST_CASE("A surplus is a new lot, agreement an entry without lines") {
  SnapshotBuilder rig = field_rig();
  rig.add_stock("p12", "b1", 12);
  CountRequest request = counting(rig, 13);
  request.why = "found under the liner";
  Plan plan = plan_count(rig.build(), request);
  REQUIRE(plan.entries[0].lots.size() == 1);
  CHECK(plan.entries[0].movements.at(0).from == Place{Outside::count_difference});
  CHECK(plan.entries[0].note == "p12 in b1: counted 13, book 12; found under the liner");
  CHECK(plan.outcome.left_aboard == 13);

  plan = plan_count(rig.build(), counting(rig, 12));
  CHECK(plan.entries[0].movements.empty());
  CHECK(plan.entries[0].lots.empty());
  REQUIRE_THROWS_AS(plan_count(rig.build(), counting(rig, -1)), InputError);
}
