#include "shearpin/domain/catalogue.hpp"

#include <catch2/catch.hpp>

#include "domain/cautions.hpp"
#include "small_world.hpp"

using namespace shearpin;
using namespace shearpin::domain;
using shearpin::domain::test::World;

TEST_CASE("a thing is found by its id in any order, and an unknown id is a bug") {
  World world("2024-01-01");
  Catalogue& catalogue = world.catalogue();
  world.part("a", {});
  world.part("b", {});
  world.part("c", {});
  CHECK(catalogue.at(PartId{2}).key == "b");
  std::swap(catalogue.parts[0], catalogue.parts[2]);
  for (const std::int64_t number : {1, 2, 3}) {
    CHECK(catalogue.at(PartId{number}).id.value == number);
  }
  CHECK_THROWS_AS(catalogue.at(PartId{4}), std::logic_error);
}

TEST_CASE("figures of a part come from itself, else from its class") {
  World world("2024-01-01");
  ComponentClass& kind = world.component_class("blade-fuse-mid", Basis::days);
  kind.mass_g = 1;
  kind.price = Money{40};
  kind.resupply = Resupply::anywhere;
  kind.severity = Severity::stranded;
  const PartId fuse = world.part("fuse-15", kind.id);
  const PartId plain = world.part("plain", {});
  Catalogue& catalogue = world.catalogue();
  CHECK(catalogue.mass_of(catalogue.at(fuse)) == 1.0);
  CHECK(catalogue.price_of(catalogue.at(fuse))->minor == 40);
  CHECK(catalogue.resupply_of(catalogue.at(fuse)) == Resupply::anywhere);
  CHECK_FALSE(catalogue.mass_of(catalogue.at(plain)));
  CHECK(catalogue.resupply_of(catalogue.at(plain)) == Resupply::order_online);
  catalogue.parts[0].mass_g = 3;
  CHECK(catalogue.mass_of(catalogue.at(fuse)) == 3.0);

  Position& position = world.position("fridge-fuse", fuse);
  CHECK(catalogue.severity_of(position) == Severity::stranded);
  position.severity = Severity::nuisance;
  CHECK(catalogue.severity_of(position) == Severity::nuisance);
  CHECK(catalogue.severity_of(world.position("bare", {})) == Severity::degraded);
}

TEST_CASE("a workaround is a text other than none") {
  Position position;
  CHECK_FALSE(Catalogue::has_workaround(position));
  position.workaround = " None ";
  CHECK_FALSE(Catalogue::has_workaround(position));
  position.workaround = "spare wheel";
  CHECK(Catalogue::has_workaround(position));
}

TEST_CASE("each caution is shown once, in the order met") {
  World world("2024-01-01");
  Catalogue& catalogue = world.catalogue();
  catalogue.safety_notes = {{"fuses", "", "A fuse guards the wire."},
                            {"brakes-breakaway", "", "Test it chocked."},
                            {"worn-safety-spare", "", "Get you out only."}};
  ComponentClass& fuses = world.component_class("blade-fuse-mid", Basis::days);
  fuses.safety_note = "fuses";
  const PartId fuse = world.part("fuse-15", fuses.id);
  ComponentClass& brakes = world.component_class("breakaway-switch", Basis::days);
  brakes.safety_note = "brakes-breakaway";
  brakes.severity = Severity::safety;
  Position& breakaway = world.position("breakaway", world.part("switch", brakes.id));

  Cautions cautions(catalogue);
  cautions.add(catalogue.at(fuse));
  cautions.add(breakaway);
  cautions.add(catalogue.at(fuse));
  cautions.add("no-such-note");
  REQUIRE(cautions.notes().size() == 2);
  CHECK(cautions.notes()[0]->key == "fuses");
  CHECK(cautions.notes()[1]->key == "brakes-breakaway");
  cautions.add_worn_spare(breakaway);
  REQUIRE(cautions.notes().size() == 3);
  CHECK(cautions.notes()[2]->key == "worn-safety-spare");
}
