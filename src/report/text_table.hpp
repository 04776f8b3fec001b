#pragma once
/// Plain-text tables and paragraphs for a terminal or a printed page: no colour, no line drawing.

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace shearpin::report {

/// `text` broken at spaces into lines of at most `width` columns (at least 2), runs of spaces made
/// one. A line break in the text stays one; a word that is too long is broken rather than left to
/// overflow. A control character is shown as `?`. At least one line, which may be empty.
std::vector<std::string> wrap_lines(std::string_view text, std::size_t width);

/// The same as one text, each line after `indent` spaces (which count towards `width`) and ending
/// with a line break. An empty line gets no indent.
std::string wrap_text(std::string_view text, std::size_t width = 80, std::size_t indent = 0);

enum class Align { left, right };

struct Column {
  std::string header;  ///< where all headers are empty, the table has no head
  Align align = Align::left;
  bool flexible = false;  ///< gives way first, by wrapping at words, when the table is too wide
  std::string full = {};  ///< the header where there is room for more words; empty: the same
  bool one_line = false;  ///< text is cut, with three points, rather than wrapped
};

/// Columns by their headings: numbers stand right, a wide column may wrap.
Column left(std::string header, std::string full = {});
Column right(std::string header, std::string full = {});
Column wide(std::string header, std::string full = {});

/// A cell under the column that it stands in.
struct Cell {
  Column column;
  std::string text;
};

/// One row: a cell a column, and phrases that belong to it but to no column.
struct TableRow {
  std::vector<std::string> cells;
  std::vector<std::string> below;  ///< empty phrases are left out
};

/// A cell that stands for a box to tick.
inline constexpr std::string_view kTickBox = "[ ]";

/// A table in pieces that may be parted between pages: nothing inside a piece should be.
struct TableBlocks {
  std::string head;               ///< headers and rule; empty without headers
  std::vector<std::string> rows;  ///< one or more lines each
};

/// Rows of text under headers, two spaces between columns, widths measured by display_width.
class TextTable {
 public:
  TextTable() = default;
  explicit TextTable(std::vector<Column> columns);

  /// One cell a column; std::logic_error for another number of cells. The phrases of `below` go
  /// under the row over the whole width, parted by semicolons.
  void add_row(std::vector<std::string> cells, std::vector<std::string> below = {});

  /// The same, the first row naming the columns of all.
  void add(const std::vector<Cell>& cells, std::vector<std::string> below = {});

  bool empty() const { return rows_.empty(); }
  const std::vector<Column>& columns() const { return columns_; }
  const std::vector<TableRow>& rows() const { return rows_; }

  /// Head, a rule, the rows. Columns are as wide as their longest text; beyond `width` the flexible
  /// ones wrap, then the widest of the others. Nothing but a `one_line` column is cut off and no
  /// line exceeds `width`, which is taken as at least four for each column and its gap. Every line
  /// begins with `indent` spaces, has no trailing space and ends with a line break.
  std::string to_text(std::size_t width = 80, std::size_t indent = 0) const;

  /// The same lines, kept apart row by row.
  TableBlocks to_blocks(std::size_t width = 80, std::size_t indent = 0) const;

 private:
  std::vector<std::size_t> column_widths(std::size_t width) const;
  std::vector<TableRow> rows_;
  std::vector<Column> columns_;
};

}  // namespace shearpin::report
