#include <catch2/catch.hpp>
#include <cmath>
#include <numeric>

#include "advice/advice_world.hpp"
#include "shearpin/base/error.hpp"

using namespace shearpin;
using namespace shearpin::advice;
using shearpin::advice::testing::AdviceWorld;
using shearpin::advice::testing::day;

TEST_CASE("A penny fuse seldom blown is carried, an equally rare dear heavy part is not") {
  AdviceWorld world;
  world.add_fitted("fuse", Money{40}, 1);
  world.add_fitted("motor", Money{90000}, 30000);
  const auto fuse = world.carry("fuse", 38);
  const auto motor = world.carry("motor", 38);
  // The same life, the same demand: only price and mass differ.
  REQUIRE(fuse.demand.total == motor.demand.total);
  CHECK(fuse.carry >= 1);
  CHECK(fuse.decided_by == DecidedBy::worth);
  CHECK(fuse.reason == "cheap beside a day without");
  CHECK(motor.carry == 0);
  CHECK(motor.reason == "seldom needed, not worth its place");
}

TEST_CASE("Without any history the chance of no failure is the class belief's own") {
  AdviceWorld world;
  auto& part = world.add_part("new", "rare");
  part.price = Money{40};
  world.add_position("new", "new");
  world.add_life("new", 1, day(2026, 5, 25));
  const auto line = world.carry("new", 100);
  // E exp(-(100/s)^b) with ln s ~ N(ln 2800, u), ln b ~ N(0, 0.35): a plain midpoint sum over both,
  // written apart from the engine's quadrature.
  const double u = std::log(8.0) / (2 * 1.2815516);
  const int n = 400;
  double sum = 0, mass = 0;
  for (int i = 0; i < n; ++i) {
    for (int j = 0; j < n; ++j) {
      const double x = -8 + 16 * (i + 0.5) / n, y = -8 + 16 * (j + 0.5) / n;
      const double weight = std::exp(-0.5 * (x * x + y * y));
      const double scale = 2800 * std::exp(u * x), shape = std::exp(0.35 * y);
      sum += weight * std::exp(-std::pow(100 / scale, shape));
      mass += weight;
    }
  }
  CHECK(line.demand.total.front() == Approx(sum / mass).margin(1e-6));
  CHECK(line.share_learnt == Approx(0).margin(1e-6));
}

TEST_CASE("The demand is a whole distribution to a tail of 1e-9, the same on every run") {
  AdviceWorld world;
  for (int i = 0; i < 12; ++i) {
    world.add_fitted("part-" + std::to_string(i), Money{100 + i}, 10);
  }
  const auto first = advise_carry(world.build(), world.window(60));
  const auto second = advise_carry(world.build(), world.window(60));
  REQUIRE(first.lines.size() == 12);
  for (std::size_t i = 0; i < first.lines.size(); ++i) {
    const auto& demand = first.lines[i].demand.total;
    CHECK(std::accumulate(demand.begin(), demand.end(), 0.0) == Approx(1).margin(2e-9));
    CHECK(demand == second.lines[i].demand.total);  // bit for bit, on any number of threads
  }
}

TEST_CASE("A place that stands dead is one certain demand at the start") {
  AdviceWorld world;
  world.add_fitted("fuse", Money{40}, 1);
  world.end_life(day(2026, 5, 20), domain::EndKind::failed);
  const auto line = world.carry("fuse", 10);
  CHECK(line.demand.down == 1);
  CHECK(line.demand.total.front() == 0);
  CHECK(line.chance_aboard == 0);
  CHECK(line.carry >= 1);
  CHECK(line.days_without_aboard == Approx(10).margin(0.5));
}

TEST_CASE("Pieces ashore, expired, expiring on the way or doubtful are not counted") {
  AdviceWorld world;
  world.add_fitted("fuse", Money{40}, 1);
  world.add_stock("fuse", "box", 2);
  world.add_stock("fuse", "shed", 3);
  world.add_stock("fuse", "box", 4).ends = day(2026, 5, 1);
  world.add_stock("fuse", "box", 5).ends = day(2026, 6, 1);
  world.add_stock("fuse", "box", 6).quarantined = true;
  const auto line = world.carry("fuse", 38);
  CHECK(line.stock.aboard == 2);
  CHECK(line.stock.ashore == 3);
  CHECK(line.stock.expired == 4);
  CHECK(line.stock.expiring == 5);
  CHECK(line.stock.quarantined == 6);
}

TEST_CASE("A declared workaround moves a position one severity down, but never for safety") {
  AdviceWorld world;
  world.add_fitted("a", Money{4000}, 100);
  world.catalogue().positions.back().severity = domain::Severity::stranded;
  CHECK(world.carry("a", 38).target == 0.99);
  world.catalogue().positions.back().workaround = "none";
  CHECK(world.carry("a", 38).target == 0.99);
  world.catalogue().positions.back().workaround = "hand crank";
  CHECK(world.carry("a", 38).target == 0.97);
  world.catalogue().positions.back().severity = domain::Severity::safety;
  CHECK(world.carry("a", 38).target == 0.995);
}

TEST_CASE("A part at several positions takes the strictest target and all their demand") {
  AdviceWorld world;
  world.add_fitted("fuse", Money{40}, 1);
  const double alone = world.carry("fuse", 200).demand.mean;
  world.add_position("other", "fuse");
  world.catalogue().positions.back().severity = domain::Severity::safety;
  world.add_life("other", 1, day(2024, 1, 1));
  const auto line = world.carry("fuse", 200);
  CHECK(line.target == 0.995);
  CHECK(line.demand.units == 2);
  CHECK(line.demand.mean > 1.5 * alone);
}

TEST_CASE("A unit of several pieces asks for all of them at once") {
  AdviceWorld world;
  world.add_fitted("cell", Money{40}, 1);
  const auto single = world.carry("cell", 300);
  world.catalogue().positions.back().pieces = 3;
  const auto set = world.carry("cell", 300);
  CHECK(set.demand.total.at(0) == Approx(single.demand.total.at(0)).epsilon(1e-9));
  CHECK(set.demand.total.at(1) == 0);
  CHECK(set.demand.total.at(3) == Approx(single.demand.total.at(1)).epsilon(1e-9));
}

TEST_CASE(
    "A stretch of no days wants nothing but what is dead, negative or endless ones are refused") {
  AdviceWorld world;
  world.add_fitted("fuse", Money{40}, 1);
  CHECK(world.carry("fuse", 0).demand.mean == 0);
  CHECK(world.carry("fuse", 0).chance_aboard == Approx(1).epsilon(1e-12));
  CHECK_THROWS_AS(advise_carry(world.build(), world.window(-1)), InputError);
  CHECK_THROWS_AS(advise_carry(world.build(), world.window(100000)), InputError);
}

TEST_CASE("A dead lock of four cells stands without for its days, not for four times as many") {
  AdviceWorld world;
  world.add_fitted("cell", Money{100}, 24);
  world.catalogue().positions.back().pieces = 4;
  world.end_life(day(2026, 5, 20), domain::EndKind::failed);
  world.add_stock("cell", "box", 3);
  const auto three = world.carry("cell", 30);
  CHECK(three.days_without_aboard > 29.5);  // three of four help nobody
  CHECK(three.days_without_aboard < 31);
  CHECK(three.carry % 4 == 0);
  world.add_stock("cell", "box", 1);
  CHECK(world.carry("cell", 30).days_without_aboard < 1);
}

TEST_CASE("What the own record taught means the same for a stretch and a trip of the same days") {
  AdviceWorld world;
  world.add_fitted("fuse", Money{40}, 1);
  world.end_life(day(2025, 6, 1), domain::EndKind::failed, domain::PlaceState::fitted);
  world.add_life("fuse", 1, day(2025, 6, 1));
  world.add_fitted("sister", Money{40}, 1);  // a class that lends
  for (int month = 2; month < 8; ++month) {
    world.end_life(day(2024, static_cast<unsigned>(month), 1), domain::EndKind::failed,
                   domain::PlaceState::fitted);
    world.add_life("sister", 1, day(2024, static_cast<unsigned>(month), 1));
  }
  const auto stretch = world.carry("fuse", 30);
  domain::TripLine plan{"june", "June", {}, {}};
  domain::TripLegDraft leg;
  leg.from = world.build().as_of + std::chrono::days(1);
  leg.to = leg.from + std::chrono::days(29);
  plan.legs = {leg};
  const PartId only = world.part("fuse");
  const auto window = trip_window(domain::usable_trip(plan), world.build().as_of);
  const auto trip = advise_carry(world.build(), window, {&only, 1}).lines.front();
  CHECK(stretch.share_learnt > 0);
  CHECK(trip.share_learnt == Approx(stretch.share_learnt).margin(1e-3));
}
