#include "domain/plan_orders.hpp"

#include <catch2/catch.hpp>

#include "plan_world.hpp"
#include "shearpin/base/error.hpp"

using namespace shearpin;
using namespace shearpin::domain;
using namespace shearpin::domain::testing;
using Catch::Matchers::Contains;

namespace {

ReceiveRequest receiving(const SnapshotBuilder& rig, const std::string& part, std::int64_t number) {
  ReceiveRequest request;
  request.when = when(kToday);
  request.part = rig.part(part);
  request.pieces = number;
  request.into = rig.bin("b4");
  return request;
}

SnapshotBuilder trading_rig() {
  SnapshotBuilder rig = field_rig();
  rig.add_supplier("s3");
  rig.add_supplier("s4");
  return rig;
}

}  // namespace

TEST_CASE("An order says what, from whom and for how much in all") {
  SnapshotBuilder rig = trading_rig();
  OrderRequest request;
  request.when = when(kToday);
  request.part = rig.part("p30");
  request.pieces = 3;
  REQUIRE_THROWS_WITH(plan_order(rig.build(), request), Contains("--supplier"));
  request.supplier = rig.supplier("s4");
  request.cost_each = Money{1700};
  request.to = "Velkin Crossing";
  Plan plan = plan_order(rig.build(), request);
  REQUIRE(plan.entries[0].orders.size() == 1);
  CHECK(plan.entries[0].orders[0].cost == Money{5100});
  CHECK(plan.entries[0].orders[0].to == "Velkin Crossing");
  CHECK(plan.entries[0].kind == EntryKind::order);
  CHECK(plan.outcome.notes.empty());

  request.total = Money{5000};
  REQUIRE_THROWS_AS(plan_order(rig.build(), request), InputError);
  request.cost_each.reset();
  CHECK(plan_order(rig.build(), request).entries[0].orders[0].cost == Money{5000});
  request.promised = day(2026, 5, 24);
  REQUIRE_THROWS_AS(plan_order(rig.build(), request), InputError);
}

TEST_CASE("The usual supplier is taken, and a broken pack is noted") {
  SnapshotBuilder rig = trading_rig();
  rig.catalogue().parts[1].supplier = rig.supplier("s3");
  rig.catalogue().parts[1].pack = 10;
  OrderRequest request;
  request.when = when(kToday);
  request.part = rig.part("p13");
  request.pieces = 12;
  const Plan plan = plan_order(rig.build(), request);
  CHECK(plan.entries[0].orders[0].supplier == rig.supplier("s3"));
  CHECK_THAT(plan.outcome.notes.at(0), Contains("10 to a pack"));
  request.pieces = 20;
  CHECK(plan_order(rig.build(), request).outcome.notes.empty());
}

TEST_CASE("A receipt is a new lot in its bin") {
  SnapshotBuilder rig = trading_rig();
  ReceiveRequest request = receiving(rig, "p25", 8);
  request.batch = "VB-07";
  request.total = Money{960};
  const Plan plan = plan_receive(rig.build(), request);
  const EntryDraft& entry = plan.entries.front();
  REQUIRE(entry.lots.size() == 1);
  CHECK(entry.lots[0].batch == "VB-07");
  CHECK(entry.lots[0].cost == Money{120});
  CHECK(entry.receipts.empty());
  CHECK(entry.movements.at(0).from == Place{Outside::supplier});
  CHECK(bin_changes(plan, rig.build()) == std::map<std::string, std::int64_t>{{"b4", 8}});
  CHECK(plan.outcome.left_aboard == 8);
  CHECK(plan.outcome.notes.empty());
}

TEST_CASE("The one open order of the part is taken and said, several are listed") {
  SnapshotBuilder rig = trading_rig();
  rig.add_order("p30", "s4", 2, day(2026, 5, 18)).cost = Money{3400};
  rig.add_order("p13", "s3", 2, day(2026, 5, 18));
  Plan plan = plan_receive(rig.build(), receiving(rig, "p30", 1));
  CHECK(plan.outcome.order == OrderId{1});
  REQUIRE(plan.entries[0].receipts.size() == 1);
  CHECK(plan.entries[0].receipts[0].quantity == 1);
  CHECK(plan.entries[0].lots[0].cost == Money{1700});
  REQUIRE(plan.outcome.notes.size() == 2);
  CHECK_THAT(plan.outcome.notes[0], Contains("order o1"));
  CHECK_THAT(plan.outcome.notes[1], Contains("1 of order o1 still to come"));

  rig.add_order("p30", "s3", 1, day(2026, 5, 20));
  REQUIRE_THROWS_WITH(
      plan_receive(rig.build(), receiving(rig, "p30", 1)),
      Contains("o1 (2026-05-18 of s4) and o3 (2026-05-20 of s3)") && Contains("--order o1"));
  ReceiveRequest request = receiving(rig, "p30", 1);
  request.supplier = rig.supplier("s3");
  CHECK(plan_receive(rig.build(), request).outcome.order == OrderId{3});
  request = receiving(rig, "p30", 1);
  request.no_order = true;
  CHECK_FALSE(plan_receive(rig.build(), request).outcome.order);
}

TEST_CASE("Orders closed, cancelled or placed later are not matched") {
  SnapshotBuilder rig = trading_rig();
  rig.add_order("p30", "s4", 1, day(2026, 5, 1)).received = 1;
  rig.add_order("p30", "s4", 1, day(2026, 5, 1)).cancelled = true;
  rig.add_order("p30", "s4", 1, day(2026, 5, 26));
  CHECK_FALSE(plan_receive(rig.build(), receiving(rig, "p30", 1)).outcome.order);
  ReceiveRequest request = receiving(rig, "p30", 1);
  request.order = OrderId{2};
  REQUIRE_THROWS_WITH(plan_receive(rig.build(), request), Contains("cancelled"));
  request.order = OrderId{3};
  REQUIRE_THROWS_AS(plan_receive(rig.build(), request), InputError);
}

TEST_CASE("More than was ordered comes in, the order is just filled") {
  SnapshotBuilder rig = trading_rig();
  rig.add_order("p30", "s4", 2, day(2026, 5, 18));
  Plan plan = plan_receive(rig.build(), receiving(rig, "p30", 3));
  CHECK(plan.entries[0].receipts.at(0).quantity == 2);
  CHECK(plan.outcome.left_aboard == 3);
  CHECK_THAT(plan.outcome.notes.at(1), Contains("1 more than order o1 asked for"));

  rig.edit().orders[0].received = 2;
  ReceiveRequest request = receiving(rig, "p30", 1);
  request.order = OrderId{1};
  plan = plan_receive(rig.build(), request);
  CHECK(plan.entries[0].receipts.empty());
  CHECK(plan.outcome.left_aboard == 1);

  request.part = rig.part("p13");
  REQUIRE_THROWS_WITH(plan_receive(rig.build(), request), Contains("o1 is for p30, not for p13"));
}

TEST_CASE("A total that does not divide is kept to the nearest cent, and said") {
  SnapshotBuilder rig = trading_rig();
  ReceiveRequest request = receiving(rig, "p13", 3);
  request.total = Money{500};
  const Plan plan = plan_receive(rig.build(), request);
  CHECK(plan.entries[0].lots[0].cost == Money{167});
  CHECK_THAT(plan.outcome.notes.at(0), Contains("5.00 for 3 pieces is kept as 1.67 each"));
  request.cost_each = Money{100};
  REQUIRE_THROWS_AS(plan_receive(rig.build(), request), InputError);
}

TEST_CASE("Dated goods: the end is marked, or made plus shelf life, or asked for") {
  SnapshotBuilder rig = trading_rig();
  ReceiveRequest request = receiving(rig, "p39", 1);
  CHECK_THAT(plan_receive(rig.build(), request).outcome.hints.at(0), Contains("--ends"));
  request.made = day(2021, 7, 1);
  Plan plan = plan_receive(rig.build(), request);
  CHECK(plan.entries[0].lots[0].ends == day(2026, 7, 1));  // the demo scenario, five years
  CHECK(plan.outcome.hints.empty());
  request.made = day(2021, 5, 1);
  plan = plan_receive(rig.build(), request);
  CHECK(plan.outcome.left_aboard == 0);
  CHECK_THAT(plan.outcome.notes.at(1), Contains("already past its end"));
  request.ends = day(2027, 1, 1);
  CHECK(plan_receive(rig.build(), request).entries[0].lots[0].ends == day(2027, 1, 1));
  request.made = day(2026, 5, 26);
  REQUIRE_THROWS_AS(plan_receive(rig.build(), request), InputError);
}

TEST_CASE("Worn pieces have an age, new ones none, opening stock was there before") {
  SnapshotBuilder rig = trading_rig();
  rig.add_order("p30", "s4", 1, day(2026, 5, 18));
  ReceiveRequest request = receiving(rig, "p30", 1);
  request.age = 300;
  REQUIRE_THROWS_WITH(plan_receive(rig.build(), request), Contains("--condition worn"));
  request.state = LotState::worn;
  CHECK(plan_receive(rig.build(), request).entries[0].lots[0].age == 300.0);
  request.opening = true;
  const Plan plan = plan_receive(rig.build(), request);
  CHECK(plan.entries[0].movements[0].from == Place{Outside::before});
  CHECK(plan.entries[0].receipts.empty());
}

TEST_CASE("An open order can be cancelled once") {
  SnapshotBuilder rig = trading_rig();
  rig.add_order("p30", "s4", 2, day(2026, 5, 18)).received = 1;
  CancelOrderRequest request{when(kToday), OrderId{1}};
  const Plan plan = plan_cancel_order(rig.build(), request);
  CHECK(plan.entries[0].kind == EntryKind::cancel_order);
  CHECK(plan.entries[0].receipts.at(0).cancelled);
  rig.edit().orders[0].cancelled = true;
  REQUIRE_THROWS_AS(plan_cancel_order(rig.build(), request), InputError);
  request.when = when(day(2026, 5, 1));
  REQUIRE_THROWS_AS(plan_cancel_order(rig.build(), request), InputError);
}

// The valve stems of the scenario: three of batch VB-07 in b4 must not be counted as spares.
TEST_CASE("A bad batch stops counting as spares") {
  SnapshotBuilder rig = trading_rig();
  rig.add_stock("p25", "b4", 3).batch = "VB-07";
  rig.add_stock("p25", "b4", 2).batch = "VB-11";
  QuarantineRequest request;
  request.when = when(kToday);
  request.batch = "VB-07";
  Plan plan = plan_quarantine(rig.build(), request);
  REQUIRE(plan.entries[0].quarantines.size() == 1);
  CHECK(plan.entries[0].quarantines[0].lot == LotId{1});
  CHECK(plan.outcome.left_aboard == 2);
  rig.edit().stock[0].quarantined = true;
  REQUIRE_THROWS_AS(plan_quarantine(rig.build(), request), InputError);
  request.lift = true;
  plan = plan_quarantine(rig.build(), request);
  CHECK_FALSE(plan.entries[0].quarantines[0].quarantined);
  CHECK(plan.outcome.left_aboard == 5);
  request.batch = "";
  REQUIRE_THROWS_AS(plan_quarantine(rig.build(), request), InputError);
}
