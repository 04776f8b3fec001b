#include "ledger/master_columns.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>

#include "base/quantity.hpp"
#include "base/text.hpp"

namespace shearpin::ledger {
namespace {

using namespace domain;

// How a field of each type is stored, and read back.

Cell cell_of(bool value) { return std::int64_t{value ? 1 : 0}; }
Cell cell_of(int value) { return std::int64_t{value}; }
Cell cell_of(double value) { return value; }
Cell cell_of(Money value) { return value.minor; }
Cell cell_of(const std::string& value) { return value; }
Cell cell_of(const std::vector<std::string>& words) { return lines_of(words); }
Cell cell_of(const std::map<std::string, double>& sensitivity) {
  std::vector<std::string> lines;
  for (const auto& [condition, factor] : sensitivity) {
    lines.push_back(condition + "=" + plain_number(factor));
  }
  return lines_of(lines);
}
template <class Tag>
Cell cell_of(Id<Tag> value) {
  return value.value;
}
template <class Word>
requires std::is_enum_v<Word> Cell cell_of(Word value) { return std::string(to_text(value)); }
template <class T>
Cell cell_of(const std::optional<T>& value) {
  return value ? cell_of(*value) : Cell{};
}

Basis parsed(std::string_view text, Basis) { return parse_basis(text); }
Severity parsed(std::string_view text, Severity) { return parse_severity(text); }
Resupply parsed(std::string_view text, Resupply) { return parse_resupply(text); }
SupplierKind parsed(std::string_view text, SupplierKind) { return parse_supplier_kind(text); }

void read(Query& row, bool& value) { value = row.flag(); }
void read(Query& row, int& value) { value = row.small(); }
void read(Query& row, double& value) { value = row.real(); }
void read(Query& row, Money& value) { value = Money{row.integer()}; }
void read(Query& row, std::string& value) { value = row.text(); }
void read(Query& row, std::vector<std::string>& words) { words = words_of(row.text()); }
void read(Query& row, std::map<std::string, double>& sensitivity) {
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
}
template <class Tag>
void read(Query& row, Id<Tag>& value) {
  value.value = row.integer();
}
template <class Word>
requires std::is_enum_v<Word>
void read(Query& row, Word& value) {
  value = row.word([](std::string_view text) { return parsed(text, Word{}); });
}
template <class T>
void read(Query& row, std::optional<T>& value) {
  value = row.maybe([](Query& query) {
    T found{};
    read(query, found);
    return found;
  });
}

/// One column of the table of a kind.
template <class Thing>
struct Column {
  const char* name;
  Cell (*cell)(const Thing&);
  void (*read_into)(Query&, Thing&);
};

template <class Thing, auto kField>
constexpr Column<Thing> column(const char* name) {
  return {name, [](const Thing& thing) { return cell_of(thing.*kField); },
          [](Query& row, Thing& thing) { read(row, thing.*kField); }};
}

/// The columns of a kind after those that every named thing has.
template <class Thing, std::size_t kCount>
constexpr std::array<Column<Thing>, kCount + 3> named(const Column<Thing> (&own)[kCount]) {
  std::array<Column<Thing>, kCount + 3> all{column<Thing, &Thing::key>("key"),
                                            column<Thing, &Thing::name>("name"),
                                            column<Thing, &Thing::retired>("retired")};
  std::copy(std::begin(own), std::end(own), all.begin() + 3);
  return all;
}

constexpr std::array<Column<Rig>, 3> columns_of(const Rig*) {
  return {column<Rig, &Rig::key>("key"), column<Rig, &Rig::name>("name"),
          column<Rig, &Rig::retired>("retired")};
}

constexpr auto columns_of(const ComponentClass*) {
  using T = ComponentClass;
  return named<T>({column<T, &T::system>("system"),
                   column<T, &T::failure_modes>("failure_modes"),
                   column<T, &T::basis>("basis"),
                   column<T, &T::usual_per_day>("usual_per_day"),
                   column<T, &T::life_median>("life_median"),
                   column<T, &T::life_low>("life_low"),
                   column<T, &T::life_high>("life_high"),
                   column<T, &T::shape>("shape"),
                   column<T, &T::severity>("severity"),
                   column<T, &T::hidden>("hidden"),
                   column<T, &T::test_interval_days>("test_interval_days"),
                   column<T, &T::resupply>("resupply"),
                   column<T, &T::shelf_life_days>("shelf_life_days"),
                   column<T, &T::dated>("dated"),
                   column<T, &T::mass_g>("mass_g"),
                   column<T, &T::volume_ml>("volume_ml"),
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
                   column<T, &T::mass_g>("mass_g"), column<T, &T::volume_ml>("volume_ml"),
                   column<T, &T::pack>("pack"), column<T, &T::shelf_life_days>("shelf_life_days"),
                   column<T, &T::supplier>("supplier"), column<T, &T::resupply>("resupply"),
                   column<T, &T::rating_ampere>("rating_ampere"),
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
  return named<T>({column<T, &T::rig>("rig"), column<T, &T::part>("part"),
                   column<T, &T::component_class>("component_class"), column<T, &T::units>("units"),
                   column<T, &T::pieces>("pieces"), column<T, &T::severity>("severity"),
                   column<T, &T::meter>("meter"), column<T, &T::usual_per_day>("usual_per_day"),
                   column<T, &T::usual_meter>("usual_meter"),
                   column<T, &T::workaround>("workaround"), column<T, &T::place>("place"),
                   column<T, &T::nicknames>("nicknames"), column<T, &T::cost_of_day>("cost_of_day"),
                   column<T, &T::note>("note")});
}

constexpr auto columns_of(const Meter*) {
  using T = Meter;
  return named<T>({column<T, &T::rig>("rig"), column<T, &T::unit>("unit"),
                   column<T, &T::usual_per_day>("usual_per_day")});
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
  return std::array{column<T, &T::key>("key"), column<T, &T::shown_when>("shown_when"),
                    column<T, &T::text>("text")};
}

/// The columns of a kind, in the order of its table.
template <class Thing>
constexpr auto kColumns = columns_of(static_cast<const Thing*>(nullptr));

/// `kind`: the table.
template <class Thing>
MasterSql table_of(const char* kind) {
  MasterSql table{kind, {}, {}, {}, {}, {}, {}, {}};
  std::string names, places, set;
  int number = 1;
  for (const auto& each : kColumns<Thing>) {
    ++number;
    table.fields.push_back(each.name);
    names += fmt::format(", {}", each.name);
    places += fmt::format(", ?{}", number + 1);
    set += fmt::format(", {} = ?{}", each.name, number);
  }
  const bool by_parts = std::is_same_v<Thing, Substitute>;
  table.all = fmt::format("SELECT id{} FROM {} WHERE gone = 0 ORDER BY id", names, kind);
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
  static const std::array tables{table_of<Rig>("rig"),
                                 table_of<ComponentClass>("class"),
                                 table_of<Part>("part"),
                                 table_of<Substitute>("substitute"),
                                 table_of<Position>("position"),
                                 table_of<Meter>("meter"),
                                 table_of<Bin>("bin"),
                                 table_of<Supplier>("supplier"),
                                 table_of<SafetyNote>("safety_note")};
  static_assert(tables.size() == std::variant_size_v<Master>);
  return tables;
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

std::string lines_of(const std::vector<std::string>& words) {
  std::vector<std::string> lines = words;
  for (std::string& line : lines) std::replace(line.begin(), line.end(), '\n', ' ');
  return join(lines, "\n");
}

std::vector<std::string> words_of(const std::string& lines) {
  return lines.empty() ? std::vector<std::string>{} : split(lines, '\n');
}

}  // namespace shearpin::ledger
