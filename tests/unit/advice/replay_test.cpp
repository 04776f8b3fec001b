// The past played again, on a history small enough to be worked by hand.

#include "advice/replay.hpp"

#include <catch2/catch.hpp>
#include <cmath>

#include "advice/advice_world.hpp"
#include "shearpin/base/error.hpp"

using namespace shearpin;
using namespace shearpin::advice;
using shearpin::advice::testing::AdviceWorld;
using shearpin::advice::testing::day;

namespace {

struct Failure {
  int unit;
  Date date;
  Date written;
};

const std::vector<Failure> kFailures{{1, day(2026, 2, 10), day(2026, 2, 10)},
                                     {1, day(2026, 3, 10), day(2026, 3, 10)},
                                     {2, day(2026, 3, 12), day(2026, 3, 12)}};

/// Two lamps of one part since 2026-01-01, the first day of the ledger; what had failed by `as_of`
/// and been written down by `known`.
AdviceWorld lamps(Date as_of, Date known, const std::vector<Failure>& failures = kFailures) {
  AdviceWorld world;
  auto& part = world.add_part("lamp", "rare");
  part.price = Money{730};
  part.mass_g = 100;
  world.add_position("lamps", "lamp", 2);
  for (int unit = 1; unit <= 2; ++unit) {
    Date fitted = day(2026, 1, 1);
    for (const auto& failure : failures) {
      if (failure.unit == unit && failure.date <= as_of && failure.written <= known) {
        world.add_life("lamps", unit, fitted);
        fitted = failure.date;
        world.end_life(fitted, domain::EndKind::failed, domain::PlaceState::fitted);
      }
    }
    world.add_life("lamps", unit, fitted);
  }
  world.edit().as_of = as_of;
  world.edit().first_day = day(2026, 1, 1);
  return world;
}

const Date kEnd = day(2026, 4, 1);

ReplayAnswer played(const std::vector<Failure>& failures = kFailures, int every = 30) {
  return replay(
      lamps(kEnd, kEnd, failures).build(),
      [&](Date known) { return lamps(known, known, failures).build(); }, every);
}

}  // namespace

TEST_CASE("Three rules on a history worked by hand") {
  // Periods of 30 days back from 2026-04-01; that from 2026-01-01 is the first day itself, when the
  // lamp was not yet known of. From 01-31 to 03-02 one is asked for on 02-10, 20 days before the
  // end; from 03-02 to 04-01 two, 22 and 20 days before it.
  const auto answer = played();
  REQUIRE(answer.periods.size() == 2);
  CHECK(answer.periods[0].from == day(2026, 1, 31));
  CHECK(answer.periods[0].to == day(2026, 3, 2));
  CHECK(answer.periods[0].demand == 1);
  CHECK(answer.periods[1].to == kEnd);
  CHECK(answer.periods[1].demand == 2);
  REQUIRE(answer.rules.size() == 4);
  const auto& none = answer.rules[1];
  CHECK(none.cases == 2);
  CHECK(none.shortages == 2);
  CHECK(none.days_without == 20 + 22 + 20);
  CHECK(none.cost_without == 620);  // a degraded day costs 10
  CHECK(none.carried == 0);
  CHECK(none.cost_carried == 0);
  const auto& one = answer.rules[2];
  CHECK(one.shortages == 1);
  CHECK(one.days_without == 20);
  CHECK(one.carried == 2);
  CHECK(one.for_nothing == 0);
  // 7.30 x 60 % a year and 0.1 kg x 2.00 a month, over twice 30 days.
  CHECK(one.cost_carried == Approx(2 * (7.30 * 0.6 * 30 / 365.25 + 0.2 * 30 / (365.25 / 12))));
  // Nothing was asked for in the year before the first, one before the second.
  const auto& last_year = answer.rules[3];
  CHECK(last_year.shortages == 2);
  CHECK(last_year.days_without == 20 + 20);
  CHECK(last_year.carried == 1);
  CHECK(last_year.for_nothing == 0);
}

TEST_CASE("The advice is that of the period's first day") {
  const auto answer = played();
  long carried = 0;
  for (const auto& period : answer.periods) {
    const auto world = lamps(period.from, period.from);
    carried += world.carry("lamp", 30).carry;
    CHECK(period.carried == world.carry("lamp", 30).carry);
    CHECK(period.parts == 1);
  }
  const auto& advice = answer.rules[0];
  CHECK(advice.carried == carried);
  CHECK(advice.for_nothing ==
        std::max(0L, answer.periods[0].carried - 1) + std::max(0L, answer.periods[1].carried - 2));
}

TEST_CASE("A failure written down late is asked for, but was not known before") {
  auto late = kFailures;
  late[0].written = day(2026, 3, 20);
  const auto answer = played(late);
  CHECK(answer.rules[1].days_without == 62);  // it did happen
  const auto blind = lamps(day(2026, 3, 2), day(2026, 3, 2), {});
  const auto seeing = lamps(day(2026, 3, 2), day(2026, 3, 2));
  REQUIRE(blind.carry("lamp", 30).chance_carry != seeing.carry("lamp", 30).chance_carry);
  REQUIRE(answer.targets.size() == 1);
  const double first = lamps(day(2026, 1, 31), day(2026, 1, 31)).carry("lamp", 30).chance_carry;
  CHECK(answer.targets[0].promised ==
        Approx((first + blind.carry("lamp", 30).chance_carry) / 2).epsilon(1e-12));
  CHECK(played().targets.at(0).promised ==
        Approx((first + seeing.carry("lamp", 30).chance_carry) / 2).epsilon(1e-12));
}

TEST_CASE("Only the first days of the periods are looked at, each as known then") {
  std::vector<Date> asked;
  replay(
      lamps(kEnd, kEnd).build(),
      [&](Date known) {
        asked.push_back(known);
        return lamps(known, known).build();
      },
      30);
  CHECK(asked == std::vector<Date>{day(2026, 1, 1), day(2026, 1, 31), day(2026, 3, 2)});
}

TEST_CASE("Promise and calibration count every case once") {
  const auto answer = played();
  REQUIRE(answer.targets.size() == 1);
  CHECK(answer.targets[0].severity == domain::Severity::degraded);
  CHECK(answer.targets[0].target == 0.9);
  CHECK(answer.targets[0].cases == 2);
  CHECK(answer.targets[0].kept == 2 - answer.rules[0].shortages);
  long cases = 0, happened = 0;
  double expected = 0;
  for (const auto& bin : answer.calibration) {
    cases += bin.cases;
    happened += bin.happened;
    expected += bin.expected;
    CHECK(bin.expected >= bin.low * static_cast<double>(bin.cases));
    CHECK(bin.expected <= bin.high * static_cast<double>(bin.cases));
  }
  CHECK(cases == 2);
  CHECK(happened == 2);
  CHECK(expected > 0);
}

TEST_CASE("What is put down to a loss, a use or a repair is asked for as well") {
  auto now = lamps(kEnd, kEnd, {});
  const PartId lamp = now.part("lamp");
  now.edit().usages.push_back({lamp, std::nullopt, day(2026, 3, 20), 3, EntryId{900}});
  now.edit().losses.push_back({lamp, std::nullopt, day(2026, 3, 21), 2, EntryId{901}});
  // A fitted unit lost stands among the lives, and is not counted twice.
  now.edit().losses.push_back({lamp, now.position("lamps"), day(2026, 3, 22), 1, EntryId{902}});
  now.edit().lives.back().repairs = {day(2026, 3, 23), day(2026, 3, 24)};
  now.edit().lives.back().repair_took_part = {true, false};
  const auto answer = replay(
      now.build(), [](Date known) { return lamps(known, known, {}).build(); }, 30);
  CHECK(answer.periods.at(1).demand == 3 + 2 + 1);
  CHECK(answer.periods.at(0).demand == 0);
}

TEST_CASE("Planned renewals ask for nothing, a lot of pieces for all of them") {
  auto now = lamps(kEnd, kEnd, {kFailures[2]});
  for (auto& life : now.edit().lives) {
    if (life.end) {
      life.end->kind = domain::EndKind::renewed;
    }
  }
  const auto known = [](Date on) { return lamps(on, on, {}).build(); };
  CHECK(replay(now.build(), known, 30).rules[1].shortages == 0);
  for (auto& life : now.edit().lives) {
    if (life.end) {
      life.end->kind = domain::EndKind::failed;
    }
  }
  now.catalogue().positions.back().pieces = 4;
  CHECK(replay(now.build(), known, 30).periods.at(1).demand == 4);
}

TEST_CASE("A record shorter than one period has nothing to play") {
  CHECK(played(kFailures, 91).periods.empty());
  CHECK(played(kFailures, 90).periods.empty());  // the first day itself knows of no part yet
  auto world = lamps(day(2026, 1, 1), day(2026, 1, 1));
  const auto answer = replay(
      world.build(), [](Date known) { return lamps(known, known).build(); }, 30);
  CHECK(answer.periods.empty());
  CHECK(answer.targets.empty());
  CHECK(answer.rules.size() == 4);
}

TEST_CASE("Periods from 7 to 366 days, progress tells each") {
  for (const int days : {6, 0, -5, 367}) {
    CHECK_THROWS_AS(played(kFailures, days), InputError);
  }
  CHECK_NOTHROW(played(kFailures, 366));
  std::vector<std::size_t> told;
  replay(
      lamps(kEnd, kEnd).build(), [](Date known) { return lamps(known, known).build(); }, 7,
      [&](std::size_t done, std::size_t all) {
        CHECK(all == 12);  // 90 days hold 12 weeks
        told.push_back(done);
      });
  CHECK(told.size() == 12);
  CHECK(told.back() == 12);
}
