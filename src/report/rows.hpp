#pragma once
/// The rows of answers. Each fact is declared once, with its key, its value and what it means;
/// JSON, the cells of CSV and the tables of docs/json.md are made from that.

#include <concepts>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "shearpin/base/date.hpp"
#include "shearpin/base/id.hpp"
#include "shearpin/base/money.hpp"

namespace shearpin::report {

struct Field;
using Row = std::vector<Field>;

/// A value as JSON text and as a cell of CSV. What is not known is null and an empty cell.
struct Value {
  Value() = default;
  Value(bool yes);  // true, false
  Value(long long number);
  Value(unsigned long long number);
  Value(std::integral auto number)
      : Value(static_cast<std::conditional_t<std::unsigned_integral<decltype(number)>,
                                             unsigned long long, long long>>(number)) {}
  Value(double number);  ///< std::logic_error unless finite: it would read as "not known"
  Value(std::string_view text);
  Value(const std::string& text) : Value(std::string_view(text)) {}
  Value(const char* text) : Value(std::string_view(text)) {}
  Value(Money amount);  ///< in the ledger's currency: 4.50 is 4.5 in JSON, 4.50 in CSV
  Value(Date date);
  template <class Tag>
  Value(Id<Tag> id) : Value(id.value) {}
  Value(const Row& object);
  Value(const std::vector<Row>& objects);
  template <class T>
  Value(const std::optional<T>& value) : Value(value ? Value(*value) : Value()) {}
  template <class T>
  Value(const std::vector<T>& values) : Value(list({values.begin(), values.end()})) {}

  std::string json = "null", cell;
  /// Of an object or a list of them: a row to read keys and meanings off.
  std::function<Row()> form;

 private:
  static Value list(const std::vector<Value>& values);
};

/// One fact of a row. Without a meaning it shares that of the next field that has one.
struct Field {
  std::string_view key;
  Value value = {};
  std::string_view meaning = {};
};

/// The fields of both.
Row joined(Row row, const Row& more);

/// null for an empty text.
Value or_null(std::string_view text);

/// A row of its own inside another; null for none.
template <class Line>
Value one(const Line& line, Row (*row)(const Line&), bool there = true) {
  Value value = there ? Value(row(line)) : Value();
  value.form = [row] { return row(Line{}); };
  return value;
}
template <class Line>
Value one(const std::optional<Line>& line, Row (*row)(const Line&)) {
  return line ? one(*line, row) : one(Line{}, row, false);
}

/// A list of rows.
template <class Line>
std::vector<Row> rows_of(const std::vector<Line>& lines, Row (*row)(const Line&)) {
  std::vector<Row> rows;
  for (const Line& line : lines) {
    rows.push_back(row(line));
  }
  return rows;
}
template <class Line>
Value each(const std::vector<Line>& lines, Row (*row)(const Line&)) {
  Value value(rows_of(lines, row));
  value.form = [row] { return row(Line{}); };
  return value;
}

/// An answer: `row` after its form ("schema") and, where it has one, the day it is about. On one
/// line, ending with a line feed; bytes that are not UTF-8 become U+FFFD.
std::string json_text(std::optional<Date> as_of, const Row& row);

/// The cell of a field; std::logic_error where the row has no such key.
const std::string& cell_of(const Row& row, std::string_view key);

/// CSV with `columns`, which are keys parted by commas, as its head. std::logic_error where a row
/// lacks one of them.
std::string csv_table(std::string_view columns, const std::vector<Row>& rows);

template <class Line>
std::string csv_table(std::string_view columns, const std::vector<Line>& lines,
                      Row (*row)(const Line&)) {
  return csv_table(columns, rows_of(lines, row));
}

}  // namespace shearpin::report
