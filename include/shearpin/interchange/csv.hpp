#pragma once
/// CSV text (RFC 4180) as the listings and `export` write it.

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace shearpin::interchange {

/// One row to write, a cell each.
using CsvLine = std::vector<std::string>;

/// A cell, quoted where RFC 4180 needs it (comma, quote, line break) and where a reader that trims
/// or splits otherwise would change it (a space at either end, a semicolon).
std::string csv_cell(std::string_view text);

/// Rows joined by commas, each ended by a line feed; the first is the header. A row of one empty
/// cell is written `""`, so that it is not a blank line.
std::string write_csv(std::span<const CsvLine> rows);

}  // namespace shearpin::interchange
