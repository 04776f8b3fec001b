#include <catch2/catch.hpp>

#include "interchange/export.hpp"
#include "support.hpp"

namespace shearpin::interchange {
namespace {

using test::day;

domain::Snapshot small_ledger() {
  domain::Snapshot now;
  now.as_of = day("2026-05-25");
  domain::Catalogue all;
  all.rigs = {{{"truck", "Truck, old", false}, RigId{1}}};
  domain::Meter meter;
  meter.key = "truck-mi";
  meter.id = MeterId{1};
  meter.rig = RigId{1};
  meter.unit = "mi";
  all.meters = {meter};
  domain::Bin bin;
  bin.key = "b1";
  bin.id = BinId{1};
  bin.rig = RigId{1};
  all.bins = {bin};
  domain::Supplier supplier;
  supplier.key = "s1";
  supplier.id = SupplierId{1};
  all.suppliers = {supplier};
  domain::Part part;
  part.key = "p1";
  part.name = "Pin, 6 mm \"brass\"";
  part.id = PartId{1};
  part.price = Money{250};
  part.mass_g = 9;
  part.home_bin = BinId{1};
  all.parts = {part};
  domain::Position position;
  position.key = "winch";
  position.id = PositionId{1};
  position.rig = RigId{1};
  position.part = PartId{1};
  position.units = 2;
  position.nicknames = {"mast", "pin"};
  all.positions = {position};
  now.catalogue = std::make_shared<domain::Catalogue>(all);
  return now;
}

std::vector<ImportRow> back(Kind kind, const domain::Snapshot& now) {
  auto file = test::read(kind, write_csv(export_lines(kind, now)));
  CHECK(test::refusals(file).empty());
  CHECK(file.warnings.empty());
  return std::move(file.rows);
}

TEST_CASE("Master data written out is read back as the fields it has") {
  const auto now = small_ledger();
  const auto parts = back(Kind::parts, now);
  REQUIRE(parts.size() == 1);
  const auto& part = parts[0];
  CHECK(*part.find("key") == "p1");
  CHECK(*part.find("name") == "Pin, 6 mm \"brass\"");
  CHECK(*part.find("price") == "2.50");
  CHECK(*part.find("home_bin") == "b1");
  const auto positions = back(Kind::positions, now);
  CHECK(*positions.at(0).find("also") == "mast;pin");
  for (int i = 0; i <= static_cast<int>(Kind::orders); ++i) {
    CHECK_FALSE(export_lines(static_cast<Kind>(i), now).empty());
  }
  CHECK_FALSE(is_exportable(Kind::history));
  CHECK_THROWS_AS(export_lines(Kind::history, now), std::logic_error);
}

TEST_CASE("Units in place are written with the day and age they were fitted at") {
  auto now = small_ledger();
  domain::UnitLife life;
  life.position = PositionId{1};
  life.part = PartId{1};
  life.fitted = day("2024-02-29");
  life.age_at_fit = 310;
  auto old = life;
  old.end = domain::LifeEnd{};
  auto used = life;
  used.unit = 2;
  used.age_at_fit.reset();
  used.age_unknown = true;
  used.part.reset();
  used.no_part = "graded bolt";
  used.marked_end = day("2031-03-01");
  now.lives = {old, life, used};
  const auto rows = back(Kind::fitted, now);
  REQUIRE(rows.size() == 2);
  const auto& first = rows[0];
  CHECK(first.date == day("2024-02-29"));
  CHECK(first.text("position") == "winch");
  CHECK(first.text("unit") == "1");
  CHECK(first.text("part") == "p1");
  CHECK(first.text("age") == "310");
  const auto& second = rows[1];
  CHECK(second.text("no_part") == "graded bolt");
  CHECK(second.text("age") == "unknown");
  CHECK(second.text("ends") == "2031-03-01");
}

TEST_CASE("Stock, readings in miles, conditions and orders come back as they were") {
  auto now = small_ledger();
  domain::StockLine line;
  line.part = PartId{1};
  line.bin = BinId{1};
  line.quantity = 3;
  line.batch = "VB-07";
  line.state = domain::LotState::worn;
  line.age = 12.5;
  line.received = day("2024-01-01");
  line.quarantined = true;
  now.stock = {line};
  now.readings = {{MeterId{1}, day("2024-01-01"), 160.9344, false, EntryId{}}};
  now.conditions = {{"freezing", std::nullopt, day("2024-01-01"), std::nullopt, EntryId{}}};
  domain::Order done;
  done.number = "o1";
  done.part = PartId{1};
  done.supplier = SupplierId{1};
  done.quantity = 6;
  done.received = 6;
  done.ordered = day("2024-01-01");
  done.completed = day("2024-01-13");
  done.cost = Money{1500};
  auto open = done;
  open.number = "o2";
  open.received = 2;
  open.completed.reset();
  auto cancelled = open;
  cancelled.cancelled = true;
  now.orders = {done, open, cancelled};

  const auto stock = back(Kind::stock, now);
  const auto& lot = stock.at(0);
  CHECK(lot.text("quantity") == "3");
  CHECK(lot.text("batch") == "VB-07");
  CHECK(lot.text("state") == "worn");
  CHECK(lot.text("age") == "12.5");
  CHECK(lot.text("quarantined") == "yes");
  CHECK(back(Kind::readings, now).at(0).text("value") == "160.9344 km");
  CHECK(back(Kind::conditions, now).at(0).text("condition") == "freezing");
  const auto orders = back(Kind::orders, now);
  REQUIRE(orders.size() == 3);
  CHECK(orders[0].kind == RowKind::order);
  CHECK(orders[0].text("quantity") == "6");
  CHECK(orders[1].kind == RowKind::receipt);
  CHECK(orders[1].text("bin") == "none");
  CHECK(orders[2].kind == RowKind::order);
  CHECK(orders[2].text("number") == "o2");
  CHECK(orders[2].text("quantity") == "4");
}

}  // namespace
}  // namespace shearpin::interchange
