// What would stop us: the chance that something fails at a position, and what covers it.

#include <catch2/catch.hpp>
#include <cmath>

#include "advice/analyst.hpp"
#include "advice/trip_world.hpp"

using namespace shearpin;
using namespace shearpin::advice;
using namespace shearpin::advice::testing;

namespace {

double chance_at(const AdviceWorld& world, const std::string& position, const Window& window) {
  const auto answer = advise_weak(world.build(), window);
  for (const auto* list : {&answer.uncovered, &answer.worked_round, &answer.spared}) {
    for (const auto& line : *list) {
      if (line.position == position) {
        return line.chance_fails;
      }
    }
  }
  throw std::logic_error("no line for " + position);
}

}  // namespace

TEST_CASE("weak: places by what covers them") {
  AdviceWorld world;
  world.add_fitted("bare", Money{40}, 1);
  world.add_fitted("round", Money{40}, 1);
  world.catalogue().positions.back().workaround = "hand crank";
  world.add_fitted("spared", Money{40}, 1);
  world.add_stock("spared", "box", 2);
  world.add_stock("bare", "shed", 2);  // stays behind
  const auto answer = advise_weak(world.build(), world.window(38));
  REQUIRE(answer.uncovered.size() == 1);
  REQUIRE(answer.worked_round.size() == 1);
  REQUIRE(answer.spared.size() == 1);
  CHECK(answer.uncovered[0].position == "bare");
  CHECK(answer.worked_round[0].position == "round");
  CHECK(answer.spared[0].spares == 2);
}

TEST_CASE("weak: one unit fails with the chance that carry wants a piece at all") {
  AdviceWorld world;
  world.add_fitted("pin", Money{40}, 1);
  CHECK(chance_at(world, "pin", world.window(200)) ==
        Approx(1 - world.carry("pin", 200).demand.total.front()).margin(1e-6));
  const auto window = whole(plain_trip(world.build().as_of, 200));
  CHECK(chance_at(world, "pin", window) ==
        Approx(1 - world.carry("pin", 200).demand.total.front()).margin(1e-6));
}

TEST_CASE("weak: two units share the unknown life, so chances are mixed over it") {
  AdviceWorld world;
  world.add_part("pin", "rare").price = Money{40};
  world.add_position("pins", "pin", 2);
  world.add_life("pins", 1, day(2024, 1, 1));
  world.add_life("pins", 2, day(2025, 1, 1));
  const Analyst analyst(world.build());
  const double first = days_between(day(2024, 1, 1), day(2026, 5, 25));
  const double second = days_between(day(2025, 1, 1), day(2026, 5, 25));
  double both = 0;
  for (const auto& node : analyst.life_belief(world.part("pin")).posterior.nodes) {
    const auto lasts = [&](double age) {
      return std::exp(std::pow(age / node.scale, node.shape) -
                      std::pow((age + 300) / node.scale, node.shape));
    };
    both += node.weight * lasts(first) * lasts(second);
  }
  CHECK(chance_at(world, "pins", world.window(300)) == Approx(1 - both).margin(1e-12));
}

TEST_CASE("weak: what is down, or ends on the way, is sure to want something") {
  AdviceWorld world;
  world.add_fitted("down", Money{40}, 1);
  world.end_life(day(2026, 5, 20), domain::EndKind::failed);
  world.add_fitted("dated", Money{40}, 1);
  world.edit().lives.back().marked_end = day(2026, 6, 10);
  CHECK(chance_at(world, "down", world.window(38)) == 1);
  CHECK(chance_at(world, "dated", world.window(38)) == 1);
  CHECK(chance_at(world, "dated", world.window(5)) < 1);
}

TEST_CASE("weak: what wears out is older at a departure that lies ahead, what does not, is not") {
  AdviceWorld world;
  auto& its_class = world.catalogue().classes.front();
  its_class.life_median = 200;
  its_class.life_low = 150;
  its_class.life_high = 300;
  its_class.shape = 4;
  world.add_part("belt", "rare").price = Money{40};
  world.add_position("belt", "belt");
  world.add_life("belt", 1, day(2026, 5, 1));
  const double today = chance_at(world, "belt", whole(plain_trip(day(2026, 5, 25), 20)));
  const double later = chance_at(world, "belt", whole(plain_trip(day(2026, 7, 25), 20)));
  CHECK(later > 2 * today);
}
