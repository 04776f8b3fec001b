// A tiny trip looked back on, worked by hand.

#include "advice/debrief.hpp"

#include <catch2/catch.hpp>

#include "advice/trip_world.hpp"

using namespace shearpin;
using namespace shearpin::advice;
using namespace shearpin::advice::testing;

// The trip is 1 to 10 June. Two pins and one fuse were aboard. The pin broke on the 3rd and was put
// right the same day, and on the 5th, put right on the 7th: 2 days. The lamp failed on the 8th with
// no spare and stood dead to the 10th: 2 days. The fuse came back unused.
TEST_CASE("Debrief of ten days: what broke, what was short, what was carried for nothing") {
  AdviceWorld before;
  before.edit().as_of = day(2026, 5, 31);
  for (const char* key : {"pin", "fuse", "lamp"}) {
    before.add_fitted(key, Money{40}, 1);
  }
  before.add_stock("pin", "box", 2);
  before.add_stock("fuse", "box", 1);
  AdviceWorld after;
  after.edit().as_of = day(2026, 6, 12);
  after.add_fitted("pin", Money{40}, 1);
  after.end_life(day(2026, 6, 3), domain::EndKind::failed, domain::PlaceState::fitted);
  after.add_life("pin", 1, day(2026, 6, 3));
  after.end_life(day(2026, 6, 5), domain::EndKind::failed, domain::PlaceState::fitted);
  after.add_life("pin", 1, day(2026, 6, 7));
  after.add_fitted("fuse", Money{40}, 1);
  after.add_fitted("lamp", Money{40}, 1);
  after.end_life(day(2026, 6, 8), domain::EndKind::failed);
  after.add_stock("fuse", "box", 1);

  const auto trip = plain_trip(day(2026, 6, 1), 10);
  const auto answer =
      advise_debrief(after.build(), before.build(), trip, plain_trip(day(2026, 6, 13), 10));
  CHECK_FALSE(answer.under_way);
  CHECK(answer.to == day(2026, 6, 10));
  REQUIRE(answer.events.size() == 3);
  CHECK(answer.events[0].days_open == 0);
  CHECK(answer.events[1].days_open == 2);
  CHECK_FALSE(answer.events[1].still_open);
  CHECK(answer.events[2].position == "lamp");
  CHECK(answer.events[2].still_open);
  CHECK(answer.events[2].days_open == 2);

  REQUIRE(answer.lines.size() == 3);
  const auto& lamp = answer.lines[0];  // short ones first
  CHECK(lamp.part == "lamp");
  CHECK(lamp.aboard == 0);
  CHECK(lamp.asked == 1);
  CHECK(lamp.short_of == 1);
  CHECK(lamp.days_without == 2);
  const auto& pin = answer.lines[1];
  CHECK(pin.part == "pin");
  CHECK(pin.asked == 2);
  CHECK(pin.short_of == 0);
  CHECK(pin.for_nothing == 0);
  CHECK(pin.days_without == 2);
  const auto& fuse = answer.lines[2];
  CHECK(fuse.asked == 0);
  CHECK(fuse.for_nothing == 1);

  // Told then: the product of the parts' chances with what was aboard on the eve.
  double told = 1;
  for (const auto& line : answer.lines) {
    const auto then = carry_on(before, line.part, whole(trip));
    CHECK(line.chance_told == then.chance_aboard);
    CHECK(line.advised == then.carry);
    told *= then.chance_aboard;
  }
  CHECK(answer.readiness_told == Approx(told).margin(1e-12));
  CHECK(pin.advised_now >= pin.advised);  // two breaks in five days were learnt from
}

TEST_CASE("Debrief under way ends today") {
  AdviceWorld world;
  world.add_fitted("pin", Money{40}, 1);
  AdviceWorld before = world;
  before.edit().as_of = day(2026, 5, 19);
  const auto answer =
      advise_debrief(world.build(), before.build(), plain_trip(day(2026, 5, 20), 10),
                     plain_trip(day(2026, 5, 26), 10));
  CHECK(answer.under_way);
  CHECK(answer.to == day(2026, 5, 25));
  CHECK(answer.events.empty());
}
