#include "ledger/master_fields.hpp"

#include <algorithm>
#include <charconv>

#include "base/quantity.hpp"
#include "base/text.hpp"

namespace shearpin::ledger {
namespace {

using namespace domain;

/// Collects cells with the type each field is stored in.
class Cells {
 public:
  Cells& add(bool value) { return put(std::int64_t{value ? 1 : 0}); }
  Cells& add(int value) { return put(std::int64_t{value}); }
  Cells& add(double value) { return put(value); }
  Cells& add(Money value) { return put(value.minor); }
  Cells& add(const std::string& value) { return put(value); }
  Cells& add(std::string_view value) { return put(std::string(value)); }
  template <class Tag>
  Cells& add(Id<Tag> value) {
    return put(value.value);
  }
  template <class T>
  Cells& add(const std::optional<T>& value) {
    return value ? add(*value) : put(std::monostate{});
  }
  Cells& named(const Named& thing) { return add(thing.key).add(thing.name).add(thing.retired); }
  std::vector<Cell> take() { return std::move(cells_); }

 private:
  template <class T>
  Cells& put(T value) {
    cells_.emplace_back(std::move(value));
    return *this;
  }
  std::vector<Cell> cells_;
};

std::string sensitivity_text(const std::map<std::string, double>& sensitivity) {
  std::vector<std::string> lines;
  for (const auto& [condition, factor] : sensitivity) {
    lines.push_back(condition + "=" + plain_number(factor));
  }
  return lines_of(lines);
}

std::map<std::string, double> sensitivity_of(Query& row) {
  std::map<std::string, double> sensitivity;
  for (const std::string& line : words_of(row.text())) {
    const std::size_t sign = line.rfind('=');
    double factor = 0;
    if (sign == std::string::npos) row.damaged("a sensitivity without a factor");
    const char* last = line.data() + line.size();
    if (std::from_chars(line.data() + sign + 1, last, factor).ptr != last) {
      row.damaged("a sensitivity whose factor is not a number");
    }
    sensitivity.emplace(line.substr(0, sign), factor);
  }
  return sensitivity;
}

template <class T>
std::optional<std::string_view> spelt(const std::optional<T>& value) {
  return value ? std::optional(to_text(*value)) : std::nullopt;
}

std::vector<Cell> cells(const Rig& rig) { return Cells().named(rig).take(); }

std::vector<Cell> cells(const ComponentClass& c) {
  return Cells()
      .named(c)
      .add(c.system)
      .add(lines_of(c.failure_modes))
      .add(to_text(c.basis))
      .add(c.usual_per_day)
      .add(c.life_median)
      .add(c.life_low)
      .add(c.life_high)
      .add(c.shape)
      .add(to_text(c.severity))
      .add(c.hidden)
      .add(c.test_interval_days)
      .add(to_text(c.resupply))
      .add(c.shelf_life_days)
      .add(c.dated)
      .add(c.mass_g)
      .add(c.volume_ml)
      .add(c.price)
      .add(sensitivity_text(c.sensitivity))
      .add(c.workaround)
      .add(c.safety_note)
      .add(c.basis_note)
      .add(c.consumed)
      .take();
}

std::vector<Cell> cells(const Part& part) {
  return Cells()
      .named(part)
      .add(part.component_class)
      .add(part.price)
      .add(part.mass_g)
      .add(part.volume_ml)
      .add(part.pack)
      .add(part.shelf_life_days)
      .add(part.supplier)
      .add(spelt(part.resupply))
      .add(part.rating_ampere)
      .add(part.home_bin)
      .add(part.note)
      .take();
}

std::vector<Cell> cells(const Substitute& s) {
  return Cells()
      .add(s.part)
      .add(s.stands_for)
      .add(s.temporary)
      .add(s.only)
      .add(s.forbidden)
      .add(s.note)
      .take();
}

std::vector<Cell> cells(const Position& p) {
  return Cells()
      .named(p)
      .add(p.rig)
      .add(p.part)
      .add(p.component_class)
      .add(p.units)
      .add(p.pieces)
      .add(spelt(p.severity))
      .add(p.meter)
      .add(p.usual_per_day)
      .add(p.usual_meter)
      .add(p.workaround)
      .add(p.place)
      .add(lines_of(p.nicknames))
      .add(p.cost_of_day)
      .take();
}

std::vector<Cell> cells(const Meter& meter) {
  return Cells().named(meter).add(meter.rig).add(meter.unit).add(meter.usual_per_day).take();
}

std::vector<Cell> cells(const Bin& bin) {
  return Cells().named(bin).add(bin.rig).add(bin.ashore).add(bin.outside_volume).take();
}

std::vector<Cell> cells(const Supplier& supplier) {
  return Cells().named(supplier).add(to_text(supplier.kind)).take();
}

std::vector<Cell> cells(const SafetyNote& note) {
  return Cells().add(note.key).add(note.shown_when).add(note.text).take();
}

template <class Thing>
void read_named(Query& row, Thing& thing) {
  thing.id.value = row.integer();
  thing.key = row.text();
  thing.name = row.text();
  thing.retired = row.flag();
}

template <class Parse>
auto maybe_word(Query& row, Parse parse) {
  return row.maybe([parse](Query& query) { return query.word(parse); });
}

}  // namespace

std::vector<Cell> cells_of(const Master& thing) {
  return std::visit([](const auto& value) { return cells(value); }, thing);
}

std::string lines_of(const std::vector<std::string>& words) {
  std::vector<std::string> lines = words;
  for (std::string& line : lines) std::replace(line.begin(), line.end(), '\n', ' ');
  return join(lines, "\n");
}

std::vector<std::string> words_of(const std::string& lines) {
  return lines.empty() ? std::vector<std::string>{} : split(lines, '\n');
}

void read_row(Query& row, Rig& rig) { read_named(row, rig); }

void read_row(Query& row, ComponentClass& c) {
  read_named(row, c);
  c.system = row.text();
  c.failure_modes = words_of(row.text());
  c.basis = row.word(parse_basis);
  c.usual_per_day = row.real();
  c.life_median = row.real();
  c.life_low = row.real();
  c.life_high = row.real();
  c.shape = row.real();
  c.severity = row.word(parse_severity);
  c.hidden = row.flag();
  c.test_interval_days = row.maybe_real();
  c.resupply = row.word(parse_resupply);
  c.shelf_life_days = row.maybe_real();
  c.dated = row.flag();
  c.mass_g = row.maybe_real();
  c.volume_ml = row.maybe_real();
  c.price = row.maybe_money();
  c.sensitivity = sensitivity_of(row);
  c.workaround = row.text();
  c.safety_note = row.text();
  c.basis_note = row.text();
  c.consumed = row.flag();
}

void read_row(Query& row, Part& part) {
  read_named(row, part);
  part.component_class = row.maybe_id<ClassId>();
  part.price = row.maybe_money();
  part.mass_g = row.maybe_real();
  part.volume_ml = row.maybe_real();
  part.pack = row.small();
  part.shelf_life_days = row.maybe_real();
  part.supplier = row.maybe_id<SupplierId>();
  part.resupply = maybe_word(row, parse_resupply);
  part.rating_ampere = row.maybe_real();
  part.home_bin = row.maybe_id<BinId>();
  part.note = row.text();
}

void read_row(Query& row, Substitute& substitute) {
  row.skip();  // a substitute is named by its parts, not by a number
  substitute.part = row.id<PartTag>();
  substitute.stands_for = row.id<PartTag>();
  substitute.temporary = row.flag();
  substitute.only = row.maybe_id<PositionId>();
  substitute.forbidden = row.flag();
  substitute.note = row.text();
}

void read_row(Query& row, Position& position) {
  read_named(row, position);
  position.rig = row.id<RigTag>();
  position.part = row.maybe_id<PartId>();
  position.component_class = row.maybe_id<ClassId>();
  position.units = row.small();
  position.pieces = row.small();
  position.severity = maybe_word(row, parse_severity);
  position.meter = row.maybe_id<MeterId>();
  position.usual_per_day = row.maybe_real();
  position.usual_meter = row.maybe_id<MeterId>();
  position.workaround = row.text();
  position.place = row.text();
  position.nicknames = words_of(row.text());
  position.cost_of_day = row.maybe_money();
}

void read_row(Query& row, Meter& meter) {
  read_named(row, meter);
  meter.rig = row.id<RigTag>();
  meter.unit = row.text();
  meter.usual_per_day = row.maybe_real();
}

void read_row(Query& row, Bin& bin) {
  read_named(row, bin);
  bin.rig = row.maybe_id<RigId>();
  bin.ashore = row.flag();
  bin.outside_volume = row.flag();
}

void read_row(Query& row, Supplier& supplier) {
  read_named(row, supplier);
  supplier.kind = row.word(parse_supplier_kind);
}

void read_row(Query& row, SafetyNote& note) {
  row.skip();  // a note is named by its key
  note.key = row.text();
  note.shown_when = row.text();
  note.text = row.text();
}

}  // namespace shearpin::ledger
