// The whole kit under limits, on worlds small enough to look at every kit.

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "advice/trip_world.hpp"
#include "shearpin/base/error.hpp"

using namespace shearpin;
using namespace shearpin::advice;
using namespace shearpin::advice::testing;

namespace {

/// Three parts that fail every hundred days or so, and are heavy, dear or neither.
AdviceWorld three_parts() {
  AdviceWorld world;
  auto& its_class = world.catalogue().classes.front();
  its_class.life_median = 100;
  its_class.life_low = 50;
  its_class.life_high = 200;
  world.add_fitted("heavy", Money{500}, 4000);
  world.add_fitted("dear", Money{9000}, 200);
  world.add_fitted("light", Money{100}, 50);
  for (auto& part : world.catalogue().parts) {
    part.volume_ml = 1000;
  }
  world.add_stock("light", "box", 1);
  world.add_stock("heavy", "shed", 2);
  return world;
}

CarryAnswer ask(const AdviceWorld& world, const KitLimits& limits) {
  return advise_carry(world.build(), whole(plain_trip(day(2026, 6, 1), 40)), {},
                      {limits, std::nullopt});
}

KitView kit_of(const AdviceWorld& world, const KitLimits& limits) {
  return ask(world, limits).kit.value();
}

}  // namespace

TEST_CASE("Each limit alone is kept, and what it takes is told") {
  const AdviceWorld world = three_parts();
  KitLimits mass, volume, money, spent;
  mass.max_mass_g = 4500;
  volume.max_volume_ml = 3000;
  money.max_cost = 20;
  spent.add_cost = 1;
  for (const auto& limits : {mass, volume, money, spent}) {
    const auto kit = kit_of(world, limits);
    REQUIRE(kit.found);
    CHECK(kit.optimal);
    REQUIRE(kit.limits.size() == 1);
    CHECK(kit.limits[0].use <= kit.limits[0].most + 1e-9);
    double grams = 0, millilitres = 0, worth = 0, bought = 0;
    for (const auto& line : kit.lines) {
      const double n = static_cast<double>(line.kit);
      const bool heavy = line.part == "heavy", dear = line.part == "dear";
      grams += n * (heavy ? 4000 : dear ? 200 : 50);
      millilitres += n * 1000;
      worth += n * (heavy ? 5 : dear ? 90 : 1);
      bought += static_cast<double>(line.buy) * (heavy ? 5 : dear ? 90 : 1);
    }
    const double told = kit.limits[0].use;
    CHECK(told == Approx(limits.max_mass_g      ? grams
                         : limits.max_volume_ml ? millilitres
                         : limits.max_cost      ? worth
                                                : bought));
  }
}

TEST_CASE("The best kit is the best of all kits that there are") {
  AdviceWorld world = three_parts();
  world.edit().stock.clear();
  KitLimits limits;
  limits.max_mass_g = 8600;
  limits.max_cost = 200;
  const auto window = whole(plain_trip(day(2026, 6, 1), 40));
  const auto kit = kit_of(world, limits);
  REQUIRE(kit.found);
  // Cost of a kit from what explain tells of every stock of one part.
  std::map<std::string, std::vector<double>> costs;
  for (const char* part : {"heavy", "dear", "light"}) {
    for (const auto& row : advise_explain(world.build(), world.part(part), window).worth) {
      costs[part].push_back(row.cost_of_days);
    }
  }
  double best = 1e300;
  const auto most = [&](const char* part) {
    return static_cast<std::size_t>(line_of(kit, part).advised);
  };
  for (std::size_t h = 0; h <= most("heavy"); ++h) {
    for (std::size_t d = 0; d <= most("dear"); ++d) {
      for (std::size_t l = 0; l <= most("light"); ++l) {
        const auto x = static_cast<double>(h), y = static_cast<double>(d),
                   z = static_cast<double>(l);
        if (4000 * x + 200 * y + 50 * z <= 8600 && 5 * x + 90 * y + z <= 200) {
          best = std::min(best, costs["heavy"][h] + costs["dear"][d] + costs["light"][l]);
        }
      }
    }
  }
  CHECK(kit.cost_without == Approx(best).margin(1e-8));
}

TEST_CASE("Limits on what is added leave what is aboard, pieces ashore are loaded, not bought") {
  const AdviceWorld world = three_parts();
  KitLimits nothing;
  nothing.add_mass_g = 0;
  const auto same = kit_of(world, nothing);
  REQUIRE(same.found);
  for (const auto& line : same.lines) {
    CHECK(line.kit == line.aboard);
  }
  KitLimits no_money;
  no_money.add_cost = 0;
  const auto free = kit_of(world, no_money);
  REQUIRE(free.found);
  CHECK(line_of(free, "heavy").load == std::min<std::int64_t>(2, line_of(free, "heavy").kit));
  CHECK(line_of(free, "heavy").kit > 0);
  for (const auto& line : free.lines) {
    CHECK(line.buy == 0);
    CHECK(line.kit >= line.aboard);
  }
}

TEST_CASE("What rides outside weighs, but takes no room") {
  AdviceWorld world = three_parts();
  world.edit().stock.clear();
  world.add_bin("carrier").outside_volume = true;
  world.add_stock("heavy", "carrier", 1);
  KitLimits limits;
  limits.max_volume_ml = 0;
  limits.max_mass_g = 1e6;
  const auto kit = kit_of(world, limits);
  REQUIRE(kit.found);
  CHECK(line_of(kit, "heavy").kit >= 1);
  CHECK(line_of(kit, "dear").kit == 0);
  CHECK(kit.limits.at(0).what == "mass aboard");
  CHECK(kit.limits[0].use == Approx(4000.0 * static_cast<double>(line_of(kit, "heavy").kit)));
  CHECK(kit.limits.at(1).use == 0);
}

TEST_CASE("No mass at all: nothing aboard, and the safety parts' need told with figures") {
  AdviceWorld world = three_parts();
  world.catalogue().positions.front().severity = domain::Severity::safety;
  KitLimits limits;
  limits.max_mass_g = 0;
  const auto kit = kit_of(world, limits);
  REQUIRE(kit.found);
  for (const auto& line : kit.lines) {
    CHECK(line.kit == 0);
  }
  REQUIRE(kit.safety_short.size() == 1);
  CHECK(kit.safety_short[0].what == "mass aboard");
  CHECK(kit.safety_short[0].most == 0);
  CHECK(kit.safety_short[0].needed ==
        Approx(4000.0 * static_cast<double>(line_of(kit, "heavy").advised)));
}

TEST_CASE("Safety first: the last of the mass goes to the safety part") {
  AdviceWorld world = three_parts();
  world.edit().stock.clear();
  world.catalogue().positions[1].severity = domain::Severity::safety;  // dear, 200 g
  KitLimits limits;
  limits.max_mass_g = 200;
  const auto kit = kit_of(world, limits);
  REQUIRE(kit.found);
  CHECK(line_of(kit, "dear").kit == 1);
  CHECK(line_of(kit, "light").kit == 0);
}

TEST_CASE("A risk cap is kept, or refused with what stands in the way") {
  AdviceWorld world = three_parts();
  for (auto& position : world.catalogue().positions) {
    position.severity = domain::Severity::stranded;
  }
  KitLimits limits;
  limits.max_risk = {{domain::Severity::stranded, 0.001}};
  const auto kit = kit_of(world, limits);
  REQUIRE(kit.found);
  REQUIRE(kit.risks.size() == 1);
  CHECK(kit.risks[0].chance <= 0.001);
  double none = 1;
  for (const auto& line : kit.lines) {
    none *= line.chance;
  }
  CHECK(kit.risks[0].chance == Approx(1 - none).margin(1e-12));
  CHECK(kit.readiness == Approx(none).margin(1e-12));
  limits.max_mass_g = 100;
  const auto refused = kit_of(world, limits);
  CHECK_FALSE(refused.found);
  CHECK_FALSE(refused.undecided);
  REQUIRE(refused.conflicts.size() == 2);
  for (const auto& conflict : refused.conflicts) {
    CHECK(conflict.needed > conflict.most);
  }
}

TEST_CASE("Worn take-offs count as carry counts them, unless what is aboard is weighed") {
  AdviceWorld world = three_parts();
  auto& worn = world.add_stock("light", "box", 2);
  worn.state = domain::LotState::worn;
  worn.age = 20;
  KitLimits nothing;
  nothing.add_mass_g = 0;
  nothing.add_cost = 0;
  const auto answer = ask(world, nothing);
  const auto light = std::find_if(answer.lines.begin(), answer.lines.end(),
                                  [](const auto& line) { return line.part == "light"; });
  REQUIRE(light != answer.lines.end());
  REQUIRE(light->stock.worn_chance > 0.1);
  const double with_worn = line_of(*answer.kit, "light").chance;
  CHECK(with_worn == Approx(light->chance_aboard).margin(1e-12));
  CHECK(answer.kit->readiness == Approx(answer.readiness_aboard).margin(1e-12));
  CHECK(answer.frontier.by_mass.front().readiness == Approx(answer.readiness_aboard).margin(1e-12));
  KitLimits light_kit;
  light_kit.max_mass_g = 50;  // one light one, and nothing worn beside it
  const auto weighed = kit_of(world, light_kit);
  REQUIRE(line_of(weighed, "light").kit == 1);
  CHECK(line_of(weighed, "light").chance < with_worn);
}

TEST_CASE("The frontier runs from what is aboard to what is advised, and only gets better") {
  const auto answer = ask(three_parts(), {});
  CHECK_FALSE(answer.kit);
  for (const auto* points : {&answer.frontier.by_money, &answer.frontier.by_mass}) {
    REQUIRE(points->size() >= 2);
    CHECK(points->front().amount == 0);
    CHECK(points->front().readiness == Approx(answer.readiness_aboard).margin(1e-12));
    CHECK(points->back().readiness == Approx(answer.readiness_carry).margin(1e-9));
    for (std::size_t i = 1; i < points->size(); ++i) {
      CHECK((*points)[i].amount >= (*points)[i - 1].amount);
      CHECK((*points)[i].readiness >= (*points)[i - 1].readiness);
      CHECK((*points)[i].days_without <= (*points)[i - 1].days_without);
    }
  }
}

TEST_CASE("Played through: the same seed the same figures, and carry's chance where leads hold") {
  const AdviceWorld world = three_parts();
  auto trip = plain_trip(day(2026, 6, 1), 60);
  trip.stops = {stop(day(2026, 7, 1), false)};
  CarryOptions options;
  options.simulate = SimulateOptions{20'000, 7, false, {}};
  const auto first = advise_carry(world.build(), whole(trip), {}, options);
  const auto second = advise_carry(world.build(), whole(trip), {}, options);
  REQUIRE(first.simulated);
  CHECK(first.simulated->readiness == second.simulated->readiness);
  for (std::size_t i = 0; i < first.simulated->lines.size(); ++i) {
    const auto& played = first.simulated->lines[i];
    CHECK(played.chance == second.simulated->lines[i].chance);
    CHECK(played.days_without == second.simulated->lines[i].days_without);
    for (const auto& line : first.lines) {
      if (line.part == played.part) {
        const double told =
            line.carry >= line.stock.aboard ? line.chance_carry : line.chance_aboard;
        // What stands dead does not fail again, so play may only be kinder beyond its error.
        CHECK(std::fabs(played.chance - told) <= 4 * played.chance_error + 0.003);
      }
    }
  }
  CHECK_THROWS_AS(advise_carry(world.build(), world.window(38), {}, options), InputError);
}

TEST_CASE("Played through: a substitute helps, a larger fuse is none") {
  AdviceWorld world = three_parts();
  world.edit().stock.clear();
  world.catalogue().classes.front().life_median = 30;
  world.add_stock("dear", "box", 6);
  KitLimits limits;
  limits.max_mass_g = 1200;  // six of the dear ones, and no heavy one
  CarryOptions options;
  options.limits = limits;
  options.simulate = SimulateOptions{4'000, 1, false, {}};
  const auto heavy = [&] {
    const auto answer =
        advise_carry(world.build(), whole(plain_trip(day(2026, 6, 1), 60)), {}, options);
    for (const auto& line : answer.simulated->lines) {
      if (line.part == "heavy") {
        return line.days_without;
      }
    }
    throw std::logic_error("no line");
  };
  const double alone = heavy();
  auto& substitute = world.add_substitute("dear", "heavy");
  substitute.forbidden = true;  // as a fuse of a larger rating is kept in the table
  CHECK(heavy() == alone);
  substitute.forbidden = false;
  CHECK(heavy() < alone);
}
