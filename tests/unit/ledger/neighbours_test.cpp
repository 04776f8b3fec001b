// What is asked of a new line looks at its neighbours in time alone, so it is compared with rules
// and readings that look at everything.

#include <catch2/catch.hpp>
#include <random>
#include <set>
#include <tuple>

#include "shearpin/base/error.hpp"
#include "world.hpp"

namespace shearpin::ledger {

using namespace domain;

namespace {

/// Writes lines of every sort about four places, days in any order, many of them impossible.
class Scribbler {
 public:
  Scribbler(World& world, std::uint32_t seed)
      : world_(world), transaction_(world.ledger.begin(stamp_on(World::kToday))), dice_(seed) {
    transaction_.record(world_.receive(world_.p25, 6, world_.b1, "2024-01-10"));
    lots_.push_back(transaction_.created().lots.at(0));
  }

  int written = 0, refused = 0;

  void step() {
    const int what = below(14);
    if (what == 13 && !entries_.empty()) {
      undo();
      return;
    }
    const EntryDraft entry = draft(what);
    if (entry.kind == EntryKind::add) return;  // nothing to speak of yet
    attempt([&] { return transaction_.record(entry); });
  }

 private:
  int below(int limit) { return static_cast<int>(dice_() % static_cast<std::uint32_t>(limit)); }
  std::string some_day() {
    const int number = 1 + below(28);
    return "2024-02-" + std::string(number < 10 ? "0" : "") + std::to_string(number);
  }
  template <class List>
  auto any(const List& list) {
    return list.at(static_cast<std::size_t>(below(static_cast<int>(list.size()))));
  }

  EntryDraft draft(int what) {
    const std::string on = some_day();
    const int unit = 1 + below(4);
    EntryDraft entry = world_.draft(EntryKind::add, on);
    if (what < 3 || (what < 9 && units_.empty())) {
      entry = world_.fit(world_.l05, unit, world_.p25, on);
      entry.fits.back().stand_in = what == 2;
      if (what == 2) entry.fits.back().part.reset();
      return entry;
    }
    switch (what) {
      case 3:
      case 4: {
        const auto [id, number] = any(units_);
        return world_.fail(id, world_.l05, number, world_.p25, any(lots_), on);
      }
      case 5:
        return world_.fail_dead(any(units_).first, on);
      case 6:
        entry.kind = EntryKind::fail;
        entry.repairs.push_back({any(units_).first, "", false});
        return entry;
      case 7:
        entry.kind = EntryKind::fail;
        entry.opens.push_back({world_.l05, unit, PlaceState::workaround, "tape"});
        return entry;
      case 8:
        entry.kind = EntryKind::test;
        entry.tests.push_back({world_.l05, unit, below(2) == 0, ""});
        return entry;
      case 9:
        return world_.receive(world_.p25, 1 + below(3), world_.b1, on);
      case 10:
        return world_.move(any(lots_), 1 + below(3), world_.b1, world_.b7, on);
      case 11:
        return world_.use(world_.p25, any(lots_), 1 + below(3),
                          below(2) == 0 ? world_.b1 : world_.b7, on);
      default:
        return world_.reading(world_.km, 100 * below(40), on, below(6) == 0);
    }
  }

  void undo() {
    const EntryId entry = any(entries_);
    attempt([&] { return transaction_.undo(entry); });
  }

  template <class Work>
  void attempt(Work work) {
    try {
      entries_.push_back(work());
    } catch (const InputError&) {
      ++refused;
      return;
    }
    ++written;
    const Created& created = transaction_.created();
    lots_.insert(lots_.end(), created.lots.begin(), created.lots.end());
    for (const UnitLife& life : world_.at("2026-05-25").lives) known_.insert({life.id, life.unit});
    units_.assign(known_.begin(), known_.end());
  }

  World& world_;
  Ledger::Transaction transaction_;
  std::mt19937 dice_;
  std::vector<EntryId> entries_;
  std::vector<LotId> lots_;
  std::set<std::pair<UnitId, int>> known_;
  std::vector<std::pair<UnitId, int>> units_;
};

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
