#include "domain/plan_fitting.hpp"

#include <catch2/catch.hpp>

#include "plan_world.hpp"
#include "shearpin/base/error.hpp"

using namespace shearpin;
using namespace shearpin::domain;
using namespace shearpin::domain::testing;
using Catch::Matchers::Contains;

namespace {

std::vector<std::string> keys(const Catalogue& catalogue, const std::vector<Fitting>& fitting) {
  std::vector<std::string> found;
  for (const Fitting& one : fitting) {
    found.push_back(catalogue.at(one.part).key);
  }
  return found;
}

std::vector<std::string> fits(const SnapshotBuilder& rig, const std::string& position) {
  const Catalogue& catalogue = *rig.build().catalogue;
  return keys(catalogue, fitting_parts(catalogue, catalogue.at(rig.position(position))));
}

}  // namespace

TEST_CASE("What fits: the part called for, then approved, then temporary substitutes") {
  SnapshotBuilder rig = field_rig();
  rig.add_part("bolt-plain");
  rig.add_part("stem-long");
  rig.catalogue().substitutes.clear();
  rig.add_substitute("bolt-plain", "p25").temporary = true;
  rig.add_substitute("p26", "p25");
  rig.add_substitute("stem-long", "p25");
  CHECK(fits(rig, "l05") == std::vector<std::string>{"p25", "p26", "stem-long", "bolt-plain"});
  CHECK(fits(rig, "t12").empty());
  const Catalogue& catalogue = *rig.build().catalogue;
  const auto fitting = fitting_parts(catalogue, catalogue.at(rig.position("l05")));
  CHECK_FALSE(fitting.front().substitute);
  CHECK(fitting.back().temporary);
}

TEST_CASE("A substitute for one position or the other way round does not fit elsewhere") {
  SnapshotBuilder rig = field_rig();
  rig.add_position("l06", "p25");
  rig.catalogue().substitutes.clear();
  rig.add_substitute("p26", "p25").only = rig.position("l06");
  rig.add_position("l07", "p26");
  CHECK(fits(rig, "l05") == std::vector<std::string>{"p25"});
  CHECK(fits(rig, "l06") == std::vector<std::string>{"p25", "p26"});
  CHECK(fits(rig, "l07") == std::vector<std::string>{"p26"});
}

TEST_CASE("A larger fuse never fits, however it is declared, a smaller one may") {
  SnapshotBuilder rig = field_rig();
  rig.add_substitute("p14", "p13");
  rig.add_substitute("p12", "p13");
  CHECK(fits(rig, "l21") == std::vector<std::string>{"p13", "p12"});
  const Catalogue& catalogue = *rig.build().catalogue;
  const Position& slot = catalogue.at(rig.position("l21"));
  REQUIRE_THROWS_AS(check_fits(catalogue, slot, rig.part("p14")), InputError);
  REQUIRE_THROWS_WITH(check_fits(catalogue, slot, rig.part("p14")),
                      Contains("20 A") && Contains("15 A") && Contains("p14"));
  REQUIRE_NOTHROW(check_fits(catalogue, slot, rig.part("p12")));
}

TEST_CASE("Between fuses an unknown rating is no rating") {
  SnapshotBuilder rig = field_rig();
  rig.add_part("fuse-odd", "blade-fuse-mid");
  rig.add_substitute("fuse-odd", "p13");
  CHECK(fits(rig, "l21") == std::vector<std::string>{"p13"});
  const Catalogue& catalogue = *rig.build().catalogue;
  REQUIRE_THROWS_WITH(
      check_fits(catalogue, catalogue.at(rig.position("l21")), rig.part("fuse-odd")),
      Contains("unknown rating"));
}

TEST_CASE("A rating matters only for what protects by it") {
  SnapshotBuilder rig = field_rig();
  rig.add_class("alternator");
  rig.add_class("fuse-holder-inline");
  rig.add_part("alt-80", "alternator").rating_ampere = 80;
  rig.add_part("alt-100", "alternator").rating_ampere = 100;
  rig.add_part("holder", "fuse-holder-inline");
  rig.add_part("breaker-x");
  const Catalogue& catalogue = *rig.build().catalogue;
  const auto part = [&](const char* key) { return catalogue.at(rig.part(key)); };
  CHECK(protects_by_rating(catalogue, part("p13")));
  CHECK(protects_by_rating(catalogue, part("breaker-x")));
  CHECK_FALSE(protects_by_rating(catalogue, part("alt-100")));
  CHECK_FALSE(protects_by_rating(catalogue, part("holder")));
  CHECK(rating_objection(catalogue, part("alt-100"), part("alt-80")).empty());
}

TEST_CASE("A part not declared is refused with how to declare it, forbidden stays forbidden") {
  SnapshotBuilder rig = field_rig();
  rig.add_substitute("p12", "p25").forbidden = true;
  const Catalogue& catalogue = *rig.build().catalogue;
  const Position& stems = catalogue.at(rig.position("l05"));
  REQUIRE_THROWS_WITH(check_fits(catalogue, stems, rig.part("p30")),
                      Contains("part substitute p30 --for p25"));
  REQUIRE_THROWS_AS(check_fits(catalogue, stems, rig.part("p12")), InputError);
  REQUIRE_NOTHROW(check_fits(catalogue, catalogue.at(rig.position("t12")), rig.part("p30")));
}

TEST_CASE("A declaration that forbids wins over one that allows") {
  SnapshotBuilder rig = field_rig();
  rig.add_substitute("p26", "p25").forbidden = true;
  CHECK(fits(rig, "l05") == std::vector<std::string>{"p25"});
}

TEST_CASE("A marked end takes away the worth on that very day") {
  StockLine line;
  CHECK_FALSE(expired(line, day(2026, 7, 5)));
  line.ends = day(2026, 7, 5);
  CHECK(sound(line, day(2026, 7, 4)));
  CHECK(expired(line, day(2026, 7, 5)));
  line.quarantined = true;
  CHECK_FALSE(sound(line, day(2026, 7, 4)));
}
