#include "interchange/import.hpp"

#include <set>
#include <utility>

#include "base/text.hpp"
#include "interchange/csv_table.hpp"
#include "interchange/read_rows.hpp"

namespace shearpin::interchange {
namespace {

bool has(const Layout& layout, std::string_view column) {
  const auto& columns = columns_of(layout.kind);
  for (std::size_t i = 0; i < columns.size(); ++i) {
    if (columns[i].name == column) {
      return layout.cell_of[i].has_value();
    }
  }
  return false;
}

constexpr std::size_t kMostColumns = 1000;
constexpr std::size_t kLongestCell = 4000;  // bytes

/// False, with a refusal, for a row with a cell that is too long for anything.
bool check_cells(const CsvRow& row, const CsvRow& header, ImportFile& out) {
  for (std::size_t i = 0; i < row.cells.size(); ++i) {
    if (row.cells[i].size() > kLongestCell) {
      const auto column = i < header.cells.size() ? beginning(header.cells[i]) : std::string_view();
      out.refusals.push_back(
          {out.name, row.line, std::string(column), std::string(beginning(row.cells[i])) + "...",
           "a cell holds 4,000 bytes at most, this has " + std::to_string(row.cells[i].size())});
      return false;
    }
  }
  return true;
}

void place_heading(const CsvRow& header, std::size_t cell, Layout& layout, ImportFile& out) {
  const auto& text = header.cells[cell];
  const auto match = match_heading(text, columns_of(layout.kind));
  if (!match) {
    if (!text.empty() && !is_remark_column(layout.kind, normalised(text))) {
      layout.extras.push_back({cell, text});
    }
    return;
  }
  if (layout.cell_of[match->column]) {
    out.refusals.push_back({out.name, header.line, columns_of(layout.kind)[match->column].name,
                            text, "two headings mean the same column"});
    return;
  }
  layout.cell_of[match->column] = cell;
  layout.unit_of[match->column] = match->unit;
}

void check_headings(const CsvRow& header, Layout& layout, ImportFile& out) {
  const bool wide = layout.kind == Kind::readings && !has(layout, "value");
  if (layout.kind == Kind::readings && wide == has(layout, "meter")) {
    out.refusals.push_back({out.name, header.line, wide ? "value" : "meter", "",
                            "a long table of readings has the columns date, meter and value; a "
                            "wide one date and a column for each meter"});
  }
  const auto& columns = columns_of(layout.kind);
  for (std::size_t i = 0; i < columns.size(); ++i) {
    if (columns[i].required && !layout.cell_of[i]) {
      out.refusals.push_back(
          {out.name, header.line, columns[i].name, "",
           "a table of " + std::string(to_text(layout.kind)) + " needs this column"});
    }
  }
  if (!wide) {
    for (const auto& extra : layout.extras) {
      out.warnings.push_back("the column " + quoted(extra.text) + " is not read");
    }
    layout.extras.clear();
  }
}

Layout read_headings(const CsvTable& table, Date today, ImportFile& out) {
  const auto& header = table.rows.front();
  Layout layout;
  layout.kind = out.kind;
  layout.cell_of.resize(columns_of(out.kind).size());
  layout.unit_of.resize(columns_of(out.kind).size());
  layout.width = header.cells.size();
  layout.decimal_comma = table.separator == ';';
  layout.today = today;
  if (layout.width > kMostColumns) {
    out.refusals.push_back(
        {out.name, header.line, "", "",
         "a table has 1,000 columns at most, this has " + std::to_string(layout.width)});
    return layout;
  }
  if (!check_cells(header, header, out)) {
    return layout;
  }
  for (std::size_t cell = 0; cell < header.cells.size(); ++cell) {
    place_heading(header, cell, layout, out);
  }
  check_headings(header, layout, out);
  return layout;
}

/// FNV-1a over texts, each followed by a byte that none holds.
class Fingerprint {
 public:
  void add(std::string_view text) {
    for (const char c : text) mix(static_cast<unsigned char>(c));
    mix(0);
  }
  std::int64_t value() const { return static_cast<std::int64_t>(hash_); }

 private:
  void mix(unsigned char byte) { hash_ = (hash_ ^ byte) * 0x100000001b3u; }
  std::uint64_t hash_ = 0xcbf29ce484222325u;
};

/// Numbers the rows that a line of the file gave, from `first` on, by the words of its filled
/// cells.
void fingerprint(const Layout& layout, const CsvRow& line, std::size_t first, ImportFile& out) {
  const auto& columns = columns_of(layout.kind);
  for (std::size_t i = first; i < out.rows.size(); ++i) {
    Fingerprint print;
    print.add(to_text(layout.kind));
    for (std::size_t column = 0; column < columns.size(); ++column) {
      const auto cell = layout.cell_of[column];
      if (!cell || *cell >= line.cells.size() || line.cells[*cell].empty()) continue;
      print.add(columns[column].name);
      print.add(line.cells[*cell]);
      print.add(layout.unit_of[column]);
    }
    // A line may stand for several rows: an order and its receipt, a reading of each meter.
    print.add(std::to_string(static_cast<int>(out.rows[i].kind)));
    if (out.rows[i].kind == RowKind::reading) {
      print.add(out.rows[i].text("meter"));
      print.add(out.rows[i].text("value"));
    }
    out.rows[i].said = print.value();
  }
}

void check_ids(ImportFile& out) {
  std::set<std::string> seen;
  for (const auto& row : out.rows) {
    const auto& id = row.text("id");
    if (!id.empty() && !seen.insert(id).second) {
      out.refusals.push_back({out.name, row.line, "id", id, "another line has this id"});
    }
  }
}

}  // namespace

ImportFile read_import(std::string_view bytes, const std::string& name, Kind kind, Date today) {
  ImportFile out;
  out.name = name;
  out.kind = kind;
  auto table = read_csv(bytes, name);
  out.refusals = std::move(table.refusals);
  if (table.rows.empty()) {
    if (out.refusals.empty()) {
      out.refusals.push_back({name, 1, "", "", "empty: the first row names the columns"});
    }
    return out;
  }
  const auto refused = out.refusals.size();
  const auto layout = read_headings(table, today, out);
  if (out.refusals.size() > refused) {
    return out;  // with a wrong header every row would be refused for the same reason
  }
  for (std::size_t i = 1; i < table.rows.size(); ++i) {
    const auto first = out.rows.size();
    if (check_cells(table.rows[i], table.rows.front(), out)) {
      read_row(layout, table.rows[i], out);
      fingerprint(layout, table.rows[i], first, out);
    }
    if (out.refusals.size() >= kMostRefusals) {
      out.refusals.push_back(rest_unread(name, table.rows[i].line));
      return out;
    }
  }
  check_ids(out);
  return out;
}

}  // namespace shearpin::interchange
