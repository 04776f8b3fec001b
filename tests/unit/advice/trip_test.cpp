// Advice for a trip: the stretch it must agree with, and what stops, signal and dates change.

#include <catch2/catch.hpp>
#include <cmath>

#include "advice/trip_world.hpp"
#include "shearpin/base/error.hpp"

using namespace shearpin;
using namespace shearpin::advice;
using namespace shearpin::advice::testing;

namespace {

const Date kAsOf = day(2026, 5, 25);

/// A part that fails about every 60 days, so that stops matter.
AdviceWorld busy_world() {
  AdviceWorld world;
  auto& its_class = world.catalogue().classes.front();
  its_class.life_median = 60;
  its_class.life_low = 30;
  its_class.life_high = 120;
  its_class.shape = 2;
  world.add_fitted("pin", Money{250}, 9);
  return world;
}

}  // namespace

TEST_CASE("A trip of one leg and no stop is the stretch of as many days") {
  for (const bool busy : {false, true}) {
    AdviceWorld world = busy ? busy_world() : AdviceWorld();
    if (!busy) {
      world.add_fitted("pin", Money{250}, 9);
    }
    world.add_stock("pin", "box", 1);
    const auto stretch = world.carry("pin", 38);
    const auto trip = carry_on(world, "pin", whole(plain_trip(kAsOf, 38)));
    CHECK(trip.carry == stretch.carry);
    CHECK(trip.level_target == stretch.level_target);
    CHECK(trip.level_worth == stretch.level_worth);
    CHECK(trip.carry_at_median == stretch.carry_at_median);
    CHECK(trip.chance_aboard == stretch.chance_aboard);
    CHECK(trip.chance_carry == stretch.chance_carry);
    CHECK(trip.days_without_aboard == stretch.days_without_aboard);
    CHECK((trip.demand.total == stretch.demand.total));
    REQUIRE(trip.trip);
    CHECK_FALSE(trip.trip->sampled);
  }
}

TEST_CASE("More stops never want more, and a stop every day wants least") {
  const AdviceWorld world = busy_world();
  auto trip = plain_trip(kAsOf, 60);
  int before = carry_on(world, "pin", whole(trip)).carry;
  REQUIRE(before >= 2);
  const int without = before;
  for (const int at : {30, 15, 45}) {
    trip.stops.push_back(stop(kAsOf + std::chrono::days(at), true));
    std::sort(trip.stops.begin(), trip.stops.end(),
              [](const auto& a, const auto& b) { return a.date < b.date; });
    const int now = carry_on(world, "pin", whole(trip)).carry;
    CHECK(now <= before);
    before = now;
  }
  trip.stops.clear();
  for (int at = 0; at < 60; ++at) {
    trip.stops.push_back(stop(kAsOf + std::chrono::days(at), true));
  }
  const auto daily = carry_on(world, "pin", whole(trip));
  CHECK(daily.trip->receipts.size() == 60);
  CHECK(daily.carry <= before);
  CHECK(daily.carry < without);
}

TEST_CASE("No signal, or a lead time longer than the trip: no parcels, as if there were no stop") {
  AdviceWorld world = busy_world();
  auto trip = plain_trip(kAsOf, 60);
  const auto bare = carry_on(world, "pin", whole(trip));
  trip.stops.push_back(stop(kAsOf + std::chrono::days(40), false));
  const auto reached = carry_on(world, "pin", whole(trip));
  REQUIRE(reached.trip->receipts.size() == 2);
  CHECK(reached.trip->receipts.front().how == domain::Receipt::How::parcel);
  trip.legs.front().signal = false;
  const auto silent = carry_on(world, "pin", whole(trip));
  CHECK(silent.trip->receipts.size() == 1);
  CHECK(silent.carry == bare.carry);
  CHECK(silent.chance_carry == bare.chance_carry);
  trip.legs.front().signal = true;
  trip.stops.front().extra_days = 60;
  const auto late = carry_on(world, "pin", whole(trip));
  CHECK(late.trip->receipts.size() == 1);
  CHECK(late.chance_carry == bare.chance_carry);
}

TEST_CASE("Stops on the first and on the last day, the last is home") {
  const AdviceWorld world = busy_world();
  auto trip = plain_trip(kAsOf, 30);
  trip.stops = {stop(trip.departure(), true), stop(trip.end(), true)};
  const auto line = carry_on(world, "pin", whole(trip));
  REQUIRE(line.trip->receipts.size() == 2);
  CHECK(line.trip->receipts[0].day == trip.departure());
  CHECK(line.trip->receipts[1].how == domain::Receipt::How::home);
  CHECK(line.trip->intervals.size() == 2);
  CHECK(line.chance_carry >= line.target);
}

TEST_CASE("Orders that overlap several stops: each interval runs from the order to the next stop") {
  const AdviceWorld world = busy_world();
  auto trip = plain_trip(kAsOf, 60);
  for (const int at : {22, 25, 28}) {  // closer together than the lead time
    trip.stops.push_back(stop(kAsOf + std::chrono::days(at), false));
  }
  const auto line = carry_on(world, "pin", whole(trip));
  REQUIRE(line.trip->receipts.size() == 4);
  for (std::size_t k = 1; k + 1 < 4; ++k) {
    CHECK(line.trip->receipts[k].cutoff > line.trip->receipts[k - 1].cutoff);
    CHECK(line.trip->receipts[k].cutoff < line.trip->receipts[k - 1].day);
  }
  CHECK(line.chance_carry >= line.target - 2 * line.trip->error_carry);
}

TEST_CASE("Asked on the way: what is left, amounts shared out by days, after it refused") {
  domain::Trip trip = plain_trip(day(2026, 6, 1), 10);
  trip.legs.front().use.push_back({MeterId{1}, 100});
  trip.legs.push_back(leg(2, day(2026, 6, 11), day(2026, 6, 20), {"dust"}));
  trip.stops = {stop(day(2026, 6, 4), true), stop(day(2026, 6, 5), true)};
  const auto before = trip_window(trip, day(2026, 5, 31));
  CHECK(before.days == 20);
  CHECK(before.start == day(2026, 6, 1));
  CHECK(before.trip->stops.size() == 2);
  const auto amid = trip_window(trip, day(2026, 6, 4));
  CHECK(amid.start == day(2026, 6, 5));
  CHECK(amid.days == 16);
  REQUIRE(amid.trip->legs.size() == 2);
  CHECK(amid.trip->legs.front().use.front().second == Approx(60));  // 6 days of 10
  CHECK(amid.trip->stops.size() == 1);
  CHECK_FALSE(before.today);
  REQUIRE(amid.today);
  CHECK(amid.today->from == day(2026, 6, 4));
  CHECK(amid.today->to == day(2026, 6, 4));
  CHECK(amid.today->use.front().second == Approx(10));  // 1 day of 10
  const auto second = trip_window(trip, day(2026, 6, 10));
  CHECK(second.trip->legs.size() == 1);
  CHECK(trip_window(trip, day(2026, 6, 19)).days == 1);
  CHECK_THROWS_AS(trip_window(trip, day(2026, 6, 20)), InputError);
  CHECK_THROWS_AS(trip_window(trip, day(2027, 1, 1)), InputError);
}

TEST_CASE("Asked on the way: the as-of day itself counts as its leg plans it") {
  // Dust makes 9 days of the 4th: the unit is that much older when the rest of the trip begins, as
  // if it had been fitted 8 days earlier on a trip whose leg is clean.
  AdviceWorld world = busy_world();
  world.catalogue().classes.front().sensitivity["dust"] = 9;
  domain::Trip trip = plain_trip(day(2026, 6, 1), 4);
  trip.legs.front().conditions = {"dust"};
  trip.legs.push_back(leg(2, day(2026, 6, 5), day(2026, 6, 20)));
  world.edit().as_of = day(2026, 6, 4);
  const auto dusty = carry_on(world, "pin", trip_window(trip, day(2026, 6, 4)));
  trip.legs.front().conditions.clear();
  const auto clean = carry_on(world, "pin", trip_window(trip, day(2026, 6, 4)));
  CHECK(dusty.demand.total.at(0) != clean.demand.total.at(0));
  CHECK(dusty.trip->exposure == clean.trip->exposure);
  auto window = trip_window(trip, day(2026, 6, 4));
  window.today.reset();  // the usual rate is a day a day as well
  CHECK(carry_on(world, "pin", window).demand.total.at(0) == clean.demand.total.at(0));
}

TEST_CASE("A trip over 29 February counts that day") {
  AdviceWorld world = busy_world();
  world.edit().as_of = day(2028, 2, 20);
  domain::Trip trip = plain_trip(day(2028, 2, 20), 1);
  trip.legs.front().to = day(2028, 3, 10);
  CHECK(trip.days() == 20);  // 10 days of February, 29 among them, and 10 of March
  CHECK(carry_on(world, "pin", whole(trip)).chance_carry ==
        Approx(world.carry("pin", 20).chance_carry).margin(1e-6));
}

TEST_CASE("Spares that run out on the way are not counted, worn ones count by their chance") {
  AdviceWorld world = busy_world();
  world.add_stock("pin", "box", 2).ends = day(2026, 6, 10);
  const auto window = whole(plain_trip(day(2026, 6, 1), 30));
  CHECK(carry_on(world, "pin", window).stock.aboard == 0);
  CHECK(carry_on(world, "pin", window).stock.expiring == 2);
  const double without = carry_on(world, "pin", window).chance_aboard;
  auto& worn = world.add_stock("pin", "box", 1);
  worn.state = domain::LotState::worn;
  worn.age = 10;
  const auto line = carry_on(world, "pin", window);
  CHECK(line.stock.aboard == 0);
  const double p = line.stock.worn_chance;
  CHECK((p > 0 && p < 1));
  worn.state = domain::LotState::fresh;
  const double with_one = carry_on(world, "pin", window).chance_aboard;
  CHECK(line.chance_aboard == Approx(p * with_one + (1 - p) * without).margin(1e-9));
  worn.state = domain::LotState::worn;
  world.catalogue().positions.back().severity = domain::Severity::safety;
  CHECK(carry_on(world, "pin", window).chance_aboard == without);
}

TEST_CASE("Positions of different severity: the severest is served first and costs what it costs") {
  AdviceWorld world = busy_world();
  const auto window = whole(plain_trip(day(2026, 6, 1), 40));
  const auto one = carry_on(world, "pin", window);
  world.add_position("other", "pin");
  world.catalogue().positions.back().severity = domain::Severity::safety;
  world.add_life("other", 1, day(2024, 1, 1));
  const auto two = carry_on(world, "pin", window);
  CHECK(two.severity == domain::Severity::safety);
  CHECK(two.target == 0.995);
  CHECK(two.demand.units == 2);
  CHECK(two.demand.mean_fitted > one.demand.mean_fitted);
  const auto worth = advise_explain(world.build(), world.part("pin"), window).worth;
  const auto& policy = world.build().policy;
  const auto a_day = [&worth](std::size_t n) {
    return worth.at(n).cost_of_days / worth[n].days_without;
  };
  CHECK(a_day(0) > policy.cost_of_day(domain::Severity::degraded));
  CHECK(a_day(0) < policy.cost_of_day(domain::Severity::safety));
  CHECK(a_day(1) < a_day(0));  // the first spare goes where a day without costs most
  CHECK(two.carry > one.carry);
}

TEST_CASE("Use by leg and a condition named for the trip: on every leg, once") {
  AdviceWorld world = busy_world();
  world.catalogue().classes.front().sensitivity["dust"] = 2;
  auto trip = plain_trip(day(2026, 6, 1), 10);
  trip.legs.push_back(leg(2, day(2026, 6, 11), day(2026, 6, 20), {"dust"}));
  auto window = whole(trip);
  CHECK(carry_on(world, "pin", window).trip->exposure == std::vector<double>{10, 20});
  window.conditions.push_back({"dust", std::nullopt});
  CHECK(carry_on(world, "pin", window).trip->exposure == std::vector<double>{20, 20});
  CHECK(advise_explain(world.build(), world.part("pin"), window).exposure_ahead == Approx(40));
}

TEST_CASE("explain says what carry says, of a trip with stops too") {
  const AdviceWorld world = busy_world();
  auto trip = plain_trip(day(2026, 6, 1), 60);
  trip.stops = {stop(day(2026, 6, 30), true)};
  const auto line = carry_on(world, "pin", whole(trip));
  const auto told = advise_explain(world.build(), world.part("pin"), whole(trip));
  REQUIRE(told.carry);
  CHECK(told.carry->carry == line.carry);
  CHECK(told.carry->chance_carry == line.chance_carry);
  CHECK(told.worth.at(static_cast<std::size_t>(line.carry)).chance == line.chance_carry);
}

TEST_CASE(
    "A parcel planned to be here before leaving counts, a later, late or other one does not") {
  AdviceWorld world = busy_world();
  world.add_supplier("post");
  auto trip = plain_trip(day(2026, 6, 1), 40);
  trip.stops = {stop(day(2026, 6, 20), true)};
  const auto none = carry_on(world, "pin", whole(trip));
  AdviceWorld stocked = world;
  stocked.add_stock("pin", "box", 2);
  const auto two = carry_on(stocked, "pin", whole(trip));
  REQUIRE(two.chance_aboard > none.chance_aboard);
  auto& order = world.add_order("pin", "post", 2, day(2026, 5, 20));
  order.promised = day(2026, 5, 31);
  const auto due = carry_on(world, "pin", whole(trip));
  CHECK(due.stock.aboard == 0);
  CHECK(due.stock.arriving == 2);
  CHECK(due.chance_aboard == two.chance_aboard);
  CHECK(due.days_without_aboard == two.days_without_aboard);
  CHECK(due.to_buy() == two.to_buy());
  KitLimits limits;
  limits.add_cost = 0;
  const auto kit = advise_carry(world.build(), whole(trip), {}, {limits, std::nullopt}).kit.value();
  REQUIRE(kit.lines.size() == 1);
  CHECK(kit.lines.front().kit == 2);
  CHECK(kit.lines.front().await == 2);
  CHECK(kit.lines.front().buy == 0);
  CHECK(kit.lines.front().chance == due.chance_aboard);
  for (const Date promised : {day(2026, 6, 1), day(2026, 5, 24)}) {
    order.promised = promised;
    CHECK(carry_on(world, "pin", whole(trip)).chance_aboard == none.chance_aboard);
  }
  order.promised = day(2026, 5, 31);
  // Sent to a stop it waits there: better than none, no better than aboard from the start.
  order.to = "Stop";
  const auto sent = carry_on(world, "pin", whole(trip));
  CHECK(sent.stock.arriving == 0);
  REQUIRE(sent.trip->receipts.size() == 2);
  CHECK(sent.trip->receipts[0].how == domain::Receipt::How::bought);
  CHECK(sent.trip->receipts[0].waiting == 2);
  CHECK(sent.stock.waiting == 2);
  CHECK(sent.to_buy() == sent.carry);  // what waits there does not fill the boxes of the departure
  CHECK(sent.chance_aboard > none.chance_aboard);
  CHECK(sent.chance_aboard < two.chance_aboard);
  CHECK(sent.days_without_aboard < none.days_without_aboard);
  trip.stops.front().sold.clear();
  trip.legs.front().signal = false;  // nothing can be ordered, but what is on order waits
  const auto waits = carry_on(world, "pin", whole(trip));
  REQUIRE(waits.trip->receipts.size() == 2);
  CHECK(waits.trip->receipts[0].how == domain::Receipt::How::waits);
  CHECK(waits.trip->intervals.size() == 2);
  order.promised = day(2026, 6, 21);  // too late for that stop
  CHECK(carry_on(world, "pin", whole(trip)).trip->receipts.size() == 1);
  order.promised = day(2026, 5, 31);
  order.to = "box";
  CHECK(carry_on(world, "pin", whole(trip)).stock.arriving == 2);
  // Without a day promised it is the planning lead time that counts.
  order.promised.reset();
  const PartId pin = world.part("pin");
  const double lead = advise_reorder(world.build(), whole(trip), {&pin, 1}).lines[0].lead_planning;
  order.ordered = day(2026, 5, 31) - std::chrono::days(static_cast<int>(std::ceil(lead)));
  CHECK(carry_on(world, "pin", whole(trip)).stock.arriving == 2);
  order.ordered += std::chrono::days(1);
  CHECK(carry_on(world, "pin", whole(trip)).stock.arriving == 0);
}

TEST_CASE("A part ordered for home has to be there on the eve") {
  AdviceWorld world = busy_world();
  auto trip = plain_trip(day(2026, 7, 1), 30);
  trip.stops = {stop(day(2026, 7, 20), false)};
  const PartId only = world.part("pin");
  const auto line = advise_reorder(world.build(), whole(trip), {&only, 1}).lines.front();
  REQUIRE(line.chances.size() == 2);
  const auto lead = std::chrono::days(static_cast<int>(std::ceil(line.lead_planning)));
  CHECK(line.chances[0].received == day(2026, 6, 30));
  CHECK(line.chances[0].order_by == day(2026, 6, 30) - lead);
  CHECK(line.chances[1].order_by == day(2026, 7, 20) - lead);
  CHECK_FALSE(line.chances[0].missed);
}
