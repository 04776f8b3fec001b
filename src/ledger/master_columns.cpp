#include "ledger/master_columns.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <array>

#include "ledger/columns.hpp"

namespace shearpin::ledger {
namespace {

using namespace domain;

/// The columns of a kind after those that every named thing has.
template <class Thing, std::size_t kCount>
constexpr std::array<Column<Thing>, kCount + 3> named(const Column<Thing> (&own)[kCount]) {
  std::array<Column<Thing>, kCount + 3> all{column<Thing, &Thing::key>("key", "<> ''"),
                                            column<Thing, &Thing::name>("name"),
                                            column<Thing, &Thing::retired>("retired")};
  std::copy(std::begin(own), std::end(own), all.begin() + 3);
  return all;
}

constexpr std::array<Column<Rig>, 3> columns_of(const Rig*) {
  return {column<Rig, &Rig::key>("key", "<> ''"), column<Rig, &Rig::name>("name"),
          column<Rig, &Rig::retired>("retired")};
}

constexpr auto columns_of(const ComponentClass*) {
  using T = ComponentClass;
  return named<T>({column<T, &T::system>("system"),
                   column<T, &T::failure_modes>("failure_modes"),
                   column<T, &T::basis>("basis"),
                   column<T, &T::usual_per_day>("usual_per_day", ">= 0"),
                   column<T, &T::life_median>("life_median", "> 0"),
                   column<T, &T::life_low>("life_low", "> 0"),
                   column<T, &T::life_high>("life_high", "> 0"),
                   column<T, &T::shape>("shape", "> 0"),
                   column<T, &T::severity>("severity"),
                   column<T, &T::hidden>("hidden"),
                   column<T, &T::test_interval_days>("test_interval_days", "> 0"),
                   column<T, &T::resupply>("resupply"),
                   column<T, &T::shelf_life_days>("shelf_life_days", "> 0"),
                   column<T, &T::dated>("dated"),
                   column<T, &T::mass_g>("mass_g", ">= 0"),
                   column<T, &T::volume_ml>("volume_ml", ">= 0"),
                   column<T, &T::price>("price"),
                   column<T, &T::sensitivity>("sensitivity"),
                   column<T, &T::workaround>("workaround"),
                   column<T, &T::safety_note>("safety_note"),
                   column<T, &T::basis_note>("basis_note"),
                   column<T, &T::consumed>("consumed")});
}

constexpr auto columns_of(const Part*) {
  using T = Part;
  return named<T>({column<T, &T::component_class>("component_class"), column<T, &T::price>("price"),
                   column<T, &T::mass_g>("mass_g", ">= 0"),
                   column<T, &T::volume_ml>("volume_ml", ">= 0"),
                   column<T, &T::pack>("pack", ">= 1"),
                   column<T, &T::shelf_life_days>("shelf_life_days", "> 0"),
                   column<T, &T::supplier>("supplier"), column<T, &T::resupply>("resupply"),
                   column<T, &T::rating_ampere>("rating_ampere", "> 0"),
                   column<T, &T::home_bin>("home_bin"), column<T, &T::note>("note")});
}

constexpr auto columns_of(const Substitute*) {
  using T = Substitute;
  return std::array{column<T, &T::part>("part"),           column<T, &T::stands_for>("stands_for"),
                    column<T, &T::temporary>("temporary"), column<T, &T::only>("only_at"),
                    column<T, &T::forbidden>("forbidden"), column<T, &T::note>("note")};
}

constexpr auto columns_of(const Position*) {
  using T = Position;
  return named<T>(
      {column<T, &T::rig>("rig"), column<T, &T::part>("part"),
       column<T, &T::component_class>("component_class"), column<T, &T::units>("units", ">= 1"),
       column<T, &T::pieces>("pieces", ">= 1"), column<T, &T::severity>("severity"),
       column<T, &T::meter>("meter"), column<T, &T::usual_per_day>("usual_per_day", ">= 0"),
       column<T, &T::usual_meter>("usual_meter"), column<T, &T::workaround>("workaround"),
       column<T, &T::place>("place"), column<T, &T::nicknames>("nicknames"),
       column<T, &T::cost_of_day>("cost_of_day"), column<T, &T::note>("note")});
}

constexpr auto columns_of(const Meter*) {
  using T = Meter;
  return named<T>({column<T, &T::rig>("rig"), column<T, &T::unit>("unit", "<> ''"),
                   column<T, &T::usual_per_day>("usual_per_day", ">= 0")});
}

constexpr auto columns_of(const Bin*) {
  using T = Bin;
  return named<T>({column<T, &T::rig>("rig"), column<T, &T::ashore>("ashore"),
                   column<T, &T::outside_volume>("outside_volume")});
}

constexpr auto columns_of(const Supplier*) {
  using T = Supplier;
  return named<T>({column<T, &T::kind>("kind")});
}

constexpr auto columns_of(const SafetyNote*) {
  using T = SafetyNote;
  return std::array{column<T, &T::key>("key", "<> ''"), column<T, &T::shown_when>("shown_when"),
                    column<T, &T::text>("text")};
}

/// The columns of a kind, in the order of its table.
template <class Thing>
constexpr auto kColumns = columns_of(static_cast<const Thing*>(nullptr));

/// The table with its index and triggers. Things change only beside as many change lines of the
/// newest entry, and are never removed.
template <class Thing>
std::string schema_of(const MasterSql& table) {
  std::string declared, changed;
  for (const Column<Thing>& each : kColumns<Thing>) {
    declared += ",\n  " + each.declared(each.name, each.rule);
    changed +=
        fmt::format("{}(OLD.{} IS NOT NEW.{})", changed.empty() ? "" : " + ", each.name, each.name);
  }
  if constexpr (std::is_same_v<Thing, Substitute>) {
    declared += ",\n  CHECK (part <> stands_for)";
  }
  return fmt::format(R"sql(CREATE TABLE {0} (
  id INTEGER PRIMARY KEY,
  entry INTEGER NOT NULL REFERENCES entry (id),
  changed_by INTEGER NOT NULL REFERENCES entry (id),
  gone INTEGER NOT NULL CHECK (gone IN (0, 1)){1}
) STRICT;
CREATE UNIQUE INDEX {0}_key ON {0} ({2}) WHERE gone = 0;
CREATE TRIGGER {0}_new BEFORE INSERT ON {0}
WHEN NEW.entry IS NOT (SELECT max(id) FROM entry) OR NEW.changed_by IS NOT NEW.entry
  OR NEW.gone <> 0 OR EXISTS (SELECT 1 FROM {0} WHERE id = NEW.id)
BEGIN SELECT RAISE(ABORT, 'master data is added with its entry only'); END;
CREATE TRIGGER {0}_kept BEFORE UPDATE OF id, entry, changed_by, {3} ON {0}
WHEN OLD.id <> NEW.id OR OLD.entry <> NEW.entry
  OR NEW.changed_by IS NOT (SELECT max(id) FROM entry)
  OR (SELECT count(*) FROM change WHERE kind = '{0}' AND object = OLD.id
        AND entry = NEW.changed_by AND added = 0) <> {4}
BEGIN SELECT RAISE(ABORT, 'master data changes only beside its change lines'); END;
CREATE TRIGGER {0}_gone BEFORE UPDATE OF gone ON {0}
WHEN NEW.gone <> (SELECT count(*) % 2 FROM entry WHERE root = OLD.entry)
BEGIN SELECT RAISE(ABORT, 'only the reversal of its adding takes master data away'); END;
CREATE TRIGGER {0}_stays BEFORE DELETE ON {0}
BEGIN SELECT RAISE(ABORT, 'master data is never removed'); END;
)sql",
                     table.kind, declared, table.own_key, fmt::join(table.fields, ", "), changed);
}

/// `kind`: the table.
template <class Thing>
MasterSql sql_of(const char* kind) {
  MasterSql table;
  table.kind = kind;
  std::string names, places, set, values;
  int number = 1;
  for (const auto& each : kColumns<Thing>) {
    values += fmt::format(", ?{}", number);
    ++number;
    table.fields.push_back(each.name);
    table.plain.push_back(each.plain());
    if (each.refers() != nullptr) table.references.push_back({each.name, each.refers()});
    names += fmt::format(", {}", each.name);
    places += fmt::format(", ?{}", number + 1);
    set += fmt::format(", {} = ?{}", each.name, number);
  }
  const bool by_parts = std::is_same_v<Thing, Substitute>;
  table.own_key = by_parts ? "part, stands_for, ifnull(only_at, 0)" : "key";
  table.schema = schema_of<Thing>;
  table.key =
      fmt::format("SELECT {} FROM {} WHERE id = ?1 AND gone = 0", by_parts ? "''" : "key", kind);
  table.values = fmt::format("SELECT ?{}{}", number, values);
  table.all = fmt::format("SELECT id{} FROM {} WHERE gone <= ?1 ORDER BY id", names, kind);
  table.every = fmt::format("SELECT id, entry, gone{} FROM {} ORDER BY id", names, kind);
  table.one = fmt::format("SELECT id{} FROM {} WHERE id = ?1 AND gone = 0", names, kind);
  table.find = fmt::format("SELECT id FROM {} WHERE {} AND gone = 0", kind,
                           by_parts ? "part = ?1 AND stands_for = ?2 AND ifnull(only_at, 0) = "
                                      "ifnull(?3, 0)"
                                    : "key = ?1");
  table.insert =
      fmt::format("INSERT INTO {} (id, entry, changed_by, gone{}) VALUES (?1, ?2, ?2, 0{})", kind,
                  names, places);
  table.update =
      fmt::format("UPDATE {} SET changed_by = ?1{} WHERE id = ?{}", kind, set, number + 1);
  return table;
}

}  // namespace

std::span<const MasterSql> master_tables() {
  // In the order of domain::Master.
  static const std::array tables{sql_of<Rig>("rig"),
                                 sql_of<ComponentClass>("class"),
                                 sql_of<Part>("part"),
                                 sql_of<Substitute>("substitute"),
                                 sql_of<Position>("position"),
                                 sql_of<Meter>("meter"),
                                 sql_of<Bin>("bin"),
                                 sql_of<Supplier>("supplier"),
                                 sql_of<SafetyNote>("safety_note")};
  static_assert(tables.size() == std::variant_size_v<Master>);
  return tables;
}

const MasterSql* master_table(std::string_view kind) {
  const auto tables = master_tables();
  const auto table = std::find_if(tables.begin(), tables.end(),
                                  [kind](const MasterSql& one) { return one.kind == kind; });
  return table == tables.end() ? nullptr : &*table;
}

std::vector<Cell> cells_of(const Master& thing) {
  return std::visit(
      [](const auto& value) {
        std::vector<Cell> cells;
        for (const auto& each : kColumns<std::decay_t<decltype(value)>>) {
          cells.push_back(each.cell(value));
        }
        return cells;
      },
      thing);
}

template <class Thing>
void read_row(Query& row, Thing& thing) {
  if constexpr (std::is_base_of_v<Named, Thing>) {
    thing.id.value = row.integer();
  } else {
    row.skip();  // named by its parts or its key, not by a number
  }
  for (const auto& each : kColumns<Thing>) each.read_into(row, thing);
}

template void read_row(Query&, Rig&);
template void read_row(Query&, ComponentClass&);
template void read_row(Query&, Part&);
template void read_row(Query&, Substitute&);
template void read_row(Query&, Position&);
template void read_row(Query&, Meter&);
template void read_row(Query&, Bin&);
template void read_row(Query&, Supplier&);
template void read_row(Query&, SafetyNote&);

namespace {

template <std::size_t kIndex = 0>
Master read_thing(Query& row, std::size_t index) {
  if constexpr (kIndex + 1 < std::variant_size_v<Master>) {
    if (index != kIndex) return read_thing<kIndex + 1>(row, index);
  }
  std::variant_alternative_t<kIndex, Master> thing;
  read_row(row, thing);
  return thing;
}

}  // namespace

Master thing_of(const Database& database, const MasterSql& table, std::int64_t id,
                const std::vector<Cell>& cells) {
  // Through a row, so that damage is told as it is of any row.
  Query row = database.query(table.values.c_str());
  for (const Cell& cell : cells) row.bind(cell);
  row.with(id);
  row.next();
  return read_thing(row, static_cast<std::size_t>(&table - master_tables().data()));
}

}  // namespace shearpin::ledger
