#pragma once
/// Columns of tables, declared once: name and rule. The type of the field says how it is stored,
/// read back, constrained, and which table it refers to.

#include <map>
#include <stdexcept>
#include <string>
#include <string_view>
#include <vector>

#include "ledger/database.hpp"
#include "shearpin/domain/draft.hpp"

namespace shearpin::ledger {

/// Words in one cell, a line each.
std::string lines_of(const std::vector<std::string>& words);
std::vector<std::string> words_of(const std::string& lines);

// A field as a cell.

inline Cell cell_of(const Cell& cell) { return cell; }
inline Cell cell_of(bool value) { return std::int64_t{value ? 1 : 0}; }
inline Cell cell_of(int value) { return std::int64_t{value}; }
inline Cell cell_of(std::int64_t value) { return value; }
inline Cell cell_of(double value) { return value; }
inline Cell cell_of(Money value) { return value.minor; }
inline Cell cell_of(Date value) { return to_text(value); }
inline Cell cell_of(const std::string& value) { return value; }
inline Cell cell_of(const std::vector<std::string>& words) { return lines_of(words); }
Cell cell_of(const std::map<std::string, double>& sensitivity);
template <class Tag>
Cell cell_of(Id<Tag> value) {
  return value.value;
}
/// A lot that the entry makes is resolved before it is written.
inline Cell cell_of(const domain::LotRef& lot) { return std::get<LotId>(lot).value; }
template <class Word>
requires std::is_enum_v<Word> Cell cell_of(Word value) { return std::string(to_text(value)); }
template <class T>
Cell cell_of(const std::optional<T>& value) {
  return value ? cell_of(*value) : Cell{};
}

// A field from the next column of a row.

inline auto parsed(std::string_view text, domain::Basis) { return domain::parse_basis(text); }
inline auto parsed(std::string_view text, domain::Severity) { return domain::parse_severity(text); }
inline auto parsed(std::string_view text, domain::Resupply) { return domain::parse_resupply(text); }
inline auto parsed(std::string_view text, domain::SupplierKind) {
  return domain::parse_supplier_kind(text);
}
inline auto parsed(std::string_view text, domain::LotState) {
  return domain::parse_lot_state(text);
}
inline auto parsed(std::string_view text, domain::EndKind) { return domain::parse_end_kind(text); }
inline auto parsed(std::string_view text, domain::PlaceState) {
  return domain::parse_place_state(text);
}
inline auto parsed(std::string_view text, domain::Outside) { return domain::parse_outside(text); }

inline void read(Query& row, Cell& cell) { cell = row.cell(); }
inline void read(Query& row, bool& value) { value = row.flag(); }
inline void read(Query& row, int& value) { value = row.small(); }
inline void read(Query& row, std::int64_t& value) { value = row.integer(); }
inline void read(Query& row, double& value) { value = row.real(); }
inline void read(Query& row, Money& value) { value = Money{row.integer()}; }
inline void read(Query& row, Date& value) { value = row.date(); }
inline void read(Query& row, std::string& value) { value = row.text(); }
inline void read(Query& row, std::vector<std::string>& words) { words = words_of(row.text()); }
void read(Query& row, std::map<std::string, double>& sensitivity);
template <class Tag>
void read(Query& row, Id<Tag>& value) {
  value.value = row.integer();
}
inline void read(Query& row, domain::LotRef& lot) { lot = row.id<LotTag>(); }
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

// What a field refers to: the table, or nullptr.

using TripId = Id<struct TripTag>;
using LegId = Id<struct LegTag>;

template <class T>
const char* table_of(const T&) {
  return nullptr;
}
inline const char* table_of(RigId) { return "rig"; }
inline const char* table_of(ClassId) { return "class"; }
inline const char* table_of(PartId) { return "part"; }
inline const char* table_of(PositionId) { return "position"; }
inline const char* table_of(MeterId) { return "meter"; }
inline const char* table_of(BinId) { return "bin"; }
inline const char* table_of(SupplierId) { return "supplier"; }
inline const char* table_of(LotId) { return "lot"; }
inline const char* table_of(OrderId) { return "order_line"; }
inline const char* table_of(FaultId) { return "fault"; }
inline const char* table_of(UnitId) { return "unit_begin"; }
inline const char* table_of(TripId) { return "trip"; }
inline const char* table_of(LegId) { return "trip_leg"; }
inline const char* table_of(const domain::LotRef&) { return "lot"; }
template <class T>
const char* table_of(const std::optional<T>&) {
  return table_of(T{});
}

// A column of the schema: type and rules.

template <class T>
struct Optional : std::false_type {
  using Value = T;
};
template <class T>
struct Optional<std::optional<T>> : std::true_type {
  using Value = T;
};

/// The spellings of a closed list, quoted: 'walk-in', 'parcel'.
template <class Word>
std::string spellings() {
  std::string list;
  try {
    for (int i = 0;; ++i) {
      const std::string word(to_text(static_cast<Word>(i)));
      list += (i == 0 ? "'" : ", '") + word + "'";
    }
  } catch (const std::logic_error&) {  // past the last
  }
  return list;
}

/// `pack INTEGER NOT NULL CHECK (pack >= 1)`. `rule` is put behind the name; may be empty.
template <class T>
std::string declared(std::string_view name, std::string_view rule) {
  using Value = typename Optional<T>::Value;
  std::string type = "TEXT";
  std::string form;  // that the type demands
  if constexpr (std::is_same_v<Value, Cell>) {
    type = "ANY";
  } else if constexpr (std::is_same_v<Value, bool>) {
    type = "INTEGER";
    form = "IN (0, 1)";
  } else if constexpr (std::is_same_v<Value, Money>) {
    type = "INTEGER";
    form = ">= 0";
  } else if constexpr (std::is_same_v<Value, double>) {
    type = "REAL";
  } else if constexpr (std::is_same_v<Value, Date>) {
    form = "IS date(" + std::string(name) + ", '+0 days')";
  } else if constexpr (std::is_enum_v<Value>) {
    form = "IN (" + spellings<Value>() + ")";
  } else if constexpr (std::is_integral_v<Value>) {
    type = "INTEGER";
  }
  const char* refers = table_of(Value{});
  std::string text = std::string(name) + " " + (refers == nullptr ? type : "INTEGER");
  if (!Optional<T>::value && !std::is_same_v<T, Cell>) text += " NOT NULL";
  if (refers != nullptr) text += std::string(" REFERENCES ") + refers + " (id)";
  for (const std::string_view check : {std::string_view(form), rule}) {
    if (!check.empty()) text.append(" CHECK (").append(name).append(" ").append(check).append(")");
  }
  return text;
}

/// A column that names a row of another table.
struct Reference {
  const char* column;
  const char* table;
};

/// One column of the table of `Thing`s.
template <class Thing>
struct Column {
  const char* name;
  const char* rule;
  std::string (*declared)(std::string_view name, std::string_view rule);
  const char* (*refers)();
  Cell (*cell)(const Thing&);
  void (*read_into)(Query&, Thing&);
  Cell (*plain)();  ///< what a field holds that is not said; a word is always said
};

template <class Thing, auto kField>
constexpr Column<Thing> column(const char* name, const char* rule = "") {
  using Value = std::decay_t<decltype(std::declval<Thing>().*kField)>;
  return {name,
          rule,
          declared<Value>,
          [] { return table_of(Value{}); },
          [](const Thing& thing) { return cell_of(thing.*kField); },
          [](Query& row, Thing& thing) { read(row, thing.*kField); },
          [] {
            if constexpr (std::is_enum_v<Value>) {
              return Cell{};
            } else {
              return cell_of(Value{});
            }
          }};
}

}  // namespace shearpin::ledger
