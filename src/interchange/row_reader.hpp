#pragma once
/// Reads the cells of one row by column name, turning what cannot be taken into refusals.

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "interchange/columns.hpp"
#include "interchange/csv_table.hpp"
#include "interchange/rows.hpp"
#include "shearpin/base/date.hpp"
#include "shearpin/base/error.hpp"
#include "shearpin/base/money.hpp"

namespace shearpin::interchange {

/// A heading that stands for no column of the kind: a meter of a wide readings table.
struct ExtraHeading {
  std::size_t cell = 0;
  std::string text;
};

/// Where each column of a kind stands in a file.
struct Layout {
  Kind kind = Kind::parts;
  std::vector<std::optional<std::size_t>> cell_of;  ///< by column; none: not in the file
  std::vector<std::string> unit_of;                 ///< by column: put after bare numbers
  std::vector<ExtraHeading> extras;
  std::size_t width = 0;
  bool decimal_comma = false;
  Date today;
};

/// `1.250,5 kg` -> `1250.5 kg`; text that is no number stays as it is. None: it can be read two
/// ways (148.200 in a file with decimal commas).
std::optional<std::string> with_decimal_point(std::string_view cell);

/// True for digits with separators only: a number without its unit.
bool is_bare_number(std::string_view cell);

class RowReader {
 public:
  RowReader(const Layout& layout, const CsvRow& row, ImportFile& out);

  std::size_t line() const { return row_.line; }
  /// False once anything of this row was refused.
  bool sound() const { return sound_; }

  /// The cell as text, numbers with a decimal point and their heading's unit; empty: nothing.
  std::string text(std::string_view column);
  /// A number that is part of a cell, with a decimal point.
  std::string decimal(std::string_view column, std::string number);
  /// A cell of a wide table.
  std::string extra(const ExtraHeading& heading);
  std::optional<Date> date(std::string_view column);
  /// As `date`, refused when empty.
  Date needed_date(std::string_view column);
  std::string needed(std::string_view column);
  std::optional<std::int64_t> count(std::string_view column, std::int64_t least);
  std::optional<int> unit(std::string_view column);
  std::optional<Money> money(std::string_view column);
  bool flag(std::string_view column);
  /// `parse(cell)`, its InputError made a refusal; `otherwise` when empty or refused.
  template <class Parse, class T>
  T word(std::string_view column, Parse parse, T otherwise);
  /// `l05/3` gives the position and its unit, the unit column being the other way to say it.
  std::pair<std::string, std::optional<int>> place();

  void refuse(std::string_view column, std::string_view value, std::string_view rule);

 private:
  template <class T, class Parse>
  std::optional<T> read(std::string_view column, Parse parse);

  const Layout& layout_;
  const CsvRow& row_;
  ImportFile& out_;
  bool sound_ = true;
};

template <class T, class Parse>
std::optional<T> RowReader::read(std::string_view column, Parse parse) {
  const auto cell = text(column);
  if (cell.empty()) {
    return std::nullopt;
  }
  try {
    return parse(cell);
  } catch (const InputError& error) {
    refuse(column, cell, error.what());
    return std::nullopt;
  }
}

template <class Parse, class T>
T RowReader::word(std::string_view column, Parse parse, T otherwise) {
  const auto found = read<T>(column, [&](const std::string& cell) -> T { return parse(cell); });
  return found ? *found : otherwise;
}

}  // namespace shearpin::interchange
