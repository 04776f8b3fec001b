#pragma once
/// Small snapshots written by hand, for tests of rules: things are named by their keys, ids are
/// given in the order of adding. References stay good until the next thing of that kind is added.

#include <stdexcept>
#include <string>
#include <string_view>

#include "editable_catalogue.hpp"
#include "shearpin/domain/snapshot.hpp"

namespace shearpin::domain::testing {

/// A day: `day(2026, 5, 25)`.
inline Date day(int year, unsigned month, unsigned date) {
  return std::chrono::year{year} / std::chrono::month{month} / std::chrono::day{date};
}

/// A snapshot as of 2026-05-25 with one rig, `truck`. Convert with `build()`.
class SnapshotBuilder {
 public:
  SnapshotBuilder() {
    now_.as_of = day(2026, 5, 25);
    now_.first_day = day(2023, 4, 1);
    Rig rig;
    rig.id = RigId{1};
    rig.key = rig.name = "truck";
    catalogue().rigs.push_back(rig);
  }

  const Snapshot& build() const { return now_; }
  Snapshot& edit() { return now_; }
  Catalogue& catalogue() { return editable_catalogue(now_); }
  const Catalogue& catalogue() const { return *now_.catalogue; }

  ComponentClass& add_class(const std::string& key) {
    ComponentClass one;
    one.id = ClassId{next(catalogue().classes)};
    return add(catalogue().classes, one, key);
  }
  Part& add_part(const std::string& key, const std::string& class_key = {}) {
    Part one;
    one.id = PartId{next(catalogue().parts)};
    if (!class_key.empty()) {
      one.component_class = find(catalogue().classes, class_key).id;
    }
    return add(catalogue().parts, one, key);
  }
  /// `part` may stand for `stands_for`.
  Substitute& add_substitute(const std::string& part_key, const std::string& stands_for) {
    Substitute row;
    row.part = part(part_key);
    row.stands_for = part(stands_for);
    catalogue().substitutes.push_back(row);
    return catalogue().substitutes.back();
  }
  Position& add_position(const std::string& key, const std::string& part_key, int units = 1) {
    Position one;
    one.id = PositionId{next(catalogue().positions)};
    one.rig = RigId{1};
    one.units = units;
    if (!part_key.empty()) {
      one.part = part(part_key);
    }
    return add(catalogue().positions, one, key);
  }
  Bin& add_bin(const std::string& key, bool ashore = false) {
    Bin one;
    one.id = BinId{next(catalogue().bins)};
    one.ashore = ashore;
    return add(catalogue().bins, one, key);
  }
  Supplier& add_supplier(const std::string& key) {
    Supplier one;
    one.id = SupplierId{next(catalogue().suppliers)};
    return add(catalogue().suppliers, one, key);
  }
  Meter& add_meter(const std::string& key, const std::string& unit) {
    Meter one;
    one.id = MeterId{next(catalogue().meters)};
    one.rig = RigId{1};
    one.unit = unit;
    return add(catalogue().meters, one, key);
  }

  /// A unit of the position's part, fitted from a lot of its own number and still there.
  UnitLife& add_life(const std::string& position_key, int unit, Date fitted) {
    UnitLife life;
    life.id = UnitId{next(now_.lives)};
    life.position = position(position_key);
    life.unit = unit;
    life.part = find(catalogue().positions, position_key).part;
    if (life.part) {
      life.lot = LotId{1000 + life.id.value};
    }
    life.fitted = fitted;
    life.entry = EntryId{100 + life.id.value};
    now_.lives.push_back(life);
    return now_.lives.back();
  }
  /// Ends the life added last and leaves its place in `left`.
  LifeEnd& end_life(Date date, EndKind kind, PlaceState left = PlaceState::dead) {
    UnitLife& life = now_.lives.back();
    LifeEnd end;
    end.date = date;
    end.kind = kind;
    end.entry = EntryId{200 + life.id.value};
    life.end = end;
    if (left != PlaceState::fitted) {
      OpenPlace place;
      place.position = life.position;
      place.unit = life.unit;
      place.state = left;
      place.since = date;
      now_.open_places.push_back(place);
    }
    return *life.end;
  }
  TestResult& add_test(const std::string& position_key, Date date, bool passed) {
    TestResult test;
    test.position = position(position_key);
    test.date = date;
    test.passed = passed;
    test.entry = EntryId{static_cast<std::int64_t>(300 + now_.tests.size())};
    now_.tests.push_back(test);
    return now_.tests.back();
  }
  /// Pieces of a lot of their own, received on 2024-01-01.
  StockLine& add_stock(const std::string& part_key, const std::string& bin_key,
                       std::int64_t quantity) {
    StockLine line;
    line.lot = LotId{next(now_.stock)};
    line.part = part(part_key);
    line.bin = bin(bin_key);
    line.quantity = quantity;
    line.received = day(2024, 1, 1);
    now_.stock.push_back(line);
    return now_.stock.back();
  }
  /// Numbers o1, o2 ... in the order of adding.
  Order& add_order(const std::string& part_key, const std::string& supplier_key,
                   std::int64_t quantity, Date ordered) {
    Order order;
    order.id = OrderId{next(now_.orders)};
    order.number = "o" + std::to_string(order.id.value);
    order.part = part(part_key);
    order.supplier = find(catalogue().suppliers, supplier_key).id;
    order.quantity = quantity;
    order.ordered = ordered;
    now_.orders.push_back(order);
    return now_.orders.back();
  }
  MeterReading& add_reading(const std::string& meter_key, Date date, double value) {
    MeterReading reading;
    reading.meter = meter(meter_key);
    reading.date = date;
    reading.value = value;
    now_.readings.push_back(reading);
    return now_.readings.back();
  }
  Fault& add_fault(const std::string& key, const std::string& position_key, Date opened) {
    Fault fault;
    fault.id = FaultId{next(now_.faults)};
    fault.key = key;
    fault.position = position(position_key);
    fault.opened = opened;
    now_.faults.push_back(fault);
    return now_.faults.back();
  }

  PartId part(std::string_view key) const { return find(catalogue().parts, key).id; }
  PositionId position(std::string_view key) const { return find(catalogue().positions, key).id; }
  BinId bin(std::string_view key) const { return find(catalogue().bins, key).id; }
  MeterId meter(std::string_view key) const { return find(catalogue().meters, key).id; }
  SupplierId supplier(std::string_view key) const { return find(catalogue().suppliers, key).id; }

 private:
  template <class Things>
  static std::int64_t next(const Things& things) {
    return static_cast<std::int64_t>(things.size()) + 1;
  }
  template <class Thing>
  static Thing& add(std::vector<Thing>& things, Thing one, const std::string& key) {
    one.key = one.name = key;
    things.push_back(one);
    return things.back();
  }
  template <class Thing>
  static const Thing& find(const std::vector<Thing>& things, std::string_view key) {
    for (const Thing& one : things) {
      if (one.key == key) {
        return one;
      }
    }
    throw std::logic_error("the test names " + std::string(key) + " before adding it");
  }

  Snapshot now_;
};

}  // namespace shearpin::domain::testing
