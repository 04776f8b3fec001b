#pragma once
/// Tables of entry lines: from the columns of a line come its schema, the statements that write and
/// read it, and who refers to what.

#include <fmt/format.h>

#include <span>
#include <string>
#include <vector>

#include "ledger/columns.hpp"
#include "ledger/names.hpp"
#include "ledger/record.hpp"

namespace shearpin::ledger {

/// A column that repeats what is known elsewhere, so that lines are found by it: the value is an
/// expression of the entry (?1) and the columns (?2, ?3 ...). The file refuses another one.
struct Derived {
  const char* name;
  const char* declared;
  const char* value;
  const char* strayed;  ///< what is said of a line with another one
};

/// The day of the entry.
inline constexpr Derived kHappened = {
    "happened", "TEXT NOT NULL CHECK (happened IS date(happened, '+0 days'))",
    "(SELECT happened FROM entry WHERE id = ?1)", "is of another day than its entry"};

/// What a table has besides its columns.
struct Shape {
  const char* name;
  std::vector<Derived> derived = {};
  std::vector<const char*> indexes = {};  ///< `(part)`, `(lot) WHERE lot IS NOT NULL`
  const char* rules = "";                 ///< between columns
};

/// Of a line: its entry, its number, the day it is about.
struct Written {
  EntryId entry;
  std::int64_t number = 0;
  Date day;
};

class Table {
 public:
  const char* name() const { return shape_.name; }
  /// The table with its indexes and triggers.
  std::string schema() const;
  const std::vector<Reference>& references() const { return references_; }
  /// The statement of each_live: of the lines x in force, those `where` says, and in what order. ?1
  /// the last day that had happened, ?2 the last day of recording; `where` counts on from ?3.
  std::string live(std::string_view where) const { return live_ + std::string(where); }
  /// For each derived column what is said of a line with another value, and the statement that
  /// finds the numbers of such lines.
  const std::vector<std::pair<const char*, std::string>>& strayed() const { return strayed_; }

 protected:
  explicit Table(Shape shape) : shape_(std::move(shape)) {}
  ~Table() = default;
  virtual std::vector<std::string> declared() const = 0;
  /// Once the columns are known.
  void settle();
  /// `expression` with `prefix` and the names of columns in the place of ?1, ?2 ...
  std::string spelt(const char* expression, std::string_view prefix) const;

  Shape shape_;
  std::vector<const char*> names_ = {"entry"};  ///< entry and the columns
  std::vector<Reference> references_;
  std::string insert_, range_, one_, live_;
  std::vector<std::pair<const char*, std::string>> strayed_;
};

/// Lines of one kind. Made once and kept: statements are cached by the address of their text.
template <class Line>
class LineTable final : public Table {
 public:
  template <std::size_t kCount>
  LineTable(Shape shape, const Column<Line> (&columns)[kCount])
      : Table(std::move(shape)), columns_(std::begin(columns), std::end(columns)) {
    for (const Column<Line>& each : columns_) {
      names_.push_back(each.name);
      if (each.refers() != nullptr) references_.push_back({each.name, each.refers()});
    }
    settle();
  }

  /// InputError where a line refers to master data that is gone.
  void require_references(const Database& database, const Line& line) const {
    for (const Column<Line>& each : columns_) {
      if (each.refers() != nullptr) require_there(database, each.refers(), each.cell(line));
    }
  }

  /// Writes a line; its number.
  std::int64_t write(const Database& database, EntryId entry, const Line& line) const {
    Query row = database.query(insert_.c_str());
    row.with(entry);
    for (const Column<Line>& each : columns_) row.bind(each.cell(line));
    row.run();
    return database.last_id();
  }

  /// Calls `add(entry, number, line)` for the lines of the entries, in the order written.
  template <class Add>
  void each(const Database& database, EntryId low, EntryId high, Add add) const {
    Query row = database.query(range_.c_str());
    row.with(low, high);
    while (row.next()) {
      const auto entry = row.id<EntryTag>();
      const std::int64_t number = row.integer();
      add(entry, number, read_line(row));
    }
  }

  /// Calls `add(line, written)` for the lines of a statement made by live(), with `values` bound,
  /// until it answers false.
  template <class Add, class... Values>
  void each_live(const Database& database, const std::string& sql, Add add,
                 const Values&... values) const {
    Query row = database.query(sql.c_str());
    row.with(values...);
    while (row.next()) {
      Written written;
      written.entry = row.id<EntryTag>();
      written.number = row.integer();
      written.day = row.date();
      if constexpr (std::is_same_v<decltype(add(read_line(row), written)), bool>) {
        if (!add(read_line(row), written)) return;
      } else {
        add(read_line(row), written);
      }
    }
  }

  /// The line of this number; none where there is not.
  std::optional<Line> find(const Database& database, std::int64_t number) const {
    Query row = database.query(one_.c_str());
    row.with(number);
    return row.next() ? std::optional(read_line(row)) : std::nullopt;
  }

 private:
  std::vector<std::string> declared() const override {
    std::vector<std::string> all;
    for (const Column<Line>& each : columns_) all.push_back(each.declared(each.name, each.rule));
    return all;
  }
  Line read_line(Query& row) const {
    Line line{};
    for (const Column<Line>& each : columns_) each.read_into(row, line);
    return line;
  }

  std::vector<Column<Line>> columns_;
};

template <class Line>
void unchecked(const Recording&, const Line&) {}

/// The kind of lines that stand in a draft as they are written. `kCheck(to, line)` may refuse one.
template <auto kTable, auto kLines, auto kCheck>
LineKind plain_kind() {
  return {{&kTable()},
          [](Recording& to) {
            for (const auto& line : to.draft.*kLines) {
              kTable().require_references(to.database, line);
              kCheck(to, line);
              kTable().write(to.database, to.entry, line);
            }
          },
          [](Reading& from) {
            kTable().each(from.database, from.low, from.high,
                          [&from](EntryId entry, std::int64_t, auto line) {
                            (from.entries[entry].draft.*kLines).push_back(std::move(line));
                          });
          }};
}

// Drafts name the fault of these by its key.
struct Closing {
  FaultId fault;
  std::string note;
};
struct Attribution {
  FaultId fault;
  UnitId unit;
};

// lines_field.cpp
const LineTable<domain::FaultLine>& fault_table();  ///< of lines that open one
const LineTable<Closing>& closing_table();
const LineTable<domain::TestLine>& test_table();
const LineTable<domain::ReadingLine>& reading_table();
const LineTable<domain::ConditionLine>& condition_table();
// lines_stores.cpp
const LineTable<domain::LotDraft>& lot_table();
const LineTable<domain::OrderLine>& order_table();
const LineTable<domain::ReceiptLine>& receipt_table();
const LineTable<domain::UsageLine>& usage_table();
const LineTable<domain::QuarantineLine>& quarantine_table();
// lines_units.cpp
const LineTable<domain::FitLine>& unit_table();
const LineTable<domain::EndLine>& end_table();
const LineTable<domain::RepairLine>& repair_table();
const LineTable<domain::OpenLine>& open_table();
const LineTable<Attribution>& attribution_table();

}  // namespace shearpin::ledger
