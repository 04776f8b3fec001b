// Parts that also fit, in the kit under limits: what standing in changes, what it never does, and
// what the simulator says of the same kit.

#include <catch2/catch.hpp>
#include <cmath>

#include "advice/trip_world.hpp"

using namespace shearpin;
using namespace shearpin::advice;
using namespace shearpin::advice::testing;

namespace {

/// Two kinds of elbow at places of their own and a heavy part beside them; lives of some sixty
/// days, three dear elbows aboard and one ashore.
AdviceWorld elbows() {
  AdviceWorld world;
  auto& its_class = world.catalogue().classes.front();
  its_class.life_median = 60;
  its_class.life_low = 30;
  its_class.life_high = 120;
  its_class.shape = 1.5;
  world.add_fitted("cheap", Money{200}, 30);
  world.add_fitted("dear", Money{900}, 40);
  world.add_fitted("heavy", Money{500}, 4000);
  world.add_stock("dear", "box", 3);
  world.add_stock("dear", "shed", 1);
  return world;
}

Window forty_days(bool stops) {
  auto trip = plain_trip(day(2026, 6, 1), 40);
  if (stops) {
    trip.stops = {stop(day(2026, 6, 15), true), stop(day(2026, 6, 28), false)};
  }
  return whole(trip);
}

CarryAnswer ask(const AdviceWorld& world, const KitLimits& limits, const Window& window,
                std::optional<SimulateOptions> simulate = std::nullopt) {
  return advise_carry(world.build(), window, {}, {limits, std::move(simulate)});
}

KitLimits mass(double grams) {
  KitLimits limits;
  limits.max_mass_g = grams;
  return limits;
}

}  // namespace

TEST_CASE("A spare that also fits covers both, one way only, and the kit says so") {
  AdviceWorld world = elbows();
  const auto limits = mass(120);  // the three dear ones, or some of either
  const auto apart = ask(world, limits, forty_days(false)).kit.value();
  CHECK(line_of(apart, "dear").also_serves.empty());
  world.add_substitute("dear", "cheap");
  const auto together = ask(world, limits, forty_days(false)).kit.value();
  REQUIRE(together.found);
  CHECK(line_of(together, "dear").also_serves == std::vector<std::string>{"cheap"});
  CHECK(line_of(together, "cheap").stand_ins == std::vector<std::string>{"dear"});
  CHECK(line_of(together, "cheap").also_serves.empty());
  CHECK(line_of(together, "heavy").stand_ins.empty());
  // The same kits are open, and each leaves no more to be missed than before.
  CHECK(together.cost_without < apart.cost_without);
  CHECK(together.readiness > apart.readiness);
  CHECK(together.limits.front().use <= 120);
}

TEST_CASE("Standing in is the simulator's, with stops and over a stretch of days, both ways") {
  AdviceWorld world = elbows();
  world.add_substitute("dear", "cheap");
  world.add_substitute("cheap", "dear");
  world.add_stock("cheap", "box", 1);
  for (const bool stops : {false, true}) {
    INFO("stops " << stops);
    const auto window = forty_days(stops);
    const auto answer = ask(world, mass(110), window, SimulateOptions{40'000, 3, false, {}});
    const auto& kit = answer.kit.value();
    REQUIRE(kit.found);
    double days = 0, variance = 0;
    for (const auto& played : answer.simulated->lines) {
      const auto& line = line_of(kit, played.part);
      INFO(played.part << ": " << line.kit);
      CHECK(played.pieces == line.kit);
      // 0.003: the chance between stops is itself from histories, and both told to a thousandth.
      CHECK(std::fabs(played.chance - line.chance) <= 4 * played.chance_error + 0.003);
      days += played.days_without;
      variance += played.days_error * played.days_error;
    }
    CHECK(std::fabs(answer.simulated->readiness - kit.readiness) <=
          4 * answer.simulated->readiness_error + 0.003);
    // What stands dead does not fail again: with stops the days told are a bound from above.
    CHECK(days <= kit.days_without + 4 * std::sqrt(variance));
    if (!stops) {
      CHECK(days == Approx(kit.days_without).margin(4 * std::sqrt(variance) + 0.01));
    }
  }
  // A stretch of days asks the same of a kit as a trip of one leg.
  const auto trip = ask(world, mass(110), forty_days(false)).kit.value();
  AdviceWorld now = elbows();
  now.add_substitute("dear", "cheap");
  now.add_substitute("cheap", "dear");
  now.add_stock("cheap", "box", 1);
  now.edit().as_of = day(2026, 6, 1);
  const auto stretch = ask(now, mass(110), now.window(40)).kit.value();
  const auto from_now = ask(now, mass(110), forty_days(false)).kit.value();
  CHECK(stretch.cost_without == Approx(from_now.cost_without).epsilon(1e-3));
  CHECK(stretch.readiness == Approx(from_now.readiness).margin(1e-4));
  CHECK(trip.found);
}

TEST_CASE("The best kit with stand-ins is the best of all kits that there are") {
  // Every kit is asked for by itself: limits on what is added leave nothing else open. What the
  // chosen kit leaves to be missed is no more than any of those within the mass.
  AdviceWorld world = elbows();
  world.edit().stock.clear();
  world.add_substitute("dear", "cheap");
  for (const double grams : {40.0, 75.0, 110.0, 150.0}) {
    INFO("grams " << grams);
    const auto kit = ask(world, mass(grams), forty_days(false)).kit.value();
    REQUIRE(kit.found);
    const auto most = [&](const char* part) { return line_of(kit, part).advised; };
    double best = 1e300;
    for (std::int64_t cheap = 0; cheap <= most("cheap"); ++cheap) {
      for (std::int64_t dear = 0; dear <= most("dear"); ++dear) {
        if (30.0 * static_cast<double>(cheap) + 40.0 * static_cast<double>(dear) > grams) {
          continue;
        }
        AdviceWorld packed = world;
        if (cheap > 0) packed.add_stock("cheap", "box", cheap);
        if (dear > 0) packed.add_stock("dear", "box", dear);
        KitLimits nothing;
        nothing.add_mass_g = 0;
        nothing.add_cost = 0;
        const auto only = ask(packed, nothing, forty_days(false)).kit.value();
        REQUIRE(only.found);
        CHECK(line_of(only, "cheap").kit == cheap);
        CHECK(line_of(only, "dear").kit == dear);
        best = std::min(best, only.cost_without);
      }
    }
    CHECK(kit.cost_without == Approx(best).margin(1e-6));
  }
}

TEST_CASE("What lies ashore may be loaded to stand in, but nothing is bought for it") {
  AdviceWorld world = elbows();
  world.edit().stock.clear();
  world.add_stock("dear", "shed", 9);
  // No position calls for the dear one: alone it is not carried at all.
  world.catalogue().positions[1].retired = true;
  KitLimits no_money;
  no_money.add_cost = 0;
  CHECK(line_of(ask(world, no_money, forty_days(false)).kit.value(), "dear").kit == 0);
  world.add_substitute("dear", "cheap");
  const auto kit = ask(world, no_money, forty_days(false)).kit.value();
  CHECK(line_of(kit, "dear").load > 0);
  CHECK(line_of(kit, "dear").kit <= line_of(kit, "cheap").advised);
  CHECK(line_of(kit, "dear").buy == 0);
  world.edit().stock.clear();
  const auto bare = ask(world, mass(5000), forty_days(false)).kit.value();
  for (const auto& line : bare.lines) {
    CHECK((line.part != "dear" || line.kit == 0));
  }
}

TEST_CASE("A fuse of a larger or unknown rating, or a forbidden part, never serves in the kit") {
  AdviceWorld world = elbows();
  const auto alone = ask(world, mass(120), forty_days(false)).kit.value();
  auto& catalogue = world.catalogue();
  catalogue.classes.front().key = "blade-fuse";
  auto& cheap = catalogue.parts[0];
  auto& dear = catalogue.parts[1];
  world.add_substitute("dear", "cheap");
  struct Case {
    std::optional<double> cheap, dear;
    bool serves;
  };
  for (const auto& one : {Case{10, 15, false}, Case{std::nullopt, 10, false},
                          Case{10, std::nullopt, false}, Case{10, 10, true}, Case{15, 10, true}}) {
    cheap.rating_ampere = one.cheap;
    dear.rating_ampere = one.dear;
    const auto kit = ask(world, mass(120), forty_days(false)).kit.value();
    CHECK(line_of(kit, "dear").also_serves.empty() != one.serves);
    CHECK((kit.cost_without < alone.cost_without) == one.serves);
  }
  catalogue.substitutes.front().forbidden = true;
  CHECK(ask(world, mass(120), forty_days(false)).kit->cost_without == alone.cost_without);
  catalogue.substitutes.front().forbidden = false;
  catalogue.substitutes.front().only = catalogue.positions.front().id;
  CHECK(ask(world, mass(120), forty_days(false)).kit->cost_without == alone.cost_without);
}

TEST_CASE("A risk cap looks at those at risk alone, lending to others counts against it") {
  AdviceWorld world = elbows();
  world.catalogue().positions[0].severity = domain::Severity::nuisance;  // cheap
  world.catalogue().positions[1].severity = domain::Severity::stranded;  // dear
  world.catalogue().positions[2].severity = domain::Severity::nuisance;
  world.add_substitute("dear", "cheap");
  KitLimits limits = mass(1e5);
  limits.max_risk = {{domain::Severity::stranded, 0.3}};
  const auto kit = ask(world, limits, forty_days(false)).kit.value();
  REQUIRE(kit.found);
  CHECK(kit.risks.front().chance == Approx(1 - line_of(kit, "dear").chance).margin(1e-9));
  CHECK(kit.risks.front().chance <= 0.3);
}
