// Lines about stores: lots, movements, orders, receipts, pieces used, quarantine.

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <stdexcept>

#include "ledger/tables.hpp"

namespace shearpin::ledger {
namespace {

constexpr const char* kLastSerial = "SELECT ifnull(max(serial), 0) FROM order_line";

// Pieces move in double entry: each end is a bin, a position or a place outside.
constexpr Derived kPartOfLot = {"part", "INTEGER NOT NULL REFERENCES part (id)",
                                "(SELECT part FROM lot WHERE id = ?2)",
                                "is of another part than its lot"};
constexpr const char* kOneOfEachEnd =
    "CHECK ((from_bin IS NOT NULL) + (from_position IS NOT NULL) + (from_outside IS NOT NULL) = 1),"
    "\n  CHECK ((to_bin IS NOT NULL) + (to_position IS NOT NULL) + (to_outside IS NOT NULL) = 1),"
    "\n  CHECK (NOT (from_bin IS to_bin AND from_position IS to_position"
    " AND from_outside IS to_outside))";
// N of a number o<N>; none for other numbers.
constexpr Derived kSerial = {
    "serial", "INTEGER",
    "iif(?2 GLOB 'o[0-9]*' AND NOT substr(?2, 2) GLOB '*[^0-9]*' AND length(?2) < 20,"
    " CAST(substr(?2, 2) AS INTEGER), NULL)",
    "has another serial than its number"};

/// An end of a movement, where it is an `End`.
template <auto kPlace, class End>
constexpr Column<domain::MovementLine> end_column(const char* name) {
  using T = domain::MovementLine;
  return {name,
          "",
          declared<std::optional<End>>,
          [] { return table_of(End{}); },
          [](const T& line) {
            const auto* end = std::get_if<End>(&(line.*kPlace));
            return end == nullptr ? Cell{} : cell_of(*end);
          },
          [](Query& row, T& line) {
            std::optional<End> end;
            read(row, end);
            if (end) line.*kPlace = *end;
          },
          [] { return Cell{}; }};
}

const LineTable<domain::MovementLine>& movement_table() {
  using T = domain::MovementLine;
  static const LineTable<T> table(
      {"movement", {kPartOfLot, kHappened}, {"(lot, happened)", "(part, happened)"}, kOneOfEachEnd},
      {column<T, &T::lot>("lot"), column<T, &T::quantity>("quantity", "> 0"),
       end_column<&T::from, BinId>("from_bin"), end_column<&T::from, PositionId>("from_position"),
       end_column<&T::from, domain::Outside>("from_outside"), end_column<&T::to, BinId>("to_bin"),
       end_column<&T::to, PositionId>("to_position"),
       end_column<&T::to, domain::Outside>("to_outside")});
  return table;
}

void write_lots(Recording& to) {
  for (const domain::LotDraft& lot : to.draft.lots) {
    lot_table().require_references(to.database, lot);
    to.created.lots.push_back({lot_table().write(to.database, to.entry, lot)});
  }
}
void read_lots(Reading& from) {
  lot_table().each(from.database, from.low, from.high,
                   [&from](EntryId entry, std::int64_t number, domain::LotDraft lot) {
                     from.entries[entry].draft.lots.push_back(std::move(lot));
                     from.entries[entry].made.lots.push_back({number});
                   });
}

void write_movements(Recording& to) {
  // Before the pieces move: what a unit takes with it when it ends twice is not there to be moved.
  std::vector<Conflict> found;
  check_places(to.ask(), touched_by(to.database, to.draft, to.created), found);
  refuse_first(found);
  std::map<LotLocation, Planned> plan;
  const auto planned = [&](const LotLocation& location) -> Planned& {
    return plan.try_emplace(location, Planned{to.draft.happened}).first->second;
  };
  std::vector<domain::MovementLine> lines = to.draft.movements;
  for (domain::MovementLine& line : lines) {
    if (line.quantity <= 0) throw std::logic_error("a movement of nothing");
    line.lot = resolve_known(to, line.lot);
    movement_table().require_references(to.database, line);
    const LotId lot = std::get<LotId>(line.lot);
    if (const auto from = location_of(lot, line.from)) planned(*from).taken += line.quantity;
    if (const auto end = location_of(lot, line.to)) planned(*end).brought += line.quantity;
  }
  // Asked before writing, so that the refusal can say what is there and who takes it.
  for (const auto& [location, sums] : plan) check_location(to.ask(), location, sums, found);
  refuse_first(found);
  // Pieces that come from outside first: the file refuses a take before its bringing.
  std::stable_partition(lines.begin(), lines.end(), [](const domain::MovementLine& line) {
    return std::holds_alternative<domain::Outside>(line.from);
  });
  for (const domain::MovementLine& line : lines) {
    movement_table().write(to.database, to.entry, line);
  }
}
void read_movements(Reading& from) {
  movement_table().each(from.database, from.low, from.high,
                        [&from](EntryId entry, std::int64_t, domain::MovementLine line) {
                          EntryLines& lines = from.entries[entry];
                          line.lot = as_drafted(lines, line.lot);
                          lines.draft.movements.push_back(line);
                        });
}

void write_orders(Recording& to) {
  for (domain::OrderLine line : to.draft.orders) {
    order_table().require_references(to.database, line);
    if (line.number.empty()) {
      Query row = to.database.query(kLastSerial);
      row.next();
      line.number = fmt::format("o{}", row.integer() + 1);
    }
    const OrderId order{order_table().write(to.database, to.entry, line)};
    to.created.orders.push_back(order);
    to.created.order_numbers.push_back(line.number);
  }
}
void read_orders(Reading& from) {
  order_table().each(from.database, from.low, from.high,
                     [&from](EntryId entry, std::int64_t number, domain::OrderLine line) {
                       EntryLines& lines = from.entries[entry];
                       lines.made.orders.push_back({number});
                       lines.made.order_numbers.push_back(line.number);
                       lines.draft.orders.push_back(std::move(line));
                     });
}

void check_receipt(const Recording& to, const domain::ReceiptLine& line) {
  if (order_table().find(to.database, line.order.value)) return;
  throw InputError(fmt::format("there is no order of number {} in the ledger.", line.order.value));
}

void check_quarantine(const Recording& to, const domain::QuarantineLine& line) {
  resolve_known(to, line.lot);
}

}  // namespace

const LineTable<domain::ReceiptLine>& receipt_table() {
  using T = domain::ReceiptLine;
  static const LineTable<T> table(
      {"receipt", {}, {"(order_line)"}, "CHECK (quantity > 0 OR cancelled = 1)"},
      {column<T, &T::order>("order_line"), column<T, &T::quantity>("quantity", ">= 0"),
       column<T, &T::cancelled>("cancelled")});
  return table;
}

const LineTable<domain::UsageLine>& usage_table() {
  using T = domain::UsageLine;
  static const LineTable<T> table(
      {"usage",
       {},
       {"(part)", "(position)"},
       "CHECK (part IS NOT NULL OR (lost = 1 AND position IS NOT NULL))"},
      {column<T, &T::part>("part"), column<T, &T::position>("position"),
       column<T, &T::quantity>("quantity", "> 0"), column<T, &T::lost>("lost")});
  return table;
}

const LineTable<domain::QuarantineLine>& quarantine_table() {
  using T = domain::QuarantineLine;
  static const LineTable<T> table(
      {"quarantine", {}, {"(lot)"}},
      {column<T, &T::lot>("lot"), column<T, &T::quarantined>("quarantined")});
  return table;
}

const LineTable<domain::LotDraft>& lot_table() {
  using T = domain::LotDraft;
  static const LineTable<T> table(
      {"lot", {}, {"(part)"}},
      {column<T, &T::part>("part"), column<T, &T::batch>("batch"), column<T, &T::made>("made"),
       column<T, &T::ends>("ends"), column<T, &T::state>("state"),
       column<T, &T::age>("age", ">= 0"), column<T, &T::cost>("cost"),
       column<T, &T::quarantined>("quarantined")});
  return table;
}

const LineTable<domain::OrderLine>& order_table() {
  using T = domain::OrderLine;
  static const LineTable<T> table(
      {"order_line", {kSerial}, {"(part)", "(number)", "(serial)"}},
      {column<T, &T::number>("number", "<> ''"), column<T, &T::part>("part"),
       column<T, &T::supplier>("supplier"), column<T, &T::quantity>("quantity", "> 0"),
       column<T, &T::promised>("promised"), column<T, &T::cost>("cost"),
       column<T, &T::to>("deliver_to")});
  return table;
}

LotId resolve(const Created& made, const domain::LotRef& lot) {
  const auto* own = std::get_if<domain::NewLot>(&lot);
  return own == nullptr ? std::get<LotId>(lot) : made.lots.at(own->index);
}

LotId resolve_known(const Recording& to, const domain::LotRef& lot) {
  const LotId known = resolve(to.created, lot);
  if (lot_table().find(to.database, known.value)) return known;
  throw InputError(fmt::format("there is no lot {} in the ledger.", known.value));
}

domain::LotRef as_drafted(const EntryLines& lines, const domain::LotRef& lot) {
  const std::vector<LotId>& made = lines.made.lots;
  const auto own = std::find(made.begin(), made.end(), std::get<LotId>(lot));
  if (own == made.end()) return lot;
  return domain::NewLot{static_cast<std::size_t>(own - made.begin())};
}

std::vector<LineKind> lot_kinds() { return {{{&lot_table()}, write_lots, read_lots}}; }

std::vector<LineKind> store_kinds() {
  return {{{&movement_table()}, write_movements, read_movements},
          plain_kind<usage_table, &domain::EntryDraft::usages, unchecked<domain::UsageLine>>(),
          plain_kind<quarantine_table, &domain::EntryDraft::quarantines, check_quarantine>(),
          {{&order_table()}, write_orders, read_orders},
          plain_kind<receipt_table, &domain::EntryDraft::receipts, check_receipt>()};
}

}  // namespace shearpin::ledger
