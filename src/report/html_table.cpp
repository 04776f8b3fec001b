
#include <algorithm>
#include <string>

#include "base/text.hpp"

#include "report/html.hpp"

namespace shearpin::report {
namespace {

std::size_t heading_column(const std::vector<Column>& columns) {
  const auto found = std::find_if(columns.begin(), columns.end(),
                                  [](const Column& column) { return column.flexible; });
  return found == columns.end() ? 0 : static_cast<std::size_t>(found - columns.begin());
}

Attributes styled(const std::string& style) {
  return style.empty() ? Attributes{} : Attributes{{"class", style}};
}

/// Digits stand below digits, and a single word, such as a date, keeps to its line.
Attributes cell_attributes(const Column& column, const std::string& cell) {
  if (column.align == Align::right) {
    return styled("num");
  }
  const bool word = !column.flexible && cell.find_first_of(" \n") == std::string::npos;
  return styled(word ? "word" : "");
}

Markup head(const TextTable& table) {
  Markup cells;
  for (const Column& column : table.columns()) {
    Attributes attributes = styled(column.align == Align::right ? "num" : "");
    attributes.emplace_back("scope", "col");
    cells += element("th", attributes, column.full.empty() ? column.header : column.full);
  }
  return element("thead", {}, element("tr", {}, cells)) + words("\n");
}

/// The lines of a cell, a square for a box to tick.
Markup content(const std::string& cell) {
  if (cell == kTickBox) {
    return element("span", {{"class", "box"}, {"role", "img"}, {"aria-label", "to tick"}}, "");
  }
  Markup lines;
  for (const std::string& line : split(cell, '\n')) {
    lines += lines.empty() ? words(line) : element("br") + words(line);
  }
  return lines;
}

/// A group of rows: the cells, and what goes below them over the whole width.
Markup group(const TextTable& table, const TableRow& from, std::size_t heading) {
  Markup cells;
  for (std::size_t i = 0; i < from.cells.size(); ++i) {
    const Column& column = table.columns()[i];
    cells += i == heading
                 ? element("th", {{"scope", from.below.empty() ? "row" : "rowgroup"}},
                           content(from.cells[i]))
                 : element("td", cell_attributes(column, from.cells[i]), content(from.cells[i]));
  }
  Markup rows = element("tr", {}, cells);
  if (!from.below.empty()) {
    rows += element(
        "tr", {{"class", "below"}},
        element("td", {{"colspan", std::to_string(from.cells.size())}}, join(from.below, "; ")));
  }
  return element("tbody", {}, rows) + words("\n");
}

}  // namespace

Markup html_table(const TextTable& table, std::string_view caption) {
  const std::size_t heading = heading_column(table.columns());
  Markup whole = element("caption", {}, caption) + head(table);
  for (const TableRow& row : table.rows()) {
    whole += group(table, row, heading);
  }
  // The keyboard can scroll what it can reach.
  return element("div",
                 {{"class", "scroll"},
                  {"role", "region"},
                  {"aria-label", std::string(caption)},
                  {"tabindex", "0"}},
                 element("table", {}, whole)) +
         words("\n");
}

}  // namespace shearpin::report
