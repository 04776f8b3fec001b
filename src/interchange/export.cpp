#include "interchange/export.hpp"

#include <map>
#include <stdexcept>
#include <utility>

#include "base/quantity.hpp"
#include "domain/fields.hpp"
#include "interchange/columns.hpp"
#include "interchange/master_lists.hpp"

namespace shearpin::interchange {
namespace {

using domain::Catalogue;
using domain::Snapshot;
using shearpin::to_text;  // beside the ones of kinds

/// A row by column names, so that its cells cannot slip against the header.
using Cells = std::map<std::string, std::string>;

class Table {
 public:
  explicit Table(Kind kind) {
    for (const auto& column : columns_of(kind)) {
      header_.push_back(column.name);
    }
    lines_.push_back(header_);
  }
  void add(const Cells& cells) {
    CsvLine line;
    for (const auto& name : header_) {
      const auto found = cells.find(name);
      line.push_back(found == cells.end() ? std::string() : found->second);
    }
    lines_.push_back(std::move(line));
  }
  std::vector<CsvLine> take() { return std::move(lines_); }

 private:
  CsvLine header_;
  std::vector<CsvLine> lines_;
};

std::string day(const std::optional<Date>& date) { return date ? to_text(*date) : std::string(); }
std::string money_text(const std::optional<Money>& amount) {
  return amount ? to_text(*amount) : std::string();
}
std::string yes_no(bool value) { return value ? "yes" : "no"; }

template <class T>
std::vector<CsvLine> master_table(Kind kind, const std::vector<T>& things, const Catalogue& all) {
  Table table(kind);
  for (const auto& thing : things) {
    Cells cells;
    if constexpr (!std::is_same_v<T, domain::Substitute>) {
      cells["key"] = thing.key;
    }
    for (const auto& field : domain::fields<T>()) {
      cells[normalised(field.name)] = field.get(thing, all);
    }
    table.add(cells);
  }
  return table.take();
}

std::vector<CsvLine> fitted_table(const Snapshot& now) {
  Table table(Kind::fitted);
  for (const auto& life : now.lives) {
    if (life.end) {
      continue;
    }
    Cells cells{{"date", to_text(life.fitted)},
                {"position", now.catalogue->at(life.position).key},
                {"unit", std::to_string(life.unit)},
                {"no_part", life.no_part},
                {"ends", day(life.marked_end)}};
    if (life.part) {
      cells["part"] = now.catalogue->at(*life.part).key;
      cells["no_part"].clear();
    }
    if (life.age_unknown) {
      cells["age"] = "unknown";
    } else if (life.age_at_fit && *life.age_at_fit > 0) {
      cells["age"] = plain_number(*life.age_at_fit);
    }
    table.add(cells);
  }
  return table.take();
}

std::vector<CsvLine> stock_table(const Snapshot& now) {
  Table table(Kind::stock);
  for (const auto& line : now.stock) {
    table.add({{"date", to_text(line.received)},
               {"part", now.catalogue->at(line.part).key},
               {"bin", now.catalogue->at(line.bin).key},
               {"quantity", std::to_string(line.quantity)},
               {"batch", line.batch},
               {"made", day(line.made)},
               {"ends", day(line.ends)},
               {"state", std::string(domain::to_text(line.state))},
               {"age", line.age ? plain_number(*line.age) : std::string()},
               {"cost", money_text(line.cost)},
               {"quarantined", yes_no(line.quarantined)}});
  }
  return table.take();
}

std::vector<CsvLine> readings_table(const Snapshot& now) {
  Table table(Kind::readings);
  for (const auto& reading : now.readings) {
    const auto& meter = now.catalogue->at(reading.meter);
    // Miles are kept as kilometres; the unit is written so that nothing is converted twice.
    const auto value = plain_number(reading.value) + (meter.unit == "mi" ? " km" : "");
    table.add({{"date", to_text(reading.date)},
               {"meter", meter.key},
               {"value", value},
               {"replaced", yes_no(reading.replaced)}});
  }
  return table.take();
}

std::vector<CsvLine> conditions_table(const Snapshot& now) {
  Table table(Kind::conditions);
  for (const auto& period : now.conditions) {
    table.add({{"condition", period.condition},
               {"rig", period.rig ? now.catalogue->at(*period.rig).key : std::string()},
               {"from", to_text(period.from)},
               {"to", day(period.to)}});
  }
  return table.take();
}

std::vector<CsvLine> orders_table(const Snapshot& now) {
  Table table(Kind::orders);
  for (const auto& order : now.orders) {
    if (order.cancelled) {
      continue;
    }
    const auto pieces = order.completed ? order.quantity : order.quantity - order.received;
    Cells cells{{"number", order.number},
                {"ordered", to_text(order.ordered)},
                {"supplier", now.catalogue->at(order.supplier).key},
                {"part", now.catalogue->at(order.part).key},
                {"quantity", std::to_string(pieces)},
                {"cost", money_text(order.cost)},
                {"promised", day(order.promised)},
                {"to", order.to},
                {"received", day(order.completed)}};
    if (order.completed) {
      cells["bin"] = "none";
    }
    table.add(cells);
  }
  return table.take();
}

}  // namespace

bool is_exportable(Kind kind) {
  return kind != Kind::history && kind != Kind::counts && kind != Kind::trips;
}

std::vector<CsvLine> export_lines(Kind kind, const Snapshot& now) {
  if (is_master(kind)) {
    return with_master_list(
        kind, [&](auto list) { return master_table(kind, *now.catalogue.*list, *now.catalogue); });
  }
  if (kind == Kind::fitted) {
    return fitted_table(now);
  }
  if (kind == Kind::stock) {
    return stock_table(now);
  }
  if (kind == Kind::readings) {
    return readings_table(now);
  }
  if (kind == Kind::conditions) {
    return conditions_table(now);
  }
  if (kind == Kind::orders) {
    return orders_table(now);
  }
  throw std::logic_error("history, counts and trips are not exported");
}

}  // namespace shearpin::interchange
