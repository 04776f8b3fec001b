#include "domain/fields.hpp"

#include <algorithm>
#include <catch2/catch.hpp>

#include "shearpin/base/error.hpp"
#include "small_world.hpp"

using namespace shearpin;
using namespace shearpin::domain;
using shearpin::domain::test::World;

namespace {

/// Writes every field of `thing` as text and reads it into `empty`, in the order of the table.
template <class T>
T copied_by_text(const T& thing, T empty, const Catalogue& catalogue) {
  for (const Field<T>& field : fields<T>()) {
    CAPTURE(field.name);
    const std::string text = field.get(thing, catalogue);
    if (!text.empty()) {
      field.set(empty, text, catalogue);
      CHECK(field.get(empty, catalogue) == text);
    }
  }
  return empty;
}

template <class T>
T blank(const T& thing) {
  T empty;
  empty.key = thing.key;
  empty.id = thing.id;
  return empty;
}

template <class T>
const Field<T>* find_field(std::string_view name) {
  const auto all = fields<T>();
  const auto found = std::ranges::find(all, name, &Field<T>::name);
  return found == all.end() ? nullptr : &*found;
}

template <class T>
void set(T& thing, std::string_view name, std::string_view text, const Catalogue& catalogue) {
  const Field<T>* field = find_field<T>(name);
  REQUIRE(field != nullptr);
  field->set(thing, text, catalogue);
}

template <class T>
std::string get(const T& thing, std::string_view name, const Catalogue& catalogue) {
  const Field<T>* field = find_field<T>(name);
  REQUIRE(field != nullptr);
  return field->get(thing, catalogue);
}

/// Two rigs with a meter of nights each and a distance meter, a class, two parts, a bin, a
/// supplier.
World furnished() {
  World world("2024-01-01");
  Catalogue& catalogue = world.catalogue();
  catalogue.safety_notes = {{"fuses", "when a fuse blows", "A fuse guards the wire."}};
  world.component_class("tyre-trailer", Basis::distance_km);
  world.component_class("cell-coin-lithium", Basis::days);
  world.part("tyre", ClassId{1});
  world.part("cell", ClassId{2});
  world.meter("truck-km", "km", {});
  world.meter("nights", "nights", {});
  world.meter("camps", "nights", {}, 2);
  Bin bin;
  bin.key = "b1";
  bin.id = {1};
  catalogue.bins.push_back(bin);
  Supplier supplier;
  supplier.key = "s1";
  supplier.id = {1};
  catalogue.suppliers.push_back(supplier);
  world.position("wheel", PartId{1}, 4);
  return world;
}

}  // namespace

TEST_CASE("every field of a class reads back exactly") {
  const World world = furnished();
  ComponentClass kind;
  kind.key = "air-filter-engine";
  kind.id = {7};
  kind.name = "Engine air filter";
  kind.system = "engine";
  kind.failure_modes = {"wear-out", "freeze"};
  kind.basis = Basis::engine_hours;
  kind.usual_per_day = 1.0 / 3;
  kind.life_median = 400.1;
  kind.life_low = 0.1 + 0.2;  // no short decimal
  kind.life_high = 900;
  kind.shape = 2.5;
  kind.severity = Severity::stranded;
  kind.hidden = true;
  kind.test_interval_days = 30.4375;
  kind.resupply = Resupply::specialist;
  kind.shelf_life_days = 3652.5;
  kind.dated = true;
  kind.mass_g = 1100.0 / 7;
  kind.volume_ml = 0.5;
  kind.price = Money{5801};
  kind.sensitivity = {{"smoke-dust", 4}, {"heat", 1.2}};
  kind.workaround = "tap out once";
  kind.safety_note = "fuses";
  kind.basis_note = "common practice, no source";
  kind.consumed = true;
  kind.retired = true;
  CHECK(copied_by_text(kind, blank(kind), world.catalogue()) == kind);
  CHECK(get(kind, "sensitivity", world.catalogue()) == "heat:1.2;smoke-dust:4");
  ComponentClass bare;
  CHECK(copied_by_text(bare, bare, world.catalogue()) == bare);
}

TEST_CASE("every field of a part and of a substitute reads back exactly") {
  const World world = furnished();
  const Catalogue& catalogue = world.catalogue();
  Part part;
  part.key = "fuse-15";
  part.id = {9};
  part.name = "Blade fuse 15 A";
  part.component_class = ClassId{2};
  part.price = Money{40};
  part.mass_g = 0.9;
  part.volume_ml = 1.1;
  part.pack = 10;
  part.shelf_life_days = 540;
  part.supplier = SupplierId{1};
  part.resupply = Resupply::anywhere;
  part.rating_ampere = 7.5;
  part.home_bin = BinId{1};
  part.note = "card of ten";
  part.retired = true;
  CHECK(copied_by_text(part, blank(part), catalogue) == part);
  CHECK(get(part, "rating", catalogue) == "7.5A");
  CHECK(copied_by_text(Part{}, Part{}, catalogue) == Part{});

  Substitute substitute;
  substitute.part = {2};
  substitute.stands_for = {1};
  substitute.temporary = true;
  substitute.only = PositionId{1};
  substitute.forbidden = true;
  substitute.note = "once";
  CHECK(copied_by_text(substitute, Substitute{}, catalogue) == substitute);
}

TEST_CASE("every field of a position reads back exactly") {
  const World world = furnished();
  const Catalogue& catalogue = world.catalogue();
  Position position;
  position.key = "pump";
  position.id = {5};
  position.name = "Fresh water pump";
  position.rig = {2};
  position.nicknames = {"gurgler", "old pump"};
  position.place = "pump locker";
  position.part = PartId{2};
  position.units = 3;
  position.pieces = 6;
  position.severity = Severity::uninhabitable;
  position.usual_per_day = 0.4;
  position.workaround = "jugs";
  position.cost_of_day = Money{1250};
  position.retired = true;
  CHECK(copied_by_text(position, blank(position), catalogue) == position);
  CHECK(get(position, "usual", catalogue) == "0.4/day");

  // By the night of its own rig's meter, and of another one, which needs its key.
  position.usual_meter = MeterId{3};
  CHECK(get(position, "usual", catalogue) == "0.4/night");
  CHECK(copied_by_text(position, blank(position), catalogue) == position);
  position.usual_meter = MeterId{2};
  CHECK(get(position, "usual", catalogue) == "0.4/nights");
  CHECK(copied_by_text(position, blank(position), catalogue) == position);
  position.usual_meter = MeterId{1};
  CHECK(get(position, "usual", catalogue) == "0.4/truck-km");
  CHECK(copied_by_text(position, blank(position), catalogue) == position);

  Position metered = blank(position);
  metered.rig = {1};
  metered.component_class = ClassId{1};
  metered.meter = MeterId{1};
  CHECK(copied_by_text(metered, blank(metered), catalogue) == metered);
}

TEST_CASE("every field of a rig, meter, bin, supplier and caution reads back exactly") {
  const World world = furnished();
  const Catalogue& catalogue = world.catalogue();
  Rig rig = catalogue.rigs[0];
  rig.name = "Old truck";
  rig.retired = true;
  CHECK(copied_by_text(rig, blank(rig), catalogue) == rig);
  for (const char* unit : {"km", "mi", "h", "cycles", "nights"}) {
    Meter meter = catalogue.meters[0];
    meter.name = "Odometer";
    meter.unit = unit;
    for (const double rate : {60.0, 96.56064, 1.0 / 3, 12345.678901234}) {
      meter.usual_per_day = rate;
      CAPTURE(unit, rate);
      CHECK(copied_by_text(meter, blank(meter), catalogue) == meter);
    }
  }
  Bin bin = catalogue.bins[0];
  bin.name = "Roof box";
  bin.rig = RigId{1};
  bin.ashore = bin.outside_volume = bin.retired = true;
  CHECK(copied_by_text(bin, blank(bin), catalogue) == bin);
  Supplier supplier = catalogue.suppliers[0];
  supplier.kind = SupplierKind::walk_in;
  CHECK(copied_by_text(supplier, blank(supplier), catalogue) == supplier);
  const SafetyNote note = catalogue.safety_notes[0];
  SafetyNote empty;
  empty.key = note.key;
  CHECK(copied_by_text(note, empty, catalogue) == note);
}

TEST_CASE("miles of a meter are stored as kilometres and shown as miles") {
  const World world = furnished();
  const Catalogue& catalogue = world.catalogue();
  Meter meter = catalogue.meters[0];
  meter.unit = "mi";
  set(meter, "usual", "60/day", catalogue);
  // 60 mi x 1.609344 km/mi (NIST Special Publication 811, 2008, appendix B.8) = 96.56064 km
  CHECK(*meter.usual_per_day == Approx(96.56064).epsilon(1e-14));
  CHECK(get(meter, "usual", catalogue) == "60/day");
  set(meter, "usual", "420 km/week", catalogue);
  CHECK(*meter.usual_per_day == Approx(60).epsilon(1e-14));
  CHECK_THROWS_AS(set(meter, "usual", "60 h/day", catalogue), InputError);
}

TEST_CASE("typed texts mean what the command line says") {
  const World world = furnished();
  const Catalogue& catalogue = world.catalogue();
  ComponentClass kind;
  set(kind, "life", "3y", catalogue);
  CHECK(kind.life_median == 1095.75);
  set(kind, "basis", "distance_km", catalogue);
  set(kind, "life-low", "12,000 km", catalogue);
  CHECK(kind.life_low == 12000);
  set(kind, "usual", "420/week", catalogue);
  CHECK(kind.usual_per_day == 60);
  set(kind, "test-interval", "", catalogue);
  CHECK_FALSE(kind.test_interval_days);
  set(kind, "hidden", "yes", catalogue);
  CHECK(kind.hidden);
  set(kind, "hidden", "", catalogue);
  CHECK_FALSE(kind.hidden);
  Position position;
  set(position, "part", "TYRE", catalogue);
  CHECK(position.part == PartId{1});
  set(position, "part", "", catalogue);
  CHECK_FALSE(position.part);
}

TEST_CASE("a refused text leaves the thing as it was") {
  const World world = furnished();
  const Catalogue& catalogue = world.catalogue();
  ComponentClass kind;
  kind.sensitivity = {{"heat", 1.2}};
  const ComponentClass before = kind;
  CHECK_THROWS_WITH(set(kind, "sensitivity", "smoke-dust", catalogue),
                    Catch::Contains("smoke-dust:4"));
  CHECK_THROWS_AS(set(kind, "sensitivity", "heat:0", catalogue), InputError);
  CHECK_THROWS_AS(set(kind, "sensitivity", "heat:2;heat:3", catalogue), InputError);
  CHECK_THROWS_AS(set(kind, "life", "", catalogue), InputError);
  CHECK_THROWS_AS(set(kind, "life", "0", catalogue), InputError);
  CHECK_THROWS_AS(set(kind, "hidden", "perhaps", catalogue), InputError);
  CHECK_THROWS_AS(set(kind, "name", "two\nlines", catalogue), InputError);
  CHECK_THROWS_WITH(set(kind, "safety-note", "fusses", catalogue),
                    Catch::Contains("fusses") && Catch::Contains("for example fuses"));
  CHECK_THROWS_AS(set(kind, "basis", "furlongs", catalogue), InputError);
  CHECK(kind == before);

  Position position;
  position.rig = {1};
  const Position untouched = position;
  CHECK_THROWS_AS(set(position, "units", "0", catalogue), InputError);
  CHECK_THROWS_AS(set(position, "units", "1001", catalogue), InputError);
  CHECK_THROWS_AS(set(position, "rig", "", catalogue), InputError);
  CHECK_THROWS_AS(set(position, "usual", "0.5/fortnight", catalogue), InputError);
  CHECK_THROWS_AS(set(position, "usual", "0/day", catalogue), InputError);
  CHECK(position == untouched);
}

TEST_CASE("a rate by the night needs to know whose nights") {
  World world = furnished();
  Catalogue& catalogue = world.catalogue();
  Position position;
  position.rig = world.rig("third");
  CHECK_THROWS_WITH(set(position, "usual", "2/night", catalogue), Catch::Contains("night"));
  catalogue.meters.pop_back();
  set(position, "usual", "2/night", catalogue);
  CHECK(position.usual_meter == MeterId{2});
}

TEST_CASE("a class must make sense as a whole") {
  const World world = furnished();
  const Catalogue& catalogue = world.catalogue();
  ComponentClass kind;
  CHECK_NOTHROW(check(kind, catalogue));
  SECTION("low below median below high") {
    kind.life_low = kind.life_median;
    CHECK_THROWS_AS(check(kind, catalogue), InputError);
  }
  SECTION("not too narrow") {
    kind.life_low = 1000;
    kind.life_median = 1004;
    kind.life_high = 1009;
    CHECK_THROWS_WITH(check(kind, catalogue), Catch::Contains("1.01 to 1,000"));
  }
  SECTION("not too wide") {
    kind.life_high = kind.life_low * 1001;
    CHECK_THROWS_AS(check(kind, catalogue), InputError);
  }
  SECTION("shape") {
    for (const double refused : {0.49, 8.1}) {
      kind.shape = refused;
      CHECK_THROWS_WITH(check(kind, catalogue), Catch::Contains("0.5 to 8"));
    }
    for (const double accepted : {0.5, 8.0}) {
      kind.shape = accepted;
      CHECK_NOTHROW(check(kind, catalogue));
    }
  }
  SECTION("a note that there is") {
    kind.safety_note = "brakes";
    CHECK_THROWS_AS(check(kind, catalogue), InputError);
  }
}

TEST_CASE("a position must agree with its part, class and meter") {
  World world = furnished();
  Catalogue& catalogue = world.catalogue();
  Position position;
  position.key = "wheel-2";
  CHECK_THROWS_WITH(check(position, catalogue), Catch::Contains("--rig"));
  position.rig = {1};
  position.part = PartId{1};
  position.meter = MeterId{1};
  CHECK_NOTHROW(check(position, catalogue));
  position.component_class = ClassId{2};
  CHECK_THROWS_WITH(check(position, catalogue), Catch::Contains("cell-coin-lithium"));
  position.component_class.reset();
  position.meter = MeterId{2};
  CHECK_THROWS_WITH(check(position, catalogue),
                    Catch::Contains("counts nights") && Catch::Contains("distance_km"));
  position.part = PartId{2};  // ages in days: any meter may stand beside it
  CHECK_NOTHROW(check(position, catalogue));
}

TEST_CASE("a fuse gives way only to one of no larger rating") {
  World world("2024-01-01");
  Catalogue& catalogue = world.catalogue();
  const ClassId blade = world.component_class("blade-fuse-mid", Basis::days).id;
  ComponentClass& bank = world.component_class("fuse-inverter-high-current", Basis::days);
  bank.safety_note = "dc-high-current";
  const ClassId bank_id = bank.id;
  ComponentClass& post = world.component_class("fuse-battery-post", Basis::days);
  post.safety_note = "dc-high-current";
  const ClassId post_id = post.id;
  const ClassId bolt = world.component_class("shackle-bolt", Basis::distance_km).id;
  const auto part = [&](const char* key, ClassId kind, double ampere) {
    const PartId id = world.part(key, kind);
    if (ampere > 0) {
      catalogue.parts.back().rating_ampere = ampere;
    }
    return id;
  };
  const PartId f10 = part("f10", blade, 10);
  const PartId f15 = part("f15", blade, 15);
  const PartId other15 = part("other15", blade, 15);
  const PartId unknown = part("f-unknown", blade, 0);
  const PartId inverter = part("inverter-250", bank_id, 250);
  const PartId post200 = part("post-200", post_id, 200);
  const PartId long_bolt = part("long-bolt", bolt, 0);
  const PartId short_bolt = part("short-bolt", bolt, 0);
  const auto allowed = [&](PartId substitute, PartId stands_for) {
    try {
      check_substitute(catalogue.at(substitute), catalogue.at(stands_for), catalogue);
      return true;
    } catch (const InputError&) {
      return false;
    }
  };
  CHECK(allowed(f10, f15));
  CHECK(allowed(other15, f15));
  CHECK_FALSE(allowed(f15, f10));
  CHECK_FALSE(allowed(unknown, f15));
  CHECK_FALSE(allowed(f10, unknown));
  CHECK_FALSE(allowed(f15, f15));
  CHECK_FALSE(allowed(long_bolt, f15));
  CHECK_FALSE(allowed(post200, inverter));  // another interrupting rating
  CHECK(allowed(long_bolt, short_bolt));

  Substitute warning;
  warning.part = f15;
  warning.stands_for = f10;
  CHECK_THROWS_WITH(check(warning, catalogue), Catch::Contains("15") && Catch::Contains("10"));
  warning.forbidden = true;  // kept as a warning
  CHECK_NOTHROW(check(warning, catalogue));
}
