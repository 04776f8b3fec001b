#include "domain/plan_support.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "base/refuse.hpp"
#include "base/text.hpp"
#include "domain/conditions.hpp"
#include "domain/last_good.hpp"
#include "domain/plan_fitting.hpp"

namespace shearpin::domain::planning {

void check_when(const When& when) {
  if (when.on > when.today) {
    refuse("{} lies after today, {}; only what has happened is recorded: --on {}", to_text(when.on),
           to_text(when.today), to_text(when.today));
  }
}

void note_unknown_condition(Outcome& outcome, const Catalogue& catalogue, const std::string& name) {
  if (auto note = unknown_condition(catalogue, name)) {
    outcome.notes.push_back(std::move(*note));
  }
}

void check_pieces(std::int64_t pieces, const std::string& part_key) {
  if (pieces < 1 || pieces > 1'000'000) {
    refuse("{} pieces of {}: a number of pieces is from 1 to 1000000, such as 2", pieces, part_key);
  }
}

EntryDraft start_entry(EntryKind kind, const When& when) {
  EntryDraft entry;
  entry.kind = kind;
  entry.happened = when.on;
  entry.recorded = when.recorded;
  entry.note = when.note;
  return entry;
}

void add_note(EntryDraft& entry, const std::string& text) {
  if (text.empty()) {
    return;
  }
  entry.note = entry.note.empty() ? text : text + "; " + entry.note;
}

std::string unit_name(const Position& position, int unit) {
  return position.units > 1 ? fmt::format("{}/{}", position.key, unit) : position.key;
}

std::string open_text(const Position& position, const UnitPlace& place) {
  const std::string name = unit_name(position, place.unit);
  const std::string since = place.since ? " since " + to_text(*place.since) : "";
  const std::string note = place.note.empty() ? "" : " (" + place.note + ")";
  switch (place.state) {
    case PlaceState::empty:
      return name + " is empty" + since;
    case PlaceState::fitted:
      return fmt::format("{} is fitted{}", name,
                         place.life ? " since " + to_text(place.life->fitted) : "");
    case PlaceState::dead:
      return name + " is dead" + since + note;
    case PlaceState::workaround:
      return name + " is on a workaround" + since + note;
    case PlaceState::stand_in:
      return name + " is on a stand-in" + since + note;
  }
  return name;
}

void add_movement(EntryDraft& entry, const MovementLine& line) {
  const auto same_lot = [&](const LotRef& other) {
    if (other.index() != line.lot.index()) {
      return false;
    }
    if (const auto* fresh = std::get_if<NewLot>(&other)) {
      return fresh->index == std::get<NewLot>(line.lot).index;
    }
    return std::get<LotId>(other) == std::get<LotId>(line.lot);
  };
  for (MovementLine& old : entry.movements) {
    if (same_lot(old.lot) && old.from == line.from && old.to == line.to) {
      old.quantity += line.quantity;
      return;
    }
  }
  entry.movements.push_back(line);
}

EndLine& end_unit(EntryDraft& entry, const UnitLife& life, EndKind kind, Outside where_to) {
  if (life.lot && life.part) {
    add_movement(entry, {*life.lot, 1, life.position, where_to});
  }
  EndLine line;
  line.unit = life.id;
  line.kind = kind;
  entry.ends.push_back(line);
  return entry.ends.back();
}

Date last_known_good(const Snapshot& now, const UnitLife& life, Date on) {
  std::vector<const TestResult*> tests;
  for (const TestResult& test : now.tests) {
    if (test.position == life.position) {
      tests.push_back(&test);
    }
  }
  return last_good(tests, life, on).date;
}

const StockLine* line_of(const Snapshot& now, LotId lot) {
  const auto found = std::find_if(now.stock.begin(), now.stock.end(),
                                  [&](const StockLine& line) { return line.lot == lot; });
  return found == now.stock.end() ? nullptr : &*found;
}

std::optional<Date> end_from_made(const Catalogue& catalogue, const Part& part,
                                  std::optional<Date> made) {
  const std::optional<double> shelf_days = catalogue.shelf_life_of(part);
  if (!made || !shelf_days) {
    return std::nullopt;
  }
  return *made + std::chrono::days{std::lround(*shelf_days)};
}

std::string gets_by(const Catalogue& catalogue, const Position& position) {
  if (!position.workaround.empty()) {
    return position.workaround;
  }
  const ComponentClass* kind = catalogue.class_of(position);
  return kind ? kind->workaround : std::string();
}

namespace {

/// Stock as the entries leave it; new lots get lines of their own.
std::vector<StockLine> stock_after(const Snapshot& now, const std::vector<EntryDraft>& entries) {
  std::vector<StockLine> stock = now.stock;
  const auto quarantine = [&](const QuarantineLine& line) {
    for (StockLine& held : stock) {
      held.quarantined = held.lot == line.lot ? line.quarantined : held.quarantined;
    }
  };
  for (const EntryDraft& entry : entries) {
    for (const MovementLine& move : entry.movements) {
      StockLine line;
      if (const auto* fresh = std::get_if<NewLot>(&move.lot)) {
        const LotDraft& lot = entry.lots.at(fresh->index);
        line.part = lot.part;
        line.ends = lot.ends;
        line.quarantined = lot.quarantined;
      } else if (const StockLine* known = line_of(now, std::get<LotId>(move.lot))) {
        line = *known;
      } else {
        continue;  // a fitted unit of a lot that is used up: never goes back into a bin as such
      }
      if (const auto* from = std::get_if<BinId>(&move.from)) {
        line.bin = *from;
        line.quantity = -move.quantity;
        stock.push_back(line);
      }
      if (const auto* to = std::get_if<BinId>(&move.to)) {
        line.bin = *to;
        line.quantity = move.quantity;
        stock.push_back(line);
      }
    }
    std::for_each(entry.quarantines.begin(), entry.quarantines.end(), quarantine);
  }
  return stock;
}

}  // namespace

void add_stock_line(Outcome& outcome, const Snapshot& now, const std::vector<EntryDraft>& entries,
                    PartId part, Date on) {
  const SoundStock left = sound_stock(*now.catalogue, stock_after(now, entries), part, on);
  outcome.stock_of = part;
  outcome.left_aboard = left.aboard;
  outcome.left_ashore = left.ashore;
  for (const Order& order : now.orders) {
    if (order.part == part && !order.cancelled && order.received < order.quantity &&
        order.ordered <= on && order.id != outcome.order.value_or(OrderId{})) {
      outcome.open_orders.push_back(order.id);
    }
  }
}

}  // namespace shearpin::domain::planning
