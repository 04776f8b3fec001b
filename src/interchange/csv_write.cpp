#include "shearpin/interchange/csv.hpp"

namespace shearpin::interchange {

std::string csv_cell(std::string_view text) {
  const bool spaced = !text.empty() && (text.front() == ' ' || text.back() == ' ');
  if (!spaced && text.find_first_of(",;\"\r\n") == std::string_view::npos) {
    return std::string(text);
  }
  std::string cell(1, '"');
  for (const char c : text) {
    cell += c;
    if (c == '"') {
      cell += '"';
    }
  }
  return cell + '"';
}

std::string write_csv(std::span<const CsvLine> rows) {
  std::string out;
  for (const auto& row : rows) {
    if (row.size() == 1 && row.front().empty()) {
      out += "\"\"";
    }
    for (std::size_t i = 0; i < row.size(); ++i) {
      if (i > 0) {
        out += ',';
      }
      out += csv_cell(row[i]);
    }
    out += '\n';
  }
  return out;
}

}  // namespace shearpin::interchange
