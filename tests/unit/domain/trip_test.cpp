// Trips: what may be kept, what may be used, and where a part can be received. The expected days
// are counted on a calendar by hand.

#include "shearpin/domain/trip.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <limits>
#include <random>

#include "domain/plan_trip.hpp"
#include "shearpin/base/error.hpp"
#include "snapshot_builder.hpp"

using namespace shearpin;
using namespace shearpin::domain;
using namespace shearpin::domain::testing;
using Catch::Matchers::Contains;

namespace {

TripLegDraft leg(Date from, Date to, bool signal = true) {
  TripLegDraft one;
  one.from = from;
  one.to = to;
  one.signal = signal;
  return one;
}

TripStopDraft stop(Date date, const std::string& place, std::vector<std::string> sold = {},
                   bool parcels = false, int extra_days = 0) {
  return {date, place, std::move(sold), parcels, extra_days};
}

/// 8 June to 15 July 2026 in three legs, 38 days.
TripLine june() {
  TripLine trip{"june", "June round", {}, {}};
  trip.legs = {leg(day(2026, 6, 8), day(2026, 6, 19)), leg(day(2026, 6, 20), day(2026, 7, 3)),
               leg(day(2026, 7, 4), day(2026, 7, 15))};
  return trip;
}

PartSupply pin(double lead_days) {
  return {"p43", "shear-pin", "s2", Resupply::specialist, lead_days};
}

/// `2026-06-10<2026-06-01 Place parcel`, by receipt.
std::vector<std::string> told(const TripLine& line, const PartSupply& part) {
  std::vector<std::string> lines;
  for (const Receipt& receipt : receipts(usable_trip(line), part)) {
    const char* how = receipt.how == Receipt::How::bought   ? "bought"
                      : receipt.how == Receipt::How::parcel ? "parcel"
                                                            : "home";
    lines.push_back(shearpin::to_text(receipt.day) + "<" + shearpin::to_text(receipt.cutoff) + " " +
                    receipt.place + " " + how);
  }
  return lines;
}

using Lines = std::vector<std::string>;

std::string refusal(const TripLine& trip) {
  try {
    check_trip(trip);
  } catch (const InputError& error) {
    return error.what();
  }
  return "kept";
}

}  // namespace

TEST_CASE("A trip's days count the first and the last, from one day on") {
  const Trip trip = usable_trip(june());
  CHECK(trip.departure() == day(2026, 6, 8));
  CHECK(trip.end() == day(2026, 7, 15));
  CHECK(trip.days() == 38);
  CHECK(elapsed_days(trip, day(2026, 6, 7)) == 0);
  CHECK(elapsed_days(trip, day(2026, 6, 8)) == 1);
  CHECK(elapsed_days(trip, day(2026, 7, 15)) == 38);
  TripLine short_one{"day", "A day out", {leg(day(2028, 2, 29), day(2028, 2, 29))}, {}};
  CHECK(usable_trip(short_one).days() == 1);
  // 28 February to 1 March 2028: a leap year.
  short_one.legs = {leg(day(2028, 2, 28), day(2028, 3, 1))};
  CHECK(usable_trip(short_one).days() == 3);
}

TEST_CASE("Legs may be told in any order, they are numbered by day") {
  TripLine trip = june();
  std::swap(trip.legs[0], trip.legs[2]);
  trip.stops = {stop(day(2026, 7, 8), "Ketterfold"), stop(day(2026, 6, 10), "Velkin Crossing")};
  trip.legs[1].conditions = {"heat", "dust", "heat"};
  const Trip ordered = usable_trip(trip);
  CHECK(ordered.departure() == day(2026, 6, 8));
  CHECK(ordered.legs[2].number == 3);
  CHECK(ordered.legs[1].conditions == Lines{"heat", "dust"});
  CHECK(ordered.stops[0].place == "Velkin Crossing");
}

TEST_CASE("A plan that cannot be is refused with its value, the rule and an example") {
  TripLine trip = june();
  trip.legs[1].to = day(2026, 6, 18);
  CHECK_THAT(refusal(trip), Contains("leg 2, 2026-06-20 to 2026-06-18") &&
                                Contains("ends on or after the day it begins"));
  trip = june();
  trip.legs[1].from = day(2026, 6, 19);
  CHECK_THAT(refusal(trip), Contains("leg 1, 2026-06-08 to 2026-06-19") &&
                                Contains("share a day") && Contains("--from 2026-06-20"));
  trip = june();
  trip.legs[2].to = day(2026, 7, 3);
  CHECK_THAT(refusal(trip), Contains("leg 3, 2026-07-04 to 2026-07-03") &&
                                Contains("on or after") && Contains("--to 2026-07-05"));
  trip = june();
  trip.legs[0].use = {{MeterId{1}, -1}};
  CHECK_THAT(refusal(trip), Contains("leg 1") && Contains("-1") && Contains("zero or more"));
  trip.legs[0].use = {{MeterId{1}, std::numeric_limits<double>::quiet_NaN()}};
  CHECK_THAT(refusal(trip), Contains("zero or more"));
  trip.legs[0].use = {{MeterId{1}, 1}, {MeterId{1}, 2}};
  CHECK_THAT(refusal(trip), Contains("once"));
  trip = june();
  trip.legs[0].conditions = {"very hot"};
  CHECK_THAT(refusal(trip), Contains("very hot") && Contains("smoke-dust"));
  trip = june();
  trip.name = " ";
  CHECK_THAT(refusal(trip), Contains("--name"));
}

TEST_CASE("A stop lies on the trip, is named once a day, and sells words that are known") {
  TripLine trip = june();
  trip.stops = {stop(day(2026, 6, 7), "Dunmarrow")};
  CHECK_THAT(refusal(trip), Contains("Dunmarrow") && Contains("2026-06-07") &&
                                Contains("outside the trip, 2026-06-08 to 2026-07-15"));
  trip.stops = {stop(day(2026, 7, 16), "Dunmarrow")};
  CHECK_THAT(refusal(trip), Contains("outside the trip"));
  trip.stops = {stop(day(2026, 6, 8), "Hollin Spur"), stop(day(2026, 6, 8), "hollin spur")};
  CHECK_THAT(refusal(trip), Contains("a stop already") && Contains("--drop-stop"));
  trip.stops = {stop(day(2026, 6, 8), "Hollin Spur"), stop(day(2026, 6, 9), "Hollin Spur")};
  CHECK(refusal(trip) == "kept");
  trip.stops = {stop(day(2026, 6, 8), "")};
  CHECK_THAT(refusal(trip), Contains("no place"));
  trip.stops = {stop(day(2026, 6, 8), "Spur", {}, true, -1)};
  CHECK_THAT(refusal(trip), Contains("-1 extra days"));
  trip.stops = {stop(day(2026, 6, 8), "Spur", {}, true, 367)};
  CHECK_THAT(refusal(trip), Contains("367 extra days"));
  trip.stops = {stop(day(2026, 6, 8), "Spur", {"tyres"})};
  CHECK_THAT(refusal(trip), Contains("Spur") && Contains("tyres") && Contains("supplier:s2"));
  trip.stops = {stop(day(2026, 6, 8), "Spur", {"resupply:corner-shop"})};
  CHECK_THAT(refusal(trip), Contains("corner-shop") && Contains("hardware-store"));
  trip.legs.clear();
  trip.stops = {stop(day(2026, 6, 8), "Spur")};
  CHECK_THAT(refusal(trip), Contains("no legs yet"));
}

TEST_CASE("What is not whole may be kept, but not used") {
  TripLine trip{"june", "June round", {}, {}};
  CHECK(refusal(trip) == "kept");
  CHECK_THAT(trip_lacks(trip).value_or(""), Contains("no legs yet") && Contains("trip leg june"));
  CHECK_THROWS_WITH(usable_trip(trip), Contains("no legs yet"));
  trip = june();
  CHECK_FALSE(trip_lacks(trip));
  trip.legs.erase(trip.legs.begin() + 1);
  CHECK(refusal(trip) == "kept");
  CHECK_THROWS_WITH(usable_trip(trip), Contains("trip leg june --from 2026-06-20 --to 2026-07-03"));
  trip.legs.push_back(leg(day(2026, 7, 10), day(2026, 7, 12)));  // what check_trip refuses, too
  CHECK_THROWS_WITH(usable_trip(trip), Contains("share a day"));
}

TEST_CASE("A trip is moved whole, over the end of February too") {
  TripLine trip = june();
  trip.stops = {stop(day(2026, 6, 10), "Velkin Crossing")};
  const TripLine later = shifted(trip, 365);
  CHECK(later.legs[0].from == day(2027, 6, 8));
  CHECK(later.stops[0].date == day(2027, 6, 10));
  CHECK(shifted(trip, -99).legs[0].from == day(2026, 3, 1));  // 31 + 30 + 31 + 7 days
  CHECK_THROWS_WITH(shifted(trip, 400000), Contains("1950 to 2199"));
  CHECK_THROWS_WITH(shifted(trip, -2147483647), Contains("1950 to 2199"));
}

TEST_CASE("Use is summed over the legs that plan it, and known by leg") {
  TripLine trip = june();
  trip.legs[0].use = {{MeterId{1}, 620.0}, {MeterId{2}, 0.0}};
  trip.legs[2].use = {{MeterId{1}, 1150.0}};
  const auto total = planned_use(trip);
  CHECK(total.size() == 2);
  CHECK(total.at(MeterId{1}) == 1770.0);
  CHECK(total.at(MeterId{2}) == 0.0);
  const auto legs = use_by_leg(usable_trip(trip), MeterId{1});
  REQUIRE(legs.size() == 3);
  CHECK(legs[0].amount == 620.0);
  CHECK_FALSE(legs[1].amount);
  CHECK(legs[1].from == day(2026, 6, 20));
  CHECK(legs[2].to == day(2026, 7, 15));
  CHECK(use_by_leg(usable_trip(trip), MeterId{2})[0].amount == 0.0);
}

TEST_CASE("A meter in miles shows what was typed, the ledger keeps kilometres") {
  Meter miles;
  miles.unit = "mi";
  CHECK(stored_amount(miles, 100) == Approx(160.9344).epsilon(1e-15));  // 1.609344 km, 1959
  for (const double typed : {0.0, 1.0, 333.3, 620.0, 7500.7}) {
    CHECK(shown_amount(miles, stored_amount(miles, typed)) == typed);
  }
  Meter km;
  km.unit = "km";
  CHECK(stored_amount(km, 100) == 100);
  CHECK(shown_amount(km, 0.1 + 0.2) == 0.1 + 0.2);
}

TEST_CASE("Conditions of legs that follow each other are one stretch") {
  TripLine trip = june();
  trip.legs[0].conditions = {"heat"};
  trip.legs[1].conditions = {"dust", "heat"};
  trip.legs[2].conditions = {"dust"};
  CHECK(condition_stretches(trip) ==
        std::vector<ConditionStretch>{{"heat", day(2026, 6, 8), day(2026, 7, 3)},
                                      {"dust", day(2026, 6, 20), day(2026, 7, 15)}});
  trip.legs[1].conditions = {};
  CHECK(condition_stretches(trip).size() == 2);
  trip.legs[2].conditions = {"heat"};
  CHECK(condition_stretches(trip).size() == 2);  // once before, once after
}

TEST_CASE("The last day with signal on or before a day") {
  TripLine trip = june();
  trip.legs[1].signal = false;
  CHECK(last_signal_day(trip, day(2026, 6, 12)) == day(2026, 6, 12));
  CHECK(last_signal_day(trip, day(2026, 6, 20)) == day(2026, 6, 19));
  CHECK(last_signal_day(trip, day(2026, 7, 3)) == day(2026, 6, 19));
  CHECK(last_signal_day(trip, day(2026, 7, 4)) == day(2026, 7, 4));
  CHECK(last_signal_day(trip, day(2026, 9, 1)) == day(2026, 7, 15));
  CHECK_FALSE(last_signal_day(trip, day(2026, 6, 7)));
  trip.legs[0].signal = false;
  CHECK_FALSE(last_signal_day(trip, day(2026, 7, 3)));
}

TEST_CASE("What a stop sells is spelt and matched by part, class, supplier and resupply") {
  for (const char* word :
       {"all", "part:p43", "class:shear-pin", "supplier:s2", "resupply:specialist"}) {
    CHECK(to_text(parse_sold(word)) == word);
    TripStop shop;
    shop.sold = {parse_sold(word)};
    CHECK(sells(shop, pin(5)));
  }
  CHECK(to_text(parse_sold(" Part: P43 ")) == "part:p43");
  for (const char* word : {"part:p4", "class:pin", "supplier:s1", "resupply:anywhere"}) {
    TripStop shop;
    shop.sold = {parse_sold(word)};
    CHECK_FALSE(sells(shop, pin(5)));
  }
  CHECK_FALSE(sells(TripStop{}, pin(5)));
  TripStop counter;
  counter.sold = {parse_sold("supplier:s2"), parse_sold("class:belt")};
  CHECK_FALSE(sells(counter, PartSupply{"p1", "", "", Resupply::anywhere, 3}));
  CHECK_THROWS_AS(parse_sold("part:"), InputError);
  CHECK_THROWS_AS(parse_sold("bin:b1"), InputError);
  CHECK_THROWS_AS(parse_sold(""), InputError);
}

TEST_CASE("What the catalogue says of a part's supply") {
  SnapshotBuilder world;
  world.add_class("shear-pin").resupply = Resupply::specialist;
  const SupplierId supplier = world.add_supplier("s2").id;
  Part& part = world.add_part("p43", "shear-pin");
  part.supplier = supplier;
  const PartSupply supply = part_supply(*world.build().catalogue, part.id, 12);
  CHECK(supply.part == "p43");
  CHECK(supply.component_class == "shear-pin");
  CHECK(supply.supplier == "s2");
  CHECK(supply.resupply == Resupply::specialist);
  CHECK(supply.lead_days == 12);
  const PartId bare = world.add_part("hose").id;
  CHECK(part_supply(*world.build().catalogue, bare, 1).component_class.empty());
}

TEST_CASE("Without a stop a part is received at home alone") {
  CHECK(told(june(), pin(5)) == Lines{"2026-07-15<2026-07-15 home home"});
  TripLine trip = june();
  trip.stops = {stop(day(2026, 6, 24), "Hollin Spur", {"class:belt"})};  // not this part
  CHECK(told(trip, pin(5)) == Lines{"2026-07-15<2026-07-15 home home"});
}

TEST_CASE("Bought where it is sold: the cut-off is the day itself") {
  TripLine trip = june();
  trip.stops = {stop(day(2026, 7, 8), "Ketterfold", {"supplier:s2"}, true)};
  CHECK(told(trip, pin(5)) ==
        Lines{"2026-07-08<2026-07-08 Ketterfold bought", "2026-07-15<2026-07-15 home home"});
}

TEST_CASE("By parcel: ordered lead and extra days before, on a day with signal") {
  TripLine trip = june();
  trip.stops = {stop(day(2026, 6, 24), "Hollin Spur", {}, true)};
  const Lines home{"2026-07-15<2026-07-15 home home"};
  const auto with = [&home](const std::string& first) { return Lines{first, home[0]}; };
  CHECK(told(trip, pin(0)) == with("2026-06-24<2026-06-24 Hollin Spur parcel"));
  CHECK(told(trip, pin(4)) == with("2026-06-24<2026-06-20 Hollin Spur parcel"));
  CHECK(told(trip, pin(4.2)) == with("2026-06-24<2026-06-19 Hollin Spur parcel"));
  CHECK(told(trip, pin(4 + 1e-9)) == with("2026-06-24<2026-06-20 Hollin Spur parcel"));
  CHECK(told(trip, pin(16)) == with("2026-06-24<2026-06-08 Hollin Spur parcel"));  // at departure
  CHECK(told(trip, pin(17)) == home);
  CHECK(told(trip, pin(1e9)) == home);  // far longer than the trip
  trip.stops[0].extra_days = 2;
  CHECK(told(trip, pin(4)) == with("2026-06-24<2026-06-18 Hollin Spur parcel"));
  CHECK(told(trip, pin(14)) == with("2026-06-24<2026-06-08 Hollin Spur parcel"));
  CHECK(told(trip, pin(15)) == home);
  trip.stops[0].extra_days = 0;
  trip.legs[1].signal = false;  // 20 June to 3 July
  CHECK(told(trip, pin(1)) == with("2026-06-24<2026-06-19 Hollin Spur parcel"));
  trip.legs[0].signal = false;
  CHECK(told(trip, pin(1)) == home);
}

TEST_CASE("No signal on the whole trip: what is sold is bought, no parcel comes") {
  TripLine trip = june();
  for (auto& one : trip.legs) {
    one.signal = false;
  }
  trip.stops = {stop(day(2026, 6, 24), "Hollin Spur", {}, true),
                stop(day(2026, 7, 8), "Ketterfold", {"all"}, true)};
  CHECK(told(trip, pin(1)) ==
        Lines{"2026-07-08<2026-07-08 Ketterfold bought", "2026-07-15<2026-07-15 home home"});
}

TEST_CASE("A stop on the first day counts, one on the last day is home") {
  TripLine trip = june();
  trip.stops = {stop(day(2026, 6, 8), "Dunmarrow", {"part:p43"}),
                stop(day(2026, 7, 15), "Dunmarrow", {"part:p43"}, true)};
  CHECK(told(trip, pin(1)) ==
        Lines{"2026-06-08<2026-06-08 Dunmarrow bought", "2026-07-15<2026-07-15 home home"});
  trip.stops[0].sold = {};
  trip.stops[0].parcels = true;
  CHECK(told(trip, pin(1)) == Lines{"2026-07-15<2026-07-15 home home"});
  TripLine day_out{"day", "A day out", {leg(day(2026, 6, 8), day(2026, 6, 8))}, {}};
  day_out.stops = {stop(day(2026, 6, 8), "Counter", {"all"})};
  CHECK(told(day_out, pin(1)) == Lines{"2026-06-08<2026-06-08 home home"});
}

TEST_CASE("A stop every day, each with its own cut-off") {
  TripLine trip{"week", "A week", {leg(day(2026, 6, 1), day(2026, 6, 7))}, {}};
  for (unsigned date = 1; date <= 7; ++date) {
    trip.stops.push_back(stop(day(2026, 6, date), "Post " + std::to_string(date), {}, true));
  }
  CHECK(told(trip, pin(3)) ==
        Lines{"2026-06-04<2026-06-01 Post 4 parcel", "2026-06-05<2026-06-02 Post 5 parcel",
              "2026-06-06<2026-06-03 Post 6 parcel", "2026-06-07<2026-06-07 home home"});
  CHECK(told(trip, pin(0)).size() == 7);
  for (auto& one : trip.stops) {
    one.sold = {"all"};
  }
  CHECK(told(trip, pin(30)).size() == 7);  // bought on each of six days, then home
}

TEST_CASE("Orders that overlap several stops keep rising cut-offs, the useless are left out") {
  TripLine trip = june();
  trip.stops = {stop(day(2026, 6, 20), "A", {}, true), stop(day(2026, 6, 24), "B", {}, true),
                stop(day(2026, 7, 2), "C", {}, true)};
  // Ordered 10 days before: for B before A is reached, for C after B.
  CHECK(told(trip, pin(10)) ==
        Lines{"2026-06-20<2026-06-10 A parcel", "2026-06-24<2026-06-14 B parcel",
              "2026-07-02<2026-06-22 C parcel", "2026-07-15<2026-07-15 home home"});
  // Parcels to B take 8 days more: ordered by 6 June, before the departure.
  trip.stops[1].extra_days = 8;
  CHECK(told(trip, pin(10)).size() == 3);
  // 5 days more: ordered by 9 June, when A's order of the 10th is still to come.
  trip.stops[1].extra_days = 5;
  CHECK(told(trip, pin(10)) == Lines{"2026-06-20<2026-06-10 A parcel",
                                     "2026-07-02<2026-06-22 C parcel",
                                     "2026-07-15<2026-07-15 home home"});
  // No signal from the 10th: all would be ordered on the 9th, and the first stop has it.
  trip.stops[1].extra_days = 0;
  trip.legs[0].to = day(2026, 6, 9);
  trip.legs.insert(trip.legs.begin() + 1, leg(day(2026, 6, 10), day(2026, 6, 19), false));
  trip.legs[2].signal = false;
  CHECK(told(trip, pin(10)) ==
        Lines{"2026-06-20<2026-06-09 A parcel", "2026-07-15<2026-07-15 home home"});
}

TEST_CASE("Several stops on one day are one chance, the latest cut-off") {
  TripLine trip = june();
  trip.stops = {stop(day(2026, 6, 24), "Post", {}, true),
                stop(day(2026, 6, 24), "Counter", {"all"}),
                stop(day(2026, 6, 24), "Kiosk", {"all"})};
  CHECK(told(trip, pin(3)) ==
        Lines{"2026-06-24<2026-06-24 Counter bought", "2026-07-15<2026-07-15 home home"});
}

namespace {

/// The first day on which a piece is aboard in place of one that failed on `failed`, found by
/// trying every day of ordering for every stop.
Date first_made_good(const Trip& trip, const PartSupply& part, int lead, Date failed) {
  using std::chrono::days;
  Date best = trip.end();
  for (const TripStop& one : trip.stops) {
    if (sells(one, part) && one.date >= failed) {
      best = std::min(best, one.date);
    }
    for (const TripLegDraft& ordering : trip.legs) {
      for (Date day = ordering.from; one.parcels && ordering.signal && day <= ordering.to;
           day += days{1}) {
        if (day >= failed && day + days{lead + one.extra_days} <= one.date) {
          best = std::min(best, one.date);
        }
      }
    }
  }
  return best;
}

}  // namespace

TEST_CASE("Receipts make good what an exhaustive search over order days makes good") {
  std::mt19937 random(20260608);  // the engine's numbers are fixed by the C++ standard
  const auto below = [&random](unsigned n) { return static_cast<int>(random() % n); };
  using std::chrono::days;
  for (int round = 0; round < 400; ++round) {
    TripLine line{"any", "Any", {}, {}};
    Date from = day(2026, 6, 1);
    for (int legs = 1 + below(4); legs > 0; --legs) {
      line.legs.push_back(leg(from, from + days{below(9)}, below(3) > 0));
      from = line.legs.back().to + days{1};
    }
    const auto length = static_cast<unsigned>(days_between(line.legs.front().from, from));
    for (int stops = below(5); stops > 0; --stops) {
      line.stops.push_back(
          stop(line.legs.front().from + days{below(length)}, "Stop " + std::to_string(stops),
               below(3) == 0 ? Lines{"part:p43"} : Lines{}, below(2) == 0, below(2) * below(6)));
    }
    const int lead = below(12);
    const Trip trip = usable_trip(line);
    const auto chances = receipts(trip, pin(lead));
    INFO("round " << round << ", lead " << lead);
    for (std::size_t i = 1; i + 1 < chances.size(); ++i) {
      CHECK(chances[i - 1].cutoff < chances[i].cutoff);
      CHECK(chances[i - 1].day < chances[i].day);
    }
    for (Date failed = trip.departure(); failed <= trip.end(); failed += days{1}) {
      const auto first = std::find_if(chances.begin(), chances.end(),
                                      [failed](const auto& one) { return one.cutoff >= failed; });
      REQUIRE(first != chances.end());
      CHECK(first->day == first_made_good(trip, pin(lead), lead, failed));
    }
  }
}

TEST_CASE("A lead time that is none is refused") {
  const Trip trip = usable_trip(june());
  CHECK_THROWS_WITH(receipts(trip, pin(-1)), Contains("-1") && Contains("p43"));
  CHECK_THROWS_AS(receipts(trip, pin(std::numeric_limits<double>::infinity())), InputError);
  CHECK_THROWS_AS(receipts(trip, pin(std::numeric_limits<double>::quiet_NaN())), InputError);
}

TEST_CASE("The entry holds the whole plan in order, and notes what it lacks") {
  SnapshotBuilder world;
  world.add_class("shear-pin").sensitivity = {{"freezing", 1.2}};
  world.add_part("p43", "shear-pin");
  const Catalogue& catalogue = *world.build().catalogue;
  const When when{day(2026, 5, 25), day(2026, 5, 25), {}, "a thought"};
  TripLine trip = june();
  trip.stops = {stop(day(2026, 7, 8), "Ketterfold", {"Part: P43", "part:p43", "all"})};
  std::swap(trip.legs[0], trip.legs[1]);
  trip.legs[0].conditions = {"freezing"};
  const Plan plan = plan_trip(catalogue, {when, trip});
  REQUIRE(plan.entries.size() == 1);
  CHECK(plan.entries[0].kind == EntryKind::trip);
  CHECK(plan.entries[0].happened == day(2026, 5, 25));
  CHECK(plan.entries[0].note == "a thought");
  REQUIRE(plan.entries[0].trips.size() == 1);
  const TripLine& kept = plan.entries[0].trips[0];
  CHECK(kept.legs[0].from == day(2026, 6, 8));
  CHECK(kept.stops[0].sold == Lines{"part:p43", "all"});
  CHECK(plan.outcome.notes.empty());
  trip.legs.pop_back();
  trip.stops.clear();
  trip.legs.back().conditions = {"smog"};
  trip.legs[0].from = day(2026, 6, 21);
  const Plan lacking = plan_trip(catalogue, {when, trip});
  REQUIRE(lacking.outcome.notes.size() == 2);
  CHECK_THAT(lacking.outcome.notes[0], Contains("smog") && Contains("freezing"));
  CHECK_THAT(lacking.outcome.notes[1], Contains("--from 2026-06-20 --to 2026-06-20"));
}

TEST_CASE("A stop cannot sell what the catalogue does not hold, nor is tomorrow's plan recorded") {
  const SnapshotBuilder world;
  const When when{day(2026, 5, 25), day(2026, 5, 25), {}, {}};
  for (const char* word : {"part:p99", "class:none-such", "supplier:nobody"}) {
    TripLine trip = june();
    trip.stops = {stop(day(2026, 7, 8), "Ketterfold", {word})};
    CHECK_THROWS_WITH(plan_trip(*world.build().catalogue, {when, trip}),
                      Contains(word) && Contains("Ketterfold") && Contains("list"));
  }
  const When tomorrow{day(2026, 5, 26), day(2026, 5, 25), {}, {}};
  CHECK_THROWS_AS(plan_trip(*world.build().catalogue, {tomorrow, june()}), InputError);
  CHECK_THROWS_AS(plan_trip_removal(tomorrow, "june"), InputError);
}

TEST_CASE("A removed trip is a plan of nothing, no plan that may be kept looks like it") {
  const Plan plan = plan_trip_removal({day(2026, 5, 25), day(2026, 5, 25), {}, {}}, "june");
  REQUIRE(plan.entries.size() == 1);
  CHECK(plan.entries[0].trips[0].key == "june");
  CHECK(is_removed(plan.entries[0].trips[0]));
  CHECK(refusal(plan.entries[0].trips[0]) != "kept");
  CHECK_FALSE(is_removed(june()));
  CHECK_FALSE(is_removed(TripLine{"june", "June", {}, {}}));
}

TEST_CASE("A meter counts no more than its days can hold, and no trip is longer than ten years") {
  SnapshotBuilder world;
  const auto refused = [&](const std::string& unit, double amount) {
    auto& meter = world.add_meter(unit + "-meter", unit);
    auto trip = june();
    trip.legs.front().use = {{meter.id, amount}};  // twelve days
    try {
      plan_trip(*world.build().catalogue, {{day(2026, 5, 25), day(2026, 5, 25), {}, {}}, trip});
    } catch (const InputError& error) {
      return std::string(error.what());
    }
    return std::string();
  };
  CHECK_THAT(refused("nights", 91622),
             Contains("91622") && Contains("at most 12") && Contains("example"));
  CHECK(refused("nights", 12).empty());
  CHECK_THAT(refused("h", 289), Contains("at most 288"));
  CHECK(refused("h", 288).empty());
  CHECK_THAT(refused("km", 24001), Contains("at most 24000"));
  CHECK(refused("mi", 24000).empty());
  CHECK_FALSE(refused("cycles", 86400.0 * 12 + 1).empty());
  CHECK(refused("cycles", 86400.0 * 12).empty());

  CHECK_NOTHROW(check_stretch(kLongestStretch));
  CHECK_THROWS_WITH(check_stretch(999999),
                    Contains("999999") && Contains("3650") && Contains("example: --days 38"));
  auto trip = june();
  trip.legs.push_back(leg(day(2026, 7, 16), day(2040, 7, 15)));
  CHECK_THROWS_WITH(check_trip(trip), Contains("3650") && Contains("example"));
}
