// Questions that must have an answer on every day: the demo's four years, and every dated thing at
// any number of days before its end. Every 27th day of the demo and every fourth day before an end;
// with SHEARPIN_LONG=1 every third, and every day.

#include <algorithm>
#include <catch2/catch.hpp>
#include <cstdlib>
#include <memory>

#include "cli/scenes.hpp"
#include "shearpin/advice/advise.hpp"
#include "shearpin/ledger/ledger.hpp"
#include "unit/domain/snapshot_builder.hpp"

using namespace shearpin;
using domain::testing::day;
using domain::testing::SnapshotBuilder;

namespace {

advice::Window stretch(Date start, int days) {
  advice::Window window;
  window.start = start;
  window.days = days;
  return window;
}

bool says_unworked(const std::vector<std::string>& notes) {
  return std::any_of(notes.begin(), notes.end(), [](const std::string& note) {
    return note.find("could not be worked out") != std::string::npos;
  });
}

}  // namespace

TEST_CASE("The demo answers now, reorder and report on the days of its four years") {
  const test::Sandbox box;
  test::make_demo(box);
  const auto ledger = ledger::Ledger::open(box.ledger(), ledger::Ledger::Mode::read);
  const auto catalogue = std::make_shared<const domain::Catalogue>(ledger.catalogue());
  const bool every = std::getenv("SHEARPIN_LONG") != nullptr;
  int asked = 0;
  for (Date on = day(2022, 6, 10); on <= day(2026, 5, 25);
       on += std::chrono::days(every ? 3 : 27)) {
    CAPTURE(to_text(on));
    const auto snapshot = ledger.snapshot(on, {}, {}, catalogue);
    // The report holds the answers of now and reorder, worked out once.
    const auto report = advice::advise_report(snapshot, stretch(on, 30));
    CHECK_FALSE(says_unworked(report.now.notes));
    CHECK_FALSE(says_unworked(report.carry.notes));
    for (const auto& line : report.reorder.lines) {
      const bool is_chance = line.chance_now >= 0 && line.chance_now <= 1 + 1e-9;
      CHECK(is_chance);
    }
    ++asked;
  }
  CHECK(asked > 50);
}

TEST_CASE("Every dated class has its reorder line at any number of days before a marked end") {
  const test::Sandbox box;
  box.ok("init --on 2022-06-10");
  const auto shipped = ledger::Ledger::open(box.ledger(), ledger::Ledger::Mode::read).catalogue();
  const bool every = std::getenv("SHEARPIN_LONG") != nullptr;
  int dated = 0;
  for (const auto& its_class : shipped.classes) {
    if (!its_class.dated && !its_class.shelf_life_days) continue;
    ++dated;
    SnapshotBuilder world;
    auto& here = world.add_class(its_class.key);
    const auto id = here.id;
    here = its_class;
    here.id = id;
    world.add_part("thing", its_class.key);
    world.add_position("place", "thing", 2);
    world.add_life("place", 1, day(2024, 5, 25));
    world.add_life("place", 2, day(2025, 5, 25));
    double before = 1;
    for (int left = 120; left >= 1; left -= every ? 1 : 4) {
      CAPTURE(its_class.key, left);
      world.edit().lives.front().marked_end = world.build().as_of + std::chrono::days(left);
      const auto answer = advice::advise_reorder(world.build(), std::nullopt);
      REQUIRE(answer.lines.size() == 1);
      // With nothing in stock and one of two units ending ever sooner, luck never gets better.
      CHECK(answer.lines.front().chance_now <= before + 2e-6);
      before = answer.lines.front().chance_now;
      if (left % 40 == 0) {
        const auto steps = advice::advise_explain(world.build(), world.part("thing"), std::nullopt);
        CHECK_FALSE(steps.lead_demand_bounded);
      }
    }
  }
  CHECK(dated >= 10);
}
