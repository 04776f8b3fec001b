// Lots, movements, orders and receipts.

#include <fmt/format.h>

#include <charconv>
#include <map>
#include <stdexcept>

#include "ledger/names.hpp"
#include "ledger/record.hpp"

namespace shearpin::ledger {
namespace {

constexpr const char* kInsertLot =
    "INSERT INTO lot (entry, part, batch, made, ends, state, age, cost, quarantined)"
    " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)";
constexpr const char* kInsertMovement =
    "INSERT INTO movement (entry, lot, quantity, happened, from_bin, from_position, from_outside,"
    " to_bin, to_position, to_outside, part)"
    " SELECT ?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, part FROM lot WHERE id = ?2";
constexpr const char* kInsertOrder =
    "INSERT INTO order_line (entry, number, serial, part, supplier, quantity, promised, cost,"
    " deliver_to) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)";
constexpr const char* kInsertReceipt =
    "INSERT INTO receipt (entry, order_line, quantity, cancelled) VALUES (?1, ?2, ?3, ?4)";
constexpr const char* kInsertUsage =
    "INSERT INTO usage (entry, part, position, quantity, lost) VALUES (?1, ?2, ?3, ?4, ?5)";
constexpr const char* kInsertQuarantine =
    "INSERT INTO quarantine (entry, lot, quarantined) VALUES (?1, ?2, ?3)";
constexpr const char* kLastSerial = "SELECT ifnull(max(serial), 0) FROM order_line";
constexpr const char* kKnownLot = "SELECT 1 FROM lot WHERE id = ?1";
constexpr const char* kKnownOrder = "SELECT 1 FROM order_line WHERE id = ?1";

void bind_place(Query& row, const domain::Place& place) {
  const auto* bin = std::get_if<BinId>(&place);
  const auto* position = std::get_if<PositionId>(&place);
  const auto* outside = std::get_if<domain::Outside>(&place);
  row.bind(bin ? std::optional(*bin) : std::nullopt);
  row.bind(position ? std::optional(*position) : std::nullopt);
  row.bind(outside ? std::optional(domain::to_text(*outside)) : std::nullopt);
}

void require_place(const Database& database, const domain::Place& place) {
  if (const auto* bin = std::get_if<BinId>(&place)) require(database, *bin);
  if (const auto* position = std::get_if<PositionId>(&place)) require(database, *position);
}

std::optional<LotLocation> location_of(LotId lot, const domain::Place& place) {
  if (const auto* bin = std::get_if<BinId>(&place)) return LotLocation{lot, true, bin->value};
  if (const auto* at = std::get_if<PositionId>(&place)) return LotLocation{lot, false, at->value};
  return std::nullopt;
}

bool from_outside(const domain::MovementLine& line) {
  return std::holds_alternative<domain::Outside>(line.from);
}

/// N of `o<N>`; none for other numbers.
std::optional<std::int64_t> serial_of(const std::string& number) {
  if (number.size() < 2 || number[0] != 'o') return std::nullopt;
  std::int64_t serial = 0;
  const char* last = number.data() + number.size();
  const auto [end, failure] = std::from_chars(number.data() + 1, last, serial);
  if (failure != std::errc() || end != last || serial < 0) return std::nullopt;
  return serial;
}

}  // namespace

LotId Recorder::resolve(const domain::LotRef& lot) {
  if (const auto* made = std::get_if<domain::NewLot>(&lot)) return created_.lots.at(made->index);
  const LotId known = std::get<LotId>(lot);
  Query row = database_.query(kKnownLot);
  row.with(known);
  if (!row.next()) throw InputError(fmt::format("there is no lot {} in the ledger.", known.value));
  lots_.insert(known);
  return known;
}

std::optional<LotId> Recorder::resolve(const std::optional<domain::LotRef>& lot) {
  return lot ? std::optional(resolve(*lot)) : std::nullopt;
}

void Recorder::write_lots() {
  for (const domain::LotDraft& lot : draft_.lots) {
    require(database_, lot.part);
    database_.query(kInsertLot)
        .with(entry_, lot.part, lot.batch, lot.made, lot.ends, to_text(lot.state), lot.age,
              lot.cost, lot.quarantined)
        .run();
    created_.lots.push_back(LotId{database_.last_id()});
  }
}

void Recorder::write_movements() {
  std::map<LotLocation, Planned> plan;
  for (const domain::MovementLine& line : draft_.movements) {
    if (line.quantity <= 0) throw std::logic_error("a movement of nothing");
    require_place(database_, line.from);
    require_place(database_, line.to);
    const LotId lot = resolve(line.lot);
    if (const auto from = location_of(lot, line.from)) {
      plan.try_emplace(*from, Planned{draft_.happened}).first->second.taken += line.quantity;
    }
    if (const auto to = location_of(lot, line.to)) {
      plan.try_emplace(*to, Planned{draft_.happened}).first->second.brought += line.quantity;
    }
  }
  // Asked before writing, so that the refusal can say what is there and who takes it.
  std::vector<Conflict> found;
  for (const auto& [location, planned] : plan) {
    check_location({database_, EntryId{0}, entry_}, location, planned, found);
  }
  refuse_first(found);
  // Pieces that come from outside first: the file refuses a take before its bringing.
  for (const bool outside : {true, false}) {
    for (const domain::MovementLine& line : draft_.movements) {
      if (from_outside(line) != outside) continue;
      Query row = database_.query(kInsertMovement);
      row.with(entry_, resolve(line.lot), line.quantity, draft_.happened);
      bind_place(row, line.from);
      bind_place(row, line.to);
      row.run();
    }
  }
}

void Recorder::write_orders() {
  for (const domain::OrderLine& line : draft_.orders) {
    require(database_, line.part);
    require(database_, line.supplier);
    std::string number = line.number;
    if (number.empty()) {
      Query row = database_.query(kLastSerial);
      row.next();
      number = fmt::format("o{}", row.integer() + 1);
    }
    database_.query(kInsertOrder)
        .with(entry_, number, serial_of(number), line.part, line.supplier, line.quantity,
              line.promised, line.cost, line.to)
        .run();
    created_.orders.push_back(OrderId{database_.last_id()});
    created_.order_numbers.push_back(number);
    orders_.insert(created_.orders.back());
  }
}

void Recorder::write_receipts() {
  for (const domain::ReceiptLine& line : draft_.receipts) {
    Query row = database_.query(kKnownOrder);
    row.with(line.order);
    if (!row.next()) {
      throw InputError(
          fmt::format("there is no order of number {} in the ledger.", line.order.value));
    }
    database_.query(kInsertReceipt).with(entry_, line.order, line.quantity, line.cancelled).run();
    orders_.insert(line.order);
  }
}

void Recorder::write_usages() {
  for (const domain::UsageLine& line : draft_.usages) {
    if (line.part) require(database_, *line.part);
    if (line.position) require(database_, *line.position);
    database_.query(kInsertUsage)
        .with(entry_, line.part, line.position, line.quantity, line.lost)
        .run();
  }
}

void Recorder::write_quarantines() {
  for (const domain::QuarantineLine& line : draft_.quarantines) {
    const LotId lot = resolve(domain::LotRef{line.lot});
    database_.query(kInsertQuarantine).with(entry_, lot, line.quarantined).run();
  }
}

}  // namespace shearpin::ledger
