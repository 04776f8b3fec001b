#include "interchange/read_rows.hpp"

#include <optional>
#include <utility>

#include "base/text.hpp"

namespace shearpin::interchange {
namespace {

constexpr std::string_view kEarlyEnd = "ends before it begins";

/// The day in a cell that was read already.
std::optional<Date> day_in(const ImportRow& row, std::string_view column) {
  const auto* cell = row.find(column);
  return cell == nullptr ? std::nullopt : std::optional(parse_date(*cell, Date{}));
}

void check_fitted(RowReader& reader, ImportRow& row) {
  reader.part_position_from_unit(row);
  if (row.text("part").empty() == row.text("no_part").empty()) {
    reader.refuse("part", row.text("part"),
                  "give a part, or in no_part the words for what has no number");
  }
}

void check_reading(RowReader& reader, ImportRow& row) {
  const bool undoes = row.find("undoes") != nullptr;
  for (const auto* column : {"meter", "value"}) {
    if (!undoes && reader.typed(column).empty()) {
      reader.refuse_empty(column);
      return;
    }
  }
  if (undoes && row.find("value") != nullptr) {
    reader.refuse("value", row.text("value"), "a line that undoes another has no value of its own");
  }
}

void check_end(RowReader& reader, const ImportRow& row) {
  const auto from = day_in(row, "from");
  const auto to = day_in(row, "to");
  if (from && to && *to < *from) {
    reader.refuse("to", reader.typed("to"), kEarlyEnd);
  }
}

/// Columns without which a line of its kind says nothing.
void check_needs(RowReader& reader, const ImportRow& row) {
  const auto& kind = row.text("kind");
  for (const auto column : columns_needed(kind)) {
    if (reader.typed(column).empty()) {
      reader.refuse(column, "", "a line of kind " + kind + " needs it");
    }
  }
  if (kind == "loss" && row.text("position").empty() && row.text("part").empty()) {
    reader.refuse("position", "", "a line of kind loss needs a position or a part");
  }
  if (kind == "fault-close" && row.text("position").empty() && !row.text("part").empty()) {
    reader.refuse("position", "", "a line of kind fault-close that renews with a part needs it");
  }
}

void check_history(RowReader& reader, ImportRow& row) {
  if (row.find("kind") == nullptr || row.find("date") == nullptr) {
    return;
  }
  check_needs(reader, row);
  const auto recorded = day_in(row, "recorded");
  if (recorded && *recorded < *day_in(row, "date")) {
    reader.refuse("recorded", reader.typed("recorded"), "written down before it happened");
  }
  reader.part_position_from_unit(row);
}

/// `truck-km=620;nights=3`, each amount with the decimal sign of the file.
void check_use(RowReader& reader, ImportRow& row) {
  std::string use;
  for (const auto& piece : list_of(row.text("use"))) {
    const auto equals = piece.find('=');
    if (equals == std::string::npos || equals == 0 || equals + 1 == piece.size()) {
      reader.refuse("use", piece,
                    "write METER=AMOUNT, parted by semicolons: truck-km=620;nights=3");
      continue;
    }
    const auto amount = std::string(trimmed(piece.substr(equals + 1)));
    use += (use.empty() ? "" : ";") + std::string(trimmed(piece.substr(0, equals))) + '=' +
           reader.decimal("use", amount);
  }
  row.set("use", use);
}

/// A line without a day of ordering is a further part of an order named before.
void read_order_line(RowReader& reader, ImportRow row, ImportFile& out) {
  const auto ordered = day_in(row, "ordered");
  const auto received = day_in(row, "received");
  if (reader.typed("ordered").empty() && reader.typed("received").empty()) {
    reader.refuse("ordered", "", "give the day of ordering, of receipt, or both");
  }
  if (ordered && received && *received < *ordered) {
    reader.refuse("received", reader.typed("received"), "came before it was ordered");
  }
  if (!reader.sound()) {
    return;
  }
  if (ordered) {
    row.kind = RowKind::order;
    row.date = ordered;
    out.rows.push_back(row);
  }
  if (received) {
    row.kind = RowKind::receipt;
    row.date = received;
    out.rows.push_back(std::move(row));
  }
}

/// A reading for each filled cell below a meter's name.
void read_wide_readings(RowReader& reader, const Layout& layout, const ImportRow& row,
                        ImportFile& out) {
  for (const auto& heading : layout.extras) {
    auto value = reader.extra(heading);
    if (!value.empty() && reader.sound()) {
      ImportRow reading = row;
      reading.kind = RowKind::reading;
      reading.date = day_in(row, "date");
      reading.set("meter", heading.text);
      reading.set("value", std::move(value));
      out.rows.push_back(std::move(reading));
    }
  }
}

}  // namespace

void read_row(const Layout& layout, const CsvRow& cells, ImportFile& out) {
  RowReader reader(layout, cells, out);
  ImportRow row = reader.cells();
  const auto keep = [&](RowKind kind, std::string_view day) {
    if (reader.sound()) {
      row.kind = kind;
      row.date = day.empty() ? std::nullopt : day_in(row, day);
      out.rows.push_back(std::move(row));
    }
  };
  switch (layout.kind) {
    case Kind::safety_notes:
    case Kind::classes:
    case Kind::rigs:
    case Kind::meters:
    case Kind::bins:
    case Kind::suppliers:
    case Kind::parts:
    case Kind::positions:
    case Kind::substitutes:
      return keep(RowKind::master, "");
    case Kind::fitted:
      check_fitted(reader, row);
      return keep(RowKind::fitted, "date");
    case Kind::stock:
      return keep(RowKind::stock, "date");
    case Kind::readings:
      if (!layout.extras.empty()) {
        return read_wide_readings(reader, layout, row, out);
      }
      check_reading(reader, row);
      return keep(RowKind::reading, "date");
    case Kind::conditions:
      check_end(reader, row);
      return keep(RowKind::condition, "from");
    case Kind::orders:
      return read_order_line(reader, std::move(row), out);
    case Kind::history:
      check_history(reader, row);
      return keep(RowKind::history, "date");
    case Kind::counts:
      return keep(RowKind::count, "date");
    case Kind::trips:
      check_end(reader, row);
      check_use(reader, row);
      return keep(RowKind::leg, "");
  }
  throw std::logic_error("kind of import file");
}

}  // namespace shearpin::interchange
