#pragma once
/// CSV bytes into cells with the line each row begins at.

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "interchange/rows.hpp"

namespace shearpin::interchange {

struct CsvRow {
  std::size_t line = 0;  ///< physical line where the row begins, from 1
  std::vector<std::string> cells;
};

struct CsvTable {
  char separator = ',';
  std::vector<CsvRow> rows;  ///< the first is the header; blank rows (also `,,,`) are left out
  std::vector<Refusal> refusals;
};

/// A file with so many refusals is not read on.
constexpr std::size_t kMostRefusals = 1000;
/// Says so.
Refusal rest_unread(const std::string& file, std::size_t line);

/// So much of a text as a refusal can show.
std::string_view beginning(std::string_view text);

/// Survives a byte-order mark, CRLF, CR, quoted separators and line breaks. The separator is the
/// semicolon when the first line has more of them, outside quotes, than commas. Refused with their
/// line: NUL bytes, what is not UTF-8, a quote inside a bare field, a quote never closed, a row of
/// more than 1 MB. A line with a quote out of place is left out and reading goes on; after the
/// others nothing is read.
CsvTable read_csv(std::string_view bytes, const std::string& file);

}  // namespace shearpin::interchange
