#pragma once
/// CSV text (RFC 4180) as the listings and `export` write it.

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace shearpin::interchange {

/// One row to write, a cell each.
using CsvLine = std::vector<std::string>;

/// Rows as csv_line; the first is the header.
std::string write_csv(std::span<const CsvLine> rows);

}  // namespace shearpin::interchange
