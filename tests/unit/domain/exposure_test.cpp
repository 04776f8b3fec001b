// Expected figures are worked by hand in the comments from dated readings (linear between them).
#include "shearpin/domain/exposure.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <random>

#include "small_world.hpp"

using namespace shearpin;
using namespace shearpin::domain;
using shearpin::domain::test::day;
using shearpin::domain::test::World;

namespace {

/// Engine hours of a truck over four seasons.
const std::vector<std::pair<const char*, double>> kEngineHours = {
    {"2023-04-01", 4120}, {"2023-06-30", 4236}, {"2023-09-01", 4372}, {"2023-11-20", 4489},
    {"2024-04-08", 4491}, {"2024-06-30", 4628}, {"2024-09-05", 4799}, {"2024-11-18", 4936},
    {"2025-04-02", 4938}, {"2025-06-12", 5049}, {"2025-08-03", 5206}, {"2025-11-14", 5367},
    {"2026-04-06", 5369}, {"2026-05-24", 5392}};

World with_air_filter(double dust_factor) {
  World world("2026-05-25");
  ComponentClass& kind = world.component_class("air-filter-engine", Basis::engine_hours);
  if (dust_factor > 1) {
    kind.sensitivity["smoke-dust"] = dust_factor;
  }
  const MeterId hours = world.meter("engine-h", "h", kEngineHours);
  world.position("air-filter", world.part("filter", kind.id)).meter = hours;
  world.condition("smoke-dust", "2023-07-01", "2023-08-20");
  world.condition("smoke-dust", "2024-07-01", "2024-09-05");
  return world;
}

Exposure between(const World& world, std::string_view from, std::string_view to) {
  const ExposureReader reader(world.snapshot);
  return reader.between(world.catalogue().positions[0], day(from), day(to));
}

}  // namespace

TEST_CASE("meter readings are spread evenly over the days between them") {
  const World world = with_air_filter(1);
  // 116 h in 90 days to 2023-06-30, of which 88
  CHECK(between(world, "2023-04-01", "2023-06-28").plain == Approx(116.0 * 88 / 90));
  // then 136 h in 63 days: 2 days of the first stretch and 19 of the second, 43.59
  CHECK(between(world, "2023-06-28", "2023-07-19").plain ==
        Approx(116.0 * 2 / 90 + 136.0 * 19 / 63));
  // The hours that a mechanic's own table of this filter gives, to the whole hour.
  const struct {
    const char *in, *out;
    double hours;
  } table[] = {{"2023-04-01", "2023-06-28", 113}, {"2023-06-28", "2023-07-19", 44},
               {"2023-07-19", "2023-08-21", 71},  {"2023-08-21", "2024-07-08", 300},
               {"2024-07-08", "2024-08-02", 64},  {"2024-08-02", "2024-08-29", 69},
               {"2024-08-29", "2026-05-24", 611}};
  for (const auto& row : table) {
    const Exposure run = between(world, row.in, row.out);
    CAPTURE(row.in, run.plain);
    CHECK(std::abs(run.plain - row.hours) <= 0.5);
    CHECK(run.effective == run.plain);
    CHECK_FALSE(run.assumed());
  }
}

TEST_CASE("a day under a condition counts with its factor, first and last day in full") {
  const World world = with_air_filter(4);
  // 2 days at 116/90 h and 19 days at 136/63 h, of which the 18 from 07-01 to 07-18 count 4 times:
  // 2.577778 + 41.015873 + 3 * 38.857143 = 160.165079
  const Exposure run = between(world, "2023-06-28", "2023-07-19");
  CHECK(run.plain == Approx(43.593651).epsilon(1e-7));
  CHECK(run.effective == Approx(160.165079).epsilon(1e-7));
  // The last dusty day is 08-20; the day after it counts once.
  CHECK(between(world, "2023-08-20", "2023-08-21").effective == Approx(4 * 136.0 / 63));
  CHECK(between(world, "2023-08-21", "2023-08-22").effective == Approx(136.0 / 63));
  CHECK(between(world, "2023-08-21", "2023-08-21").effective == 0);
  CHECK_THROWS_AS(between(world, "2023-08-21", "2023-08-20"), std::logic_error);
}

TEST_CASE("conditions multiply up to the cap, and one that is noted twice counts once") {
  World world("2024-12-31");
  ComponentClass& kind = world.component_class("bolt", Basis::days);
  kind.sensitivity = {{"rough-road", 3}, {"smoke-dust", 2}, {"salt", 2}};
  world.position("bolt", world.part("bolt", kind.id));
  world.condition("rough-road", "2024-01-01", "2024-01-10");
  world.condition("smoke-dust", "2024-01-06", "2024-01-15");
  world.condition("smoke-dust", "2024-01-08", "2024-01-12", RigId{1});  // the same dust again
  world.condition("salt", "2024-01-09", "2024-01-09");
  world.condition("rough-road", "2024-01-01", "2024-12-31", RigId{2});  // the other rig
  world.condition("heat", "2024-01-01", "2024-12-31");                  // not sensitive to it
  // 5 days x3, 3 days x6, 1 day x12 capped at 8, 1 day x6, 5 days x2: 15 + 18 + 8 + 6 + 10 = 57
  CHECK(between(world, "2024-01-01", "2024-01-16").effective == Approx(57));
  world.snapshot.policy.set("condition-cap", 100);
  CHECK(between(world, "2024-01-01", "2024-01-16").effective == Approx(57 - 8 + 12));
}

TEST_CASE("a condition without an end still holds, and only for what is sensitive") {
  World world("2024-12-31");
  ComponentClass& kind = world.component_class("bolt", Basis::days);
  kind.sensitivity = {{"salt", 2}};
  world.position("bolt", world.part("bolt", kind.id));
  world.condition("salt", "2024-06-01", "");
  CHECK(between(world, "2024-05-30", "2024-12-31").effective == Approx(2 + 2 * 213));
  CHECK(between(world, "2024-05-30", "2024-12-31").plain == 215);
}

TEST_CASE("days are differences of dates, leap days included") {
  World world("2024-12-31");
  world.position("bolt", world.part("bolt", world.component_class("bolt", Basis::days).id));
  CHECK(between(world, "2024-02-28", "2024-03-01").plain == 2);
  CHECK(between(world, "2023-02-28", "2023-03-01").plain == 1);
  CHECK(between(world, "2024-02-29", "2025-02-28").plain == 365);
  CHECK(between(world, "2024-02-29", "2024-02-29").plain == 0);
}

TEST_CASE("outside the readings the mean rate of the nearest year holds, and is marked") {
  World world("2026-01-01");
  const ClassId kind = world.component_class("tyre", Basis::distance_km).id;
  // 10 km a day over 182 days, then 20 km a day over 365 days
  const MeterId km =
      world.meter("km", "km", {{"2024-01-01", 0}, {"2024-07-01", 1820}, {"2025-07-01", 9120}});
  world.position("tyre", world.part("tyre", kind)).meter = km;
  const Exposure after = between(world, "2025-07-01", "2025-07-11");
  CHECK(after.plain == Approx(200));
  CHECK(after.outside_readings);
  CHECK(after.assumed());
  CHECK_FALSE(after.class_rate);
  // The first 365 days: (1820 + 183 * 20) / 365 = 15.013699 a day
  CHECK(between(world, "2023-12-22", "2024-01-01").plain == Approx(10 * 5480.0 / 365));
  CHECK_FALSE(between(world, "2024-01-01", "2025-07-01").assumed());
  CHECK(ExposureReader(world.snapshot).rate_of(km) == Approx(20));
}

TEST_CASE("a replaced meter goes on from its new first reading") {
  World world("2024-12-31");
  const ClassId kind = world.component_class("tyre", Basis::distance_km).id;
  const MeterId km = world.meter("km", "km", {{"2024-01-01", 1000}, {"2024-01-11", 1100}});
  world.position("tyre", world.part("tyre", kind)).meter = km;
  SECTION("on another day: the gap is taken at the rate before it") {
    world.read(km, "2024-01-21", 0, true);
    world.read(km, "2024-01-31", 50);
    // 100 km read, 10 days at 10 km, 50 km read
    CHECK(between(world, "2024-01-01", "2024-01-31").plain == Approx(250));
    CHECK(between(world, "2024-01-01", "2024-01-31").outside_readings);
    CHECK_FALSE(between(world, "2024-01-21", "2024-01-31").outside_readings);
    CHECK(between(world, "2024-01-21", "2024-01-31").plain == Approx(50));
  }
  SECTION("on the same day: there is no gap") {
    world.read(km, "2024-01-11", 7, true);
    world.read(km, "2024-01-21", 57);
    CHECK(between(world, "2024-01-01", "2024-01-21").plain == Approx(150));
    CHECK_FALSE(between(world, "2024-01-01", "2024-01-21").outside_readings);
  }
}

TEST_CASE("without readings the usual rate holds: meter's, position's, class's") {
  World world("2024-12-31");
  ComponentClass& kind = world.component_class("pump", Basis::run_hours);
  kind.usual_per_day = 0.7;
  const MeterId hours = world.meter("pump-h", "h", {{"2024-01-01", 10}});
  const MeterId nights = world.meter("nights", "nights", {{"2024-01-01", 0}, {"2024-02-20", 25}});
  Position& pump = world.position("pump", world.part("pump", kind.id));
  SECTION("one reading gives no rate") {
    pump.meter = hours;
    world.catalogue().meters[0].usual_per_day = 2;
    const Exposure run = between(world, "2024-01-01", "2024-01-11");
    CHECK(run.plain == Approx(20));
    CHECK_FALSE(run.assumed());
  }
  SECTION("a rate by the day") {
    pump.usual_per_day = 0.4;
    CHECK(between(world, "2024-01-01", "2024-01-11").plain == Approx(4));
    CHECK_FALSE(between(world, "2024-01-01", "2024-01-11").assumed());
  }
  SECTION("a rate by the night: half the nights are lived in") {
    pump.usual_per_day = 0.4;
    pump.usual_meter = nights;
    CHECK(between(world, "2024-01-01", "2024-01-11").plain == Approx(0.4 * 5));
    CHECK_FALSE(between(world, "2024-01-01", "2024-01-11").assumed());
  }
  SECTION("the class's rate is a belief and is marked") {
    pump.meter = nights;  // counts nothing a pump ages in
    CHECK(between(world, "2024-01-01", "2024-01-11").plain == Approx(7));
    CHECK(between(world, "2024-01-01", "2024-01-11").class_rate);
  }
}

TEST_CASE("a substitute ages in the basis and with the sensitivity of its own class") {
  World world("2024-12-31");
  const ClassId rubber = world.component_class("stem-rubber", Basis::days).id;
  ComponentClass& metal = world.component_class("stem-metal", Basis::days);
  metal.sensitivity = {{"salt", 3}};
  world.part("rubber", rubber);
  world.position("stems", PartId{1}, 4);
  world.condition("salt", "2024-01-01", "2024-01-05");
  const ExposureReader reader(world.snapshot);
  const Position& stems = world.catalogue().positions[0];
  const ComponentClass& other = world.catalogue().classes[1];
  CHECK(reader.between(stems, day("2024-01-01"), day("2024-01-11")).effective == Approx(10));
  CHECK(reader.between(stems, &other, day("2024-01-01"), day("2024-01-11")).effective ==
        Approx(20));
  CHECK(reader.between(stems, nullptr, day("2024-01-01"), day("2024-01-11")).effective ==
        Approx(10));
}

TEST_CASE("prefix sums agree with counting day by day") {
  // Random readings and conditions, seeded; the oracle looks at every single day.
  const auto seed = GENERATE(1u, 2u, 3u, 4u, 5u, 6u, 7u, 8u);
  CAPTURE(seed);
  std::mt19937 random(seed);
  const auto pick = [&random](int most) {
    return static_cast<int>(random() % static_cast<unsigned>(most));
  };
  World world("2024-12-31");
  ComponentClass& kind = world.component_class("part", Basis::distance_km);
  const std::vector<std::string> names{"dust", "salt", "heat"};
  kind.sensitivity = {{"dust", 2.5}, {"salt", 1.7}, {"heat", 4}};
  const MeterId km = world.meter("km", "km", {});
  world.position("place", world.part("part", kind.id)).meter = km;
  const Date start = day("2023-01-01");
  std::vector<double> daily(800, 0);
  double sum = 0;
  int at = 0;
  while (at < 780) {
    world.read(km, to_text(start + std::chrono::days(at)), sum);
    const int days = 1 + pick(60);
    const double run = pick(500);
    for (int d = at; d < std::min(at + days, 800); ++d) {
      daily[static_cast<std::size_t>(d)] = run / days;
    }
    sum += run;
    at += days;
  }
  world.read(km, to_text(start + std::chrono::days(at)), sum);
  std::vector<double> factor(800, 1);
  std::vector<std::vector<bool>> holds(3, std::vector<bool>(800, false));
  for (int i = 0; i < 12; ++i) {
    const int from = pick(700);
    const int length = pick(90);
    const auto which = static_cast<std::size_t>(pick(3));
    world.condition(names[which], to_text(start + std::chrono::days(from)),
                    to_text(start + std::chrono::days(from + length)));
    for (int d = from; d <= from + length && d < 800; ++d) {
      holds[which][static_cast<std::size_t>(d)] = true;
    }
  }
  const ExposureReader reader(world.snapshot);
  for (int i = 0; i < 50; ++i) {
    const int from = pick(700);
    const int to = from + pick(760 - from);
    double plain = 0;
    double effective = 0;
    for (int d = from; d < to; ++d) {
      const auto n = static_cast<std::size_t>(d);
      double product = 1;
      for (std::size_t c = 0; c < 3; ++c) {
        product *= holds[c][n] ? kind.sensitivity.at(names[c]) : 1;
      }
      plain += daily[n];
      effective += daily[n] * std::min(product, 8.0);
    }
    const Exposure run =
        reader.between(world.catalogue().positions[0], start + std::chrono::days(from),
                       start + std::chrono::days(to));
    CHECK(run.plain == Approx(plain).epsilon(1e-10).margin(1e-9));
    CHECK(run.effective == Approx(effective).epsilon(1e-10).margin(1e-9));
  }
}

TEST_CASE("a stretch ahead takes the amounts given, else the rate so far") {
  World world("2025-07-01");
  ComponentClass& kind = world.component_class("tyre", Basis::distance_km);
  kind.sensitivity = {{"rough-road", 2}, {"heat", 1.5}, {"salt", 3}};
  const MeterId km = world.meter("km", "km", {{"2025-01-01", 0}, {"2025-07-01", 1810}});
  world.position("tyre", world.part("tyre", kind.id)).meter = km;
  world.condition("salt", "2025-06-01", "");  // still open: not part of a plan
  const ExposureReader reader(world.snapshot);
  const Position& tyre = world.catalogue().positions[0];
  PlannedStretch ahead;
  ahead.start = day("2025-07-01");
  ahead.days = 30;
  // 181 days, 10 km a day
  CHECK(reader.stretch(tyre, ahead).effective == Approx(300));
  CHECK_FALSE(reader.stretch(tyre, ahead).amount_given);
  CHECK_FALSE(reader.stretch(tyre, ahead).assumed);
  ahead.use[km] = 600;
  CHECK(reader.stretch(tyre, ahead).plain == Approx(600));
  CHECK(reader.stretch(tyre, ahead).amount_given);
  // 20 km a day: 10 days x2, 20 days x1 = 800
  ahead.conditions = {{"rough-road", 10}};
  CHECK(reader.stretch(tyre, ahead).effective == Approx(800));
  CHECK(reader.stretch(tyre, ahead).per_day == Approx(800.0 / 30));
  // with heat all along: 10 days x3, 20 days x1.5 = 20 * 60
  ahead.conditions.emplace_back("heat", kWholeStretch);
  CHECK(reader.stretch(tyre, ahead).effective == Approx(1200));
  // named twice, the longer one holds: 15 days x3, 15 days x1.5 = 20 * 67.5
  ahead.conditions.emplace_back("rough-road", 15);
  CHECK(reader.stretch(tyre, ahead).effective == Approx(1350));
  // longer than the stretch, and capped: 2 * 1.5 * 3 = 9 -> 8
  ahead.conditions = {{"rough-road", 99}, {"heat", 30}, {"salt", kWholeStretch}};
  CHECK(reader.stretch(tyre, ahead).effective == Approx(600 * 8));
}

TEST_CASE("a stretch of no days asks for nothing unless an amount is given") {
  World world("2025-07-01");
  const ClassId kind = world.component_class("tyre", Basis::distance_km).id;
  const MeterId km = world.meter("km", "km", {{"2025-01-01", 0}, {"2025-07-01", 1810}});
  world.position("tyre", world.part("tyre", kind)).meter = km;
  const ExposureReader reader(world.snapshot);
  PlannedStretch ahead;
  ahead.start = day("2025-07-01");
  const Position& tyre = world.catalogue().positions[0];
  CHECK(reader.stretch(tyre, ahead).effective == 0);
  CHECK(reader.stretch(tyre, ahead).per_day == 0);
  ahead.use[km] = 40;
  CHECK(reader.stretch(tyre, ahead).effective == 40);
}

TEST_CASE("a stretch knows usual rates, by the night too, and marks the class's") {
  World world("2025-07-01");
  ComponentClass& kind = world.component_class("pump", Basis::run_hours);
  kind.usual_per_day = 0.7;
  const PartId part = world.part("pump", kind.id);
  const MeterId nights = world.meter("nights", "nights", {{"2025-05-01", 0}, {"2025-06-30", 30}});
  Position& by_night = world.position("pump", part);
  by_night.usual_per_day = 0.4;
  by_night.usual_meter = nights;
  world.position("spare-pump", part);
  const MeterId unread = world.meter("hours", "h", {});
  world.position("metered", part).meter = unread;
  const ExposureReader reader(world.snapshot);
  const auto& positions = world.catalogue().positions;
  PlannedStretch ahead;
  ahead.start = day("2025-07-01");
  ahead.days = 20;
  CHECK(reader.stretch(positions[0], ahead).effective == Approx(0.4 * 10));  // every other night
  CHECK(reader.stretch(positions[1], ahead).effective == Approx(14));
  CHECK(reader.stretch(positions[1], ahead).assumed);
  ahead.use = {{nights, 18}, {unread, 33}};
  CHECK(reader.stretch(positions[0], ahead).effective == Approx(0.4 * 18));
  CHECK(reader.stretch(positions[1], ahead).effective == Approx(14));
  CHECK(reader.stretch(positions[2], ahead).effective == Approx(33));
  CHECK_FALSE(reader.stretch(positions[2], ahead).assumed);
}

TEST_CASE("what is used up without a position follows the busiest meter") {
  World world("2025-07-01");
  ComponentClass& plug = world.component_class("tyre-plug", Basis::distance_km);
  plug.usual_per_day = 60;
  plug.sensitivity = {{"rough-road", 2}};
  ComponentClass& oil = world.component_class("oil", Basis::engine_hours);
  oil.usual_per_day = 3;
  const MeterId truck = world.meter("truck-km", "km", {{"2025-01-01", 0}, {"2025-07-01", 1810}});
  world.meter("trailer-km", "km", {{"2025-01-01", 0}, {"2025-07-01", 905}}, 2);
  world.meter("engine-h", "h", {{"2025-01-01", 0}, {"2025-07-01", 181}});
  world.meter("generator-h", "h", {{"2025-01-01", 0}, {"2025-07-01", 181}});
  world.condition("rough-road", "2025-01-01", "2025-01-10", RigId{2});
  const ExposureReader reader(world.snapshot);
  const ComponentClass& plugs = world.catalogue().classes[0];
  // 10 km a day, the first ten days count twice on any rig
  CHECK(reader.between(plugs, day("2025-01-01"), day("2025-01-31")).plain == Approx(300));
  CHECK(reader.between(plugs, day("2025-01-01"), day("2025-01-31")).effective == Approx(400));
  // Two engines: neither is meant, so the class's rate counts and is marked.
  const Exposure hours =
      reader.between(world.catalogue().classes[1], day("2025-01-01"), day("2025-01-11"));
  CHECK(hours.effective == Approx(30));
  CHECK(hours.class_rate);
  PlannedStretch ahead;
  ahead.start = day("2025-07-01");
  ahead.days = 10;
  CHECK(reader.stretch(plugs, ahead).effective == Approx(100));
  ahead.use[truck] = 500;
  CHECK(reader.stretch(plugs, ahead).effective == Approx(500));
}
