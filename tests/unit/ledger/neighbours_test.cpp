// What is asked of a new line looks at its neighbours in time alone, so it is compared with rules
// and readings that look at everything.

#include <catch2/catch.hpp>
#include <tuple>

#include "scribbler.hpp"

namespace shearpin::ledger {

using namespace domain;

namespace {

const UnitLife* newest(const Snapshot& now, int unit) {
  const UnitLife* found = nullptr;
  for (const UnitLife& life : now.lives) {
    if (life.unit == unit) found = &life;
  }
  return found;
}

/// All that a person sees of a snapshot's stock.
std::vector<std::tuple<LotId, BinId, std::int64_t, Date>> stock_of(const Snapshot& now) {
  std::vector<std::tuple<LotId, BinId, std::int64_t, Date>> lines;
  for (const StockLine& line : now.stock) {
    lines.emplace_back(line.lot, line.bin, line.quantity, line.received);
  }
  return lines;
}

Date last_passed(const Snapshot& now, int unit) {
  Date day{};
  for (const TestResult& test : now.tests) {
    if (test.passed && test.unit == unit) day = std::max(day, test.date);
  }
  return day;
}

/// The latest alone says of the places and the stock what the whole says.
void compare(const World& world, std::string_view on) {
  INFO(on);
  Scope scope;
  scope.positions = {world.l05};
  scope.parts = {world.p25};
  scope.stores_only = true;
  const Snapshot whole = world.at(on);
  const Snapshot all = world.ledger.snapshot(day(on), {}, scope);
  scope.latest = true;
  const Snapshot latest = world.ledger.snapshot(day(on), {}, scope);
  CHECK(stock_of(all) == stock_of(whole));
  CHECK(stock_of(latest) == stock_of(whole));
  REQUIRE(latest.open_places.size() == whole.open_places.size());
  for (std::size_t i = 0; i < whole.open_places.size(); ++i) {
    CHECK(latest.open_places[i].unit == whole.open_places[i].unit);
    CHECK(latest.open_places[i].state == whole.open_places[i].state);
    CHECK(latest.open_places[i].note == whole.open_places[i].note);
  }
  for (int unit = 1; unit <= 4; ++unit) {
    const UnitLife* one = newest(latest, unit);
    const UnitLife* other = newest(whole, unit);
    REQUIRE((one == nullptr) == (other == nullptr));
    CHECK(last_passed(latest, unit) == last_passed(whole, unit));
    if (one == nullptr) continue;
    CHECK(one->id == other->id);
    CHECK(one->end.has_value() == other->end.has_value());
    REQUIRE(one->repairs.empty() == other->repairs.empty());
    if (!one->repairs.empty()) CHECK(one->repairs.back() == other->repairs.back());
  }
  Scope meters;
  meters.meters_only = meters.latest = true;
  const Snapshot dials = world.ledger.snapshot(day(on), {}, meters);
  REQUIRE(dials.readings.empty() == whole.readings.empty());
  if (!whole.readings.empty()) {
    CHECK(dials.readings.back().value == whole.readings.back().value);
  }
}

}  // namespace

TEST_CASE("What is written about neighbours alone breaks no rule, and the latest is as the whole") {
  const auto seed = GENERATE(1u, 2u, 3u, 4u, 5u, 6u);
  INFO("seed " << seed);
  World world;
  Scribbler scribbler(world, seed);
  for (int i = 0; i < 240; ++i) {
    scribbler.step();
    if (i % 8 != 0) continue;
    const VerifyReport report = world.ledger.verify();
    INFO(i);
    INFO((report.findings.empty() ? std::string() : report.findings.front().detail));
    REQUIRE(report.findings.empty());
    compare(world, "2024-02-14");
    compare(world, "2024-03-31");
  }
  CHECK(scribbler.written > 40);
  CHECK(scribbler.refused > 40);
}

}  // namespace shearpin::ledger
