// Orders, meters and faults.

#include <fmt/format.h>

#include <algorithm>

#include "base/quantity.hpp"
#include "ledger/checks.hpp"
#include "ledger/names.hpp"
#include "ledger/sql_live.hpp"

namespace shearpin::ledger {
namespace {

constexpr const char* kOrder =
    "SELECT o.number, o.quantity, o.entry, e.happened, " SHEARPIN_SQL_LIVE_BUT
    " FROM order_line AS o JOIN entry AS e ON e.id = o.entry WHERE o.id = ?2";
constexpr const char* kReceipts =
    "SELECT t.entry, e.happened, t.quantity, t.cancelled"
    " FROM receipt AS t CROSS JOIN entry AS e ON e.id = t.entry"
    " WHERE t.order_line = ?2 AND " SHEARPIN_SQL_LIVE_BUT " ORDER BY e.happened, t.id";
constexpr const char* kSameNumber =
    "SELECT o.entry, o.number FROM order_line AS mine"
    " JOIN order_line AS o ON o.number = mine.number AND o.id <> mine.id"
    " JOIN entry AS e ON e.id = o.entry"
    " WHERE mine.id = ?2 AND " SHEARPIN_SQL_LIVE_BUT " ORDER BY o.id";

// The readings of an entry (?4) on its day (?3), and their neighbours: those of one day are in the
// order written.
#define SHEARPIN_SQL_READINGS                                  \
  "SELECT x.value, x.replaced, x.happened, x.entry"            \
  " FROM reading AS x CROSS JOIN entry AS e ON e.id = x.entry" \
  " WHERE x.meter = ?2 AND " SHEARPIN_SQL_LIVE_BUT " AND "
#define SHEARPIN_SQL_OWN(which) "(SELECT " which "(id) FROM reading WHERE entry = ?4)"
constexpr const char* kBefore = SHEARPIN_SQL_READINGS
    "(x.happened, x.id) < (?3, " SHEARPIN_SQL_OWN("min") ")"
    " ORDER BY x.happened DESC, x.id DESC LIMIT 1";
constexpr const char* kOwn =
    SHEARPIN_SQL_READINGS "x.happened = ?3 AND x.id BETWEEN " SHEARPIN_SQL_OWN(
        "min") " AND " SHEARPIN_SQL_OWN("max") " ORDER BY x.id";
constexpr const char* kAfter = SHEARPIN_SQL_READINGS
    "(x.happened, x.id) > (?3, " SHEARPIN_SQL_OWN("max") ")"
    " ORDER BY x.happened, x.id LIMIT 1";

constexpr const char* kFault = "SELECT f.key, f.entry, e.happened, " SHEARPIN_SQL_LIVE_BUT
                               " FROM fault AS f JOIN entry AS e ON e.id = f.entry WHERE f.id = ?2";
constexpr const char* kCloses =
    "SELECT x.entry, e.happened FROM fault_close AS x CROSS JOIN entry AS e ON e.id = x.entry"
    " WHERE x.fault = ?2 AND " SHEARPIN_SQL_LIVE_BUT " ORDER BY e.happened, x.id";
constexpr const char* kFaultUsers =
    "SELECT e.id FROM entry AS e WHERE e.id IN ("
    " SELECT entry FROM fault_close WHERE fault = ?2 UNION"
    " SELECT entry FROM attribution WHERE fault = ?2 UNION"
    " SELECT entry FROM unit_end WHERE fault = ?2) AND e.id <> ?3 AND " SHEARPIN_SQL_LIVE_BUT
    " ORDER BY e.id";
constexpr const char* kSameFault =
    "SELECT f.entry FROM fault AS mine JOIN fault AS f ON f.key = mine.key AND f.id <> mine.id"
    " JOIN entry AS e ON e.id = f.entry"
    " WHERE mine.id = ?2 AND " SHEARPIN_SQL_LIVE_BUT " ORDER BY f.id";

struct Receipt {
  EntryId entry;
  Date date;
  std::int64_t quantity = 0;
  bool cancelled = false;
};

std::vector<Receipt> read_receipts(const Question& ask, OrderId order) {
  std::vector<Receipt> receipts;
  Query row = ask.database.query(kReceipts);
  row.with(ask.but, order);
  while (row.next()) {
    Receipt& receipt = receipts.emplace_back();
    receipt.entry = row.id<EntryTag>();
    receipt.date = row.date();
    receipt.quantity = row.integer();
    receipt.cancelled = row.flag();
  }
  return receipts;
}

std::vector<EntryId> others(const Question& ask, const std::vector<Receipt>& receipts) {
  std::vector<EntryId> entries;
  for (const Receipt& receipt : receipts) {
    if (receipt.entry != ask.self) entries.push_back(receipt.entry);
  }
  return entries;
}

struct Reading {
  double value = 0;
  bool replaced = false;
  Date date;
  EntryId entry;
};

void read_readings(const Question& ask, const char* sql, MeterId meter, Date day,
                   std::vector<Reading>& readings) {
  Query row = ask.database.query(sql);
  row.with(ask.but, meter, day, ask.self);
  while (row.next()) {
    Reading& reading = readings.emplace_back();
    reading.value = row.real();
    reading.replaced = row.flag();
    reading.date = row.date();
    reading.entry = row.id<EntryTag>();
  }
}

}  // namespace

void check_order(const Question& ask, OrderId order, std::vector<Conflict>& found) {
  Query row = ask.database.query(kOrder);
  row.with(ask.but, order);
  if (!row.next()) throw std::logic_error("an order that the ledger does not hold");
  const std::string number = row.text();
  const std::int64_t quantity = row.integer();
  const EntryId by = row.id<EntryTag>();
  const Date ordered = row.date();
  const bool live = row.flag();
  const std::vector<Receipt> receipts = read_receipts(ask, order);
  if (receipts.empty()) return;
  const std::string placed = entry_name(ask.database, by);
  if (!live) {
    found.push_back({fmt::format("order {} was placed by {}, which is taken back", number, placed),
                     others(ask, receipts)});
    return;
  }
  std::int64_t received = 0;
  const Receipt* cancelled = nullptr;
  for (const Receipt& receipt : receipts) {
    if (receipt.date < ordered) {
      found.push_back({fmt::format("order {} was placed on {} ({}); nothing of it came on {}",
                                   number, to_text(ordered), placed, to_text(receipt.date)),
                       others(ask, {receipt})});
    }
    if (cancelled != nullptr) {
      found.push_back(
          {fmt::format("order {} is cancelled since {} ({})", number, to_text(cancelled->date),
                       entry_name(ask.database, cancelled->entry)),
           others(ask, {*cancelled, receipt})});
      return;
    }
    if (received + receipt.quantity > quantity) {
      found.push_back({fmt::format("order {} has {} of {} pieces still to come, not {}", number,
                                   quantity - received, quantity, receipt.quantity),
                       others(ask, receipts)});
      return;
    }
    received += receipt.quantity;
    if (receipt.cancelled) cancelled = &receipt;
  }
}

void check_order_number(const Question& ask, OrderId order, std::vector<Conflict>& found) {
  Query row = ask.database.query(kSameNumber);
  row.with(ask.but, order);
  while (row.next()) {
    const EntryId other = row.id<EntryTag>();
    found.push_back({fmt::format("the order number {} is taken by {}; give another", row.text(),
                                 entry_name(ask.database, other)),
                     {other}});
  }
}

void check_meter(const Question& ask, MeterId meter, Date day, std::vector<Conflict>& found) {
  std::vector<Reading> readings;
  read_readings(ask, kBefore, meter, day, readings);
  read_readings(ask, kOwn, meter, day, readings);
  read_readings(ask, kAfter, meter, day, readings);
  for (std::size_t i = 1; i < readings.size(); ++i) {
    const Reading& before = readings[i - 1];
    const Reading& after = readings[i];
    if (after.replaced || after.value >= before.value) continue;
    const EntryId other = after.entry == ask.self ? before.entry : after.entry;
    found.push_back(
        {fmt::format("meter {} would run backwards: {} on {} ({}), then {} on {} ({}). Take the "
                     "wrong reading back with `undo`, or say that the meter was replaced.",
                     key_of(ask.database, meter), plain_number(before.value), to_text(before.date),
                     before.entry == ask.self ? "this" : entry_name(ask.database, before.entry),
                     plain_number(after.value), to_text(after.date),
                     after.entry == ask.self ? "this" : entry_name(ask.database, after.entry)),
         {other}});
  }
}

void check_fault(const Question& ask, FaultId fault, std::vector<Conflict>& found) {
  Query row = ask.database.query(kFault);
  row.with(ask.but, fault);
  if (!row.next()) throw std::logic_error("a fault that the ledger does not hold");
  const std::string key = row.text();
  const EntryId by = row.id<EntryTag>();
  const Date opened = row.date();
  if (!row.flag()) {
    std::vector<EntryId> users;
    Query user = ask.database.query(kFaultUsers);
    user.with(ask.but, fault, by);
    while (user.next()) users.push_back(user.id<EntryTag>());
    if (users.empty()) return;
    found.push_back({fmt::format("fault {} was opened by {}, which is taken back", key,
                                 entry_name(ask.database, by)),
                     users});
    return;
  }
  Query close = ask.database.query(kCloses);
  close.with(ask.but, fault);
  std::vector<EntryId> closes;
  while (close.next()) {
    closes.push_back(close.id<EntryTag>());
    const Date closed = close.date();
    if (closed < opened) {
      found.push_back({fmt::format("fault {} was opened on {} ({}); it cannot be closed on {}", key,
                                   to_text(opened), entry_name(ask.database, by), to_text(closed)),
                       {closes.back()}});
    }
  }
  if (closes.size() > 1) {
    std::erase(closes, ask.self);
    found.push_back(
        {fmt::format("fault {} is closed already by {}", key, entry_names(ask.database, closes)),
         closes});
  }
  Query same = ask.database.query(kSameFault);
  same.with(ask.but, fault);
  while (same.next()) {
    const EntryId other = same.id<EntryTag>();
    found.push_back({fmt::format("fault {} is there already ({}); give another key", key,
                                 entry_name(ask.database, other)),
                     {other}});
  }
}

}  // namespace shearpin::ledger
