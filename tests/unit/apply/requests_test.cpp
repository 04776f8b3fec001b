// Words to requests, with names found in a small catalogue.

#include "apply/requests.hpp"

#include <algorithm>
#include <catch2/catch.hpp>

#include "domain/snapshot_builder.hpp"
#include "shearpin/base/error.hpp"

namespace shearpin::apply {
namespace {

/// Finds things by their keys; everything is read from one snapshot.
class ByKey : public Resolver {
 public:
  explicit ByKey(const domain::Snapshot& now) : now_(now) {}
  const domain::Catalogue& catalogue() const override { return *now_.catalogue; }
  Date today() const override { return now_.as_of; }
  Date on(const std::optional<std::string>& typed) const override {
    return typed ? parse_date(*typed, today()) : today();
  }
  domain::Snapshot planned_from(Date, const std::optional<ledger::Scope>&,
                                const std::vector<PartId>&) const override {
    return now_;
  }

 private:
  std::size_t find(const std::string& typed, const std::string& what, const Names& names) override {
    const auto entries = names();
    const auto found = std::ranges::find(entries, typed, &domain::NameEntry::key);
    if (found == entries.end()) {
      throw InputError("no " + what);
    }
    return static_cast<std::size_t>(found - entries.begin());
  }
  const domain::Snapshot& now_;
};

/// Two lamps in a place, three more in a drawer that the part calls home.
struct Rig {
  domain::testing::SnapshotBuilder world;
  Rig() {
    world.add_class("lamp").basis = domain::Basis::run_hours;
    world.add_bin("drawer");
    world.add_part("l1", "lamp").pack = 10;
    world.catalogue().parts.back().home_bin = world.bin("drawer");
    world.add_part("l2", "lamp");
    world.add_position("12/24 V lamps", "l1", 2);
    world.add_life("12/24 V lamps", 1, domain::testing::day(2025, 1, 1));
    world.add_life("12/24 V lamps", 2, domain::testing::day(2025, 2, 1));
  }
};

TEST_CASE("A number after a slash is the unit, other slashes are part of the name") {
  const Rig rig;
  ByKey who(rig.world.build());
  CHECK_FALSE(who.position("12/24 V lamps").unit.has_value());
  CHECK(who.position("12/24 V lamps/2").unit == 2);
  CHECK_THROWS_WITH(who.position("12/24 V lamps/3"), Catch::Contains("numbered 1 to 2"));
}

TEST_CASE("The words of fail say what was done") {
  const Rig rig;
  ByKey who(rig.world.build());
  Arguments words("shearpin fail");
  words.add("POSITION", "12/24 V lamps/2");
  words.add("on", "2026-05-20");
  words.add("note", "on gravel");
  words.add("stand-in", "candle");
  const auto told = fail(words, who);
  CHECK(told.request.units == std::vector<int>{2});
  CHECK(told.request.remedy == domain::Remedy::stand_in);
  CHECK(told.request.remedy_text == "candle");
  CHECK(told.request.when.on == domain::testing::day(2026, 5, 20));
  CHECK(told.request.when.note == "on gravel");
  REQUIRE(told.plan.entries.size() == 1);
  CHECK(told.plan.entries[0].fits.at(0).no_part == "candle");
}

TEST_CASE("Packs are pieces, and not given beside them") {
  const Rig rig;
  ByKey who(rig.world.build());
  Arguments words("shearpin receive");
  words.add("PART", "l1");
  words.add("packs", "2");
  const auto told = receive(words, who);
  CHECK(told.request.pieces == 20);
  CHECK(told.request.into == rig.world.build().catalogue->bins.front().id);
  words.add("N", "3");
  CHECK_THROWS_AS(receive(words, who), UsageError);
}

TEST_CASE("An age is in the unit that the class ages in, or with another one of its kind") {
  const Rig rig;
  ByKey who(rig.world.build());
  Arguments words("shearpin receive");
  words.add("PART", "l1");
  words.add("N", "1");
  words.add("condition", "worn");
  auto hours = words;
  hours.add("age", "310 h");
  CHECK(receive(hours, who).request.age == 310);
  auto bare = words;
  bare.add("age", "310");
  CHECK(receive(bare, who).request.age == 310);
  auto wrong = words;
  wrong.add("age", "310 km");
  CHECK_THROWS_AS(receive(wrong, who), InputError);
  auto unknown = words;
  unknown.add("age", "unknown");
  CHECK_FALSE(receive(unknown, who).request.age.has_value());
}

TEST_CASE("A bin that is not named and no home is asked for by its option") {
  const Rig rig;
  ByKey who(rig.world.build());
  Arguments words("shearpin count");
  words.add("PART", "l2");
  words.add("N", "4");
  CHECK_THROWS_WITH(count(words, who),
                    Catch::Contains("--in") && Catch::Contains("shearpin count"));
}

}  // namespace
}  // namespace shearpin::apply
