#include "interchange/read_rows.hpp"

#include <stdexcept>
#include <tuple>
#include <utility>

#include "base/quantity.hpp"
#include "base/text.hpp"

namespace shearpin::interchange {
namespace {

constexpr std::string_view kEarlyEnd = "ends before it begins";

void read_master(RowReader& row, const Layout& layout, ImportFile& out) {
  MasterRow master;
  for (const auto& column : columns_of(layout.kind)) {
    auto cell = column.required ? row.needed(column.name) : row.text(column.name);
    if (!cell.empty()) {
      master.fields.emplace_back(column.name, std::move(cell));
    }
  }
  if (row.sound()) {
    out.rows.push_back({row.line(), std::move(master)});
  }
}

FittedRow read_fitted(RowReader& row) {
  FittedRow fitted;
  fitted.date = row.needed_date("date");
  std::tie(fitted.position, fitted.unit) = row.place();
  if (fitted.position.empty()) {
    row.refuse("position", "", "must be filled");
  }
  fitted.part = row.text("part");
  fitted.no_part = row.text("no_part");
  if (fitted.part.empty() == fitted.no_part.empty()) {
    row.refuse("part", fitted.part, "give a part, or in no_part the words for what has no number");
  }
  fitted.age = row.text("age");
  fitted.made = row.date("made");
  fitted.ends = row.date("ends");
  fitted.note = row.text("note");
  return fitted;
}

StockRow read_stock(RowReader& row) {
  StockRow stock;
  stock.date = row.needed_date("date");
  stock.part = row.needed("part");
  stock.bin = row.text("bin");
  row.needed("quantity");
  stock.quantity = row.count("quantity", 1).value_or(1);
  stock.batch = row.text("batch");
  stock.made = row.date("made");
  stock.ends = row.date("ends");
  stock.state = row.word("state", domain::parse_lot_state, domain::LotState::fresh);
  stock.age = row.text("age");
  stock.cost = row.money("cost");
  stock.quarantined = row.flag("quarantined");
  stock.note = row.text("note");
  return stock;
}

ReadingRow read_long_reading(RowReader& row) {
  ReadingRow reading;
  reading.date = row.needed_date("date");
  reading.meter = row.text("meter");
  reading.value = row.text("value");
  reading.undoes = row.text("undoes");
  if (reading.undoes.empty() && (reading.meter.empty() || reading.value.empty())) {
    row.refuse(reading.meter.empty() ? "meter" : "value", "", "must be filled");
  }
  if (!reading.undoes.empty() && !reading.value.empty()) {
    row.refuse("value", reading.value, "a line that undoes another has no value of its own");
  }
  reading.replaced = row.flag("replaced");
  reading.recorded = row.date("recorded");
  reading.id = row.text("id");
  reading.note = row.text("note");
  return reading;
}

void read_wide_readings(RowReader& row, const Layout& layout, ImportFile& out) {
  const auto day = row.needed_date("date");
  const auto note = row.text("note");
  for (const auto& heading : layout.extras) {
    auto value = row.extra(heading);
    if (!value.empty() && row.sound()) {
      out.rows.push_back(
          {row.line(), ReadingRow{day, heading.text, std::move(value), false, {}, "", "", note}});
    }
  }
}

ConditionRow read_condition(RowReader& row) {
  ConditionRow condition;
  condition.condition = row.needed("condition");
  condition.rig = row.text("rig");
  condition.from = row.needed_date("from");
  condition.to = row.date("to");
  if (condition.to && *condition.to < condition.from) {
    row.refuse("to", row.text("to"), kEarlyEnd);
  }
  condition.note = row.text("note");
  return condition;
}

OrderRow read_order(RowReader& row) {
  OrderRow order;
  order.number = row.needed("number");
  order.date = row.needed_date("ordered");
  order.part = row.needed("part");
  order.supplier = row.text("supplier");
  row.needed("quantity");
  order.quantity = row.count("quantity", 1).value_or(1);
  order.cost = row.money("cost");
  order.promised = row.date("promised");
  order.to = row.text("to");
  order.note = row.text("note");
  return order;
}

ReceiptRow read_receipt(RowReader& row, Date received) {
  ReceiptRow receipt;
  receipt.date = received;
  receipt.number = row.needed("number");
  receipt.part = row.needed("part");
  receipt.bin = row.text("bin");
  receipt.quantity = row.count("quantity", 1).value_or(1);
  receipt.cost = row.money("cost");
  receipt.batch = row.text("batch");
  receipt.made = row.date("made");
  receipt.ends = row.date("ends");
  receipt.state = row.word("state", domain::parse_lot_state, domain::LotState::fresh);
  receipt.age = row.text("age");
  receipt.note = row.text("note");
  return receipt;
}

/// A line without a day of ordering is a further part of an order named before.
void read_order_line(RowReader& row, ImportFile& out) {
  const bool ordered = !row.text("ordered").empty();
  const bool received = !row.text("received").empty();
  if (!ordered && !received) {
    row.refuse("ordered", "", "give the day of ordering, of receipt, or both");
    return;
  }
  OrderRow order = ordered ? read_order(row) : OrderRow{};
  const auto day = row.date("received");
  if (ordered && day && *day < order.date) {
    row.refuse("received", row.text("received"), "came before it was ordered");
  }
  ReceiptRow receipt = day ? read_receipt(row, *day) : ReceiptRow{};
  if (!row.sound()) {
    return;
  }
  if (ordered) {
    out.rows.push_back({row.line(), std::move(order)});
  }
  if (received) {
    out.rows.push_back({row.line(), std::move(receipt)});
  }
}

CountRow read_count(RowReader& row) {
  CountRow count;
  count.date = row.needed_date("date");
  count.part = row.needed("part");
  count.bin = row.text("bin");
  row.needed("counted");
  count.counted = row.count("counted", 0).value_or(0);
  count.why = row.text("why");
  return count;
}

std::vector<std::string> listed(std::string_view text) {
  std::vector<std::string> words;
  for (const auto& piece : split(text, ';')) {
    if (!trimmed(piece).empty()) {
      words.emplace_back(trimmed(piece));
    }
  }
  return words;
}

std::vector<std::pair<std::string, std::string>> read_use(RowReader& row) {
  std::vector<std::pair<std::string, std::string>> use;
  for (const auto& piece : listed(row.text("use"))) {
    const auto equals = piece.find('=');
    if (equals == std::string::npos || equals == 0 || equals + 1 == piece.size()) {
      row.refuse("use", piece, "write METER=AMOUNT, parted by semicolons: truck-km=620;nights=3");
      continue;
    }
    use.emplace_back(trimmed(std::string_view(piece).substr(0, equals)),
                     row.decimal("use", std::string(trimmed(piece.substr(equals + 1)))));
  }
  return use;
}

TripRow read_trip(RowReader& row) {
  TripRow trip;
  trip.trip = row.needed("trip");
  trip.name = row.text("name");
  row.needed("leg");
  trip.leg = static_cast<int>(row.count("leg", 1).value_or(1));
  trip.from = row.needed_date("from");
  trip.to = row.needed_date("to");
  if (row.sound() && trip.to < trip.from) {
    row.refuse("to", row.text("to"), kEarlyEnd);
  }
  trip.route = row.text("route");
  trip.use = read_use(row);
  trip.conditions = listed(row.text("conditions"));
  trip.signal = row.text("signal").empty() || row.flag("signal");
  if (const auto stop = row.text("stop"); !stop.empty()) {
    trip.stop =
        TripStop{row.date("stop_date").value_or(trip.to), stop, listed(row.text("sold")),
                 row.flag("parcels"), static_cast<int>(row.count("extra_days", 0).value_or(0))};
  }
  return trip;
}

}  // namespace

void read_row(const Layout& layout, const CsvRow& cells, ImportFile& out) {
  RowReader row(layout, cells, out);
  const auto keep = [&](auto value) {
    if (row.sound()) {
      out.rows.push_back({row.line(), std::move(value)});
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
      return read_master(row, layout, out);
    case Kind::fitted:
      return keep(read_fitted(row));
    case Kind::stock:
      return keep(read_stock(row));
    case Kind::readings:
      return layout.extras.empty() ? keep(read_long_reading(row))
                                   : read_wide_readings(row, layout, out);
    case Kind::conditions:
      return keep(read_condition(row));
    case Kind::orders:
      return read_order_line(row, out);
    case Kind::history:
      return keep(read_history(row));
    case Kind::counts:
      return keep(read_count(row));
    case Kind::trips:
      return keep(read_trip(row));
  }
  throw std::logic_error("kind of import file");
}

}  // namespace shearpin::interchange
