#pragma once
/// Reads the cells of one row by column name, turning what cannot be taken into refusals.

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "interchange/columns.hpp"
#include "interchange/csv_table.hpp"
#include "interchange/rows.hpp"
#include "shearpin/base/date.hpp"

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

  /// False once anything of this row was refused.
  bool sound() const { return sound_; }

  /// The filled cells; of dated kinds each is read as its column says. The kind and the day are
  /// the caller's to say.
  ImportRow cells();
  /// The cell as it stands in the file; empty: nothing.
  std::string typed(std::string_view column) const;
  /// A number that is part of a cell, with a decimal point.
  std::string decimal(std::string_view column, std::string number);
  /// A cell of a wide table.
  std::string extra(const ExtraHeading& heading);
  /// `l05/3` in the position gives its unit, the unit column being the other way to say it.
  void part_position_from_unit(ImportRow& row);

  void refuse(std::string_view column, std::string_view value, std::string_view rule);
  /// As a cell that must be filled and is not.
  void refuse_empty(std::string_view column) { refuse(column, "", "must be filled"); }

 private:
  std::string typed(std::size_t column) const;
  /// Numbers with a decimal point and their heading's unit.
  std::string text(std::size_t column);

  const Layout& layout_;
  const CsvRow& row_;
  ImportFile& out_;
  bool sound_ = true;
};

}  // namespace shearpin::interchange
