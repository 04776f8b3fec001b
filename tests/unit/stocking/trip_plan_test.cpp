#include <catch2/catch.hpp>
#include <cmath>
#include <limits>

#include "shearpin/base/error.hpp"
#include "stocking/trip_demand.hpp"

using namespace shearpin::stocking;
using shearpin::InputError;
using shearpin::stats::WeibullNode;

TEST_CASE("A plan without stops is one interval") {
  const std::vector<TripInterval> intervals = intervals_of({40, {}});
  REQUIRE(intervals.size() == 1);
  CHECK(intervals[0].from == 0);
  CHECK(intervals[0].receipt == 0);
  CHECK(intervals[0].to == 40);
}

TEST_CASE("Intervals run from each cut-off to the receipt after") {
  const std::vector<TripInterval> intervals = intervals_of({40, {{0, 0}, {15, 3}, {40, 22}}});
  REQUIRE(intervals.size() == 4);
  CHECK(intervals[0].to == 0);
  CHECK(intervals[1].from == 0);
  CHECK(intervals[1].to == 15);
  CHECK(intervals[2].from == 3);
  CHECK(intervals[2].receipt == 15);
  CHECK(intervals[2].to == 40);
  CHECK(intervals[3].from == 22);
  CHECK(intervals[3].receipt == 40);
  CHECK(intervals[3].to == 40);
}

TEST_CASE("A parcel ordered before a stop that sells the part is no worse than that stop") {
  const std::vector<TripInterval> intervals = intervals_of({40, {{20, 20}, {25, 7}}});
  CHECK(intervals[2].from == 20);
}

TEST_CASE("A disordered plan is refused") {
  CHECK_THROWS_AS(intervals_of({-1, {}}), InputError);
  CHECK_THROWS_AS(intervals_of({std::nan(""), {}}), InputError);
  CHECK_THROWS_AS(intervals_of({40, {{20, 5}, {20, 6}}}), InputError);
  CHECK_THROWS_AS(intervals_of({40, {{20, 5}, {10, 6}}}), InputError);
  CHECK_THROWS_AS(intervals_of({40, {{41, 5}}}), InputError);
  CHECK_THROWS_AS(intervals_of({40, {{20, 21}}}), InputError);
  CHECK_THROWS_AS(intervals_of({40, {{20, -1}}}), InputError);
  CHECK_THROWS_AS(intervals_of({40, {{std::nan(""), 1}}}), InputError);
}

TEST_CASE("Bad units, legs and rates of a trip are refused") {
  TripDemandInput input;
  input.nodes = {{100, 1.5, 1}};
  input.units.resize(1);
  UnitState& unit = input.units[0];
  unit.exposure_per_day = 1;
  const TripPlan plan{40, {}};
  CHECK_NOTHROW(trip_demand(input, plan));
  unit.legs = {{10, 1}, {30, 2}};
  CHECK_THROWS_AS(trip_demand(input, plan), InputError);  // ends too soon
  unit.legs = {{10, 1}, {10, 2}, {40, 1}};
  CHECK_THROWS_AS(trip_demand(input, plan), InputError);
  unit.legs = {{40, -1}};
  CHECK_THROWS_AS(trip_demand(input, plan), InputError);
  unit.legs = {};
  unit.pieces = 0;
  CHECK_THROWS_AS(trip_demand(input, plan), InputError);
  unit.pieces = 1;
  input.taken = TakenShare{0, 1};
  CHECK_THROWS_AS(trip_demand(input, plan), InputError);
  input.taken.reset();
  input.extras = {{{1, 0, 1}, 1, {}}};
  CHECK_THROWS_AS(trip_demand(input, plan), InputError);
  input.extras = {};
  input.nodes = {};
  CHECK_THROWS_AS(trip_demand(input, plan), InputError);
}

TEST_CASE("Losses as extra demand are the losses of a plain stretch") {
  const LossRecord record{2, 30, 4};
  const std::optional<ExtraDemand> extra = loss_as_extra(record);
  REQUIRE(extra);
  const Pmf expected = loss_demand(record, 50 / 365.25);
  const Pmf found = consumption_demand(extra->rate, 50 * extra->exposure_per_day);
  for (std::size_t n = 0; n < expected.size(); ++n) {
    CHECK(std::fabs((n < found.size() ? found[n] : 0) - expected[n]) < 1e-9);
  }
  CHECK_FALSE(loss_as_extra({0, 30, 4}));
  CHECK_FALSE(loss_as_extra({2, 30, 0}));
  CHECK_THROWS_AS(loss_as_extra({-1, 30, 4}), InputError);
}
