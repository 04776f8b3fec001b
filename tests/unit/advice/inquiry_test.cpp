#include <algorithm>
#include <catch2/catch.hpp>
#include <map>

#include "advice/advice_world.hpp"

using namespace shearpin;
using namespace shearpin::advice;
using shearpin::advice::testing::AdviceWorld;
using shearpin::advice::testing::day;

TEST_CASE("With twenty failures the record rules") {
  AdviceWorld world;
  world.add_part("fuse", "rare");
  world.add_position("fuse", "fuse");
  const Date start = day(2024, 1, 1);
  for (int i = 0; i < 20; ++i) {
    world.add_life("fuse", 1, start + std::chrono::days(30 * i));
    world.end_life(start + std::chrono::days(30 * (i + 1)), domain::EndKind::failed,
                   domain::PlaceState::fitted);
  }
  world.add_life("fuse", 1, start + std::chrono::days(600));
  world.edit().as_of = start + std::chrono::days(601);
  const auto answer = advise_rate(world.build(), world.part("fuse"));
  CHECK(answer.life.failures == 20);
  CHECK(answer.life.share_learnt > 0.8);
  // The class says 2,800 days, twenty lives said 30: the belief now is near the record.
  CHECK(answer.life.scale.median > 20);
  CHECK(answer.life.scale.median < 60);
  CHECK(answer.prior_p < 0.01);
  CHECK_FALSE(answer.notes.empty());
}

TEST_CASE("The constant rate is r/T with its exact chi-square interval") {
  // r = 2 in T = 800: NIST/SEMATECH e-Handbook 8.4.5.1, two-sided 90 % limits of the MTBF
  // 127.0690 and 2251.229.
  AdviceWorld world;
  world.add_part("fuse", "rare");
  world.add_position("fuse", "fuse");
  const Date start = day(2024, 1, 1);
  world.add_life("fuse", 1, start);
  world.end_life(start + std::chrono::days(300), domain::EndKind::failed,
                 domain::PlaceState::fitted);
  world.add_life("fuse", 1, start + std::chrono::days(300));
  world.end_life(start + std::chrono::days(500), domain::EndKind::failed,
                 domain::PlaceState::fitted);
  world.add_life("fuse", 1, start + std::chrono::days(500));
  world.edit().as_of = start + std::chrono::days(800);
  const auto rate = advise_rate(world.build(), world.part("fuse"));
  CHECK(rate.life.exposure == 800);
  REQUIRE(rate.constant_rate.point);
  CHECK(*rate.constant_rate.point == Approx(1 / 400.0));
  CHECK(1 / rate.constant_rate.upper == Approx(127.0690).margin(5e-4));
  CHECK(1 / rate.constant_rate.lower == Approx(2251.229).margin(5e-3));
}

TEST_CASE("Explain shows the same level as carry, and a worth table with its least at that level") {
  AdviceWorld world;
  world.add_fitted("fuse", Money{40}, 1);
  const auto answer = advise_explain(world.build(), world.part("fuse"), world.window(38));
  REQUIRE(answer.carry);
  CHECK(answer.carry->carry == world.carry("fuse", 38).carry);
  const auto least =
      std::min_element(answer.worth.begin(), answer.worth.end(),
                       [](const WorthRow& a, const WorthRow& b) { return a.total() < b.total(); });
  REQUIRE(least != answer.worth.end());
  CHECK(least->n == answer.carry->level_worth);
}

TEST_CASE("The report holds every section's lines and puts what nothing covers first") {
  AdviceWorld world;
  world.add_fitted("switch", Money{1700}, 85);
  world.catalogue().positions.back().severity = domain::Severity::safety;
  world.add_fitted("belt", Money{4800}, 320);
  world.catalogue().positions.back().severity = domain::Severity::stranded;
  world.catalogue().positions.back().workaround = "tape";
  world.add_stock("belt", "shed", 1);
  const auto report = advise_report(world.build(), world.window(38));
  REQUIRE(report.uncovered.size() == 1);
  CHECK(report.uncovered.front().position == "switch");
  REQUIRE(report.worked_round.size() == 1);
  CHECK(report.worked_round.front().workaround == "tape");
  REQUIRE(report.packing.size() == 2);
  CHECK(report.packing[0].part == "switch");
  CHECK(report.packing[0].bin.empty());
  CHECK(report.packing[0].remark == "buy");
  CHECK_FALSE(report.packing[1].aboard);
  CHECK(report.assumptions.size() == report.carry.lines.size());
}

TEST_CASE("The packing list: alike lots are one line, what to load, buy and await has its own") {
  AdviceWorld world;
  world.add_fitted("switch", Money{100}, 5);
  world.catalogue().positions.back().severity = domain::Severity::safety;
  world.catalogue().parts.back().home_bin = BinId{1};
  world.add_stock("switch", "box", 1);
  world.add_stock("switch", "box", 1);
  world.add_stock("switch", "shed", 1).batch = "b7";
  auto& late = world.add_stock("switch", "box", 2);
  late.ends = day(2026, 6, 1);
  world.add_supplier("post");
  world.add_order("switch", "post", 1, day(2026, 5, 20));
  const auto report = advise_report(world.build(), world.window(3000));
  const auto advised = report.carry.lines.front().carry;
  REQUIRE(advised > 4);  // two aboard, one ashore, one on order, the rest to buy
  std::map<std::string, std::int64_t> pieces;
  for (const auto& line : report.packing) {
    pieces[line.remark] += line.quantity;
    CHECK(line.bin == (line.aboard ? "box" : "shed"));
  }
  CHECK(report.packing.size() == 5);
  CHECK(pieces[""] == 2);
  CHECK(pieces["runs out 2026-06-01"] == 2);
  CHECK(pieces["load 1 of these"] == 1);
  CHECK(pieces["on order: put in when it comes"] == 1);
  CHECK(pieces["buy"] == advised - 4);
}
