// Stock summed from movements, orders with their receipts, pieces used and lost.

#include <algorithm>
#include <map>
#include <tuple>

#include "ledger/snapshot_parts.hpp"
#include "ledger/sql_live.hpp"

namespace shearpin::ledger {
namespace {

constexpr const char* kLots =
    "SELECT l.id, l.part, l.batch, l.made, l.ends, l.state, l.age, l.cost, e.happened,"
    " l.quarantined"
    " FROM lot AS l CROSS JOIN entry AS e ON e.id = l.entry"
    " WHERE l.part BETWEEN ?3 AND ?4 AND " SHEARPIN_SQL_LIVE " ORDER BY l.part, l.id";
// The whole table in the order it was written is sooner read than by the index of lots.
constexpr const char* kAllMovements =
    "SELECT m.lot, m.from_bin, m.to_bin, m.quantity"
    " FROM movement AS m CROSS JOIN entry AS e ON e.id = m.entry"
    " WHERE (m.from_bin IS NOT NULL OR m.to_bin IS NOT NULL) AND " SHEARPIN_SQL_LIVE
    " ORDER BY m.id";
constexpr const char* kMovements =
    "SELECT m.lot, m.from_bin, m.to_bin, m.quantity"
    " FROM lot AS l CROSS JOIN movement AS m ON m.lot = l.id"
    " CROSS JOIN entry AS e ON e.id = m.entry"
    " WHERE l.part BETWEEN ?3 AND ?4 AND (m.from_bin IS NOT NULL OR m.to_bin IS NOT NULL)"
    " AND " SHEARPIN_SQL_LIVE " ORDER BY l.part, l.id, m.id";
constexpr const char* kQuarantines =
    "SELECT q.lot, q.quarantined"
    " FROM lot AS l CROSS JOIN quarantine AS q ON q.lot = l.id"
    " CROSS JOIN entry AS e ON e.id = q.entry"
    " WHERE l.part BETWEEN ?3 AND ?4 AND " SHEARPIN_SQL_LIVE
    " ORDER BY l.part, l.id, e.happened, q.id";
// One part from what lies in bins now. The lots of what lay there on the day are few beside those
// that are used up since.
constexpr const char* kInBinsNow =
    "SELECT lot, place, quantity FROM balance"
    " WHERE part = ?1 AND kind = 'bin' AND quantity > 0 ORDER BY lot, place";
constexpr const char* kMovedLater =
    "SELECT m.lot, m.from_bin, m.to_bin, m.quantity"
    " FROM movement AS m CROSS JOIN entry AS e ON e.id = m.entry"
    " WHERE m.part = ?3 AND m.happened > ?1 AND (m.from_bin IS NOT NULL OR m.to_bin IS NOT NULL)"
    " AND +e.recorded <= ?2"
    " AND (SELECT count(*) FROM entry AS r WHERE r.root = e.id AND r.recorded <= ?2) % 2 = 0"
    " ORDER BY m.lot, m.id";
constexpr const char* kOneLot =
    "SELECT l.id, l.part, l.batch, l.made, l.ends, l.state, l.age, l.cost, e.happened,"
    " l.quarantined"
    " FROM lot AS l CROSS JOIN entry AS e ON e.id = l.entry"
    " WHERE l.id = ?3 AND " SHEARPIN_SQL_LIVE;
constexpr const char* kQuarantinesOfLot =
    "SELECT q.lot, q.quarantined FROM quarantine AS q CROSS JOIN entry AS e ON e.id = q.entry"
    " WHERE q.lot = ?3 AND " SHEARPIN_SQL_LIVE " ORDER BY e.happened, q.id";
constexpr const char* kOrders =
    "SELECT o.id, o.number, o.part, o.supplier, o.quantity, e.happened, o.promised, o.cost,"
    " o.deliver_to, o.entry"
    " FROM order_line AS o CROSS JOIN entry AS e ON e.id = o.entry"
    " WHERE o.part BETWEEN ?3 AND ?4 AND " SHEARPIN_SQL_LIVE " ORDER BY o.part, o.id";
constexpr const char* kReceipts =
    "SELECT t.order_line, e.happened, t.quantity, t.cancelled"
    " FROM order_line AS o CROSS JOIN receipt AS t ON t.order_line = o.id"
    " CROSS JOIN entry AS e ON e.id = t.entry"
    " WHERE o.part BETWEEN ?3 AND ?4 AND " SHEARPIN_SQL_LIVE
    " ORDER BY o.part, o.id, e.happened, t.id";
constexpr const char* kUsageOfParts =
    "SELECT u.id, u.part, u.position, e.happened, u.quantity, u.entry, u.lost"
    " FROM usage AS u CROSS JOIN entry AS e ON e.id = u.entry"
    " WHERE u.part BETWEEN ?3 AND ?4 AND " SHEARPIN_SQL_LIVE " ORDER BY u.part, u.id";
constexpr const char* kUsageAtPositions =
    "SELECT u.id, u.part, u.position, e.happened, u.quantity, u.entry, u.lost"
    " FROM usage AS u CROSS JOIN entry AS e ON e.id = u.entry"
    " WHERE u.position BETWEEN ?3 AND ?4 AND " SHEARPIN_SQL_LIVE " ORDER BY u.position, u.id";

/// A lot and how many of its pieces lie in which bin.
struct LotStock {
  domain::StockLine lot;
  std::vector<std::pair<std::int64_t, std::int64_t>> bins;

  void add(Query& row, std::int64_t bin, std::int64_t quantity) {
    auto found = std::find_if(bins.begin(), bins.end(),
                              [bin](const auto& entry) { return entry.first == bin; });
    if (found == bins.end()) found = bins.insert(bins.end(), {bin, 0});
    if (__builtin_add_overflow(found->second, quantity, &found->second)) {
      row.damaged("more pieces than can be counted");
    }
  }
};

domain::StockLine read_lot(Query& row) {
  domain::StockLine lot;
  lot.lot = row.id<LotTag>();
  lot.part = row.id<PartTag>();
  lot.batch = row.text();
  lot.made = row.maybe_date();
  lot.ends = row.maybe_date();
  lot.state = row.word(domain::parse_lot_state);
  lot.age = row.maybe_real();
  lot.cost = row.maybe_money();
  lot.received = row.date();
  lot.quarantined = row.flag();
  return lot;
}

std::vector<LotStock> read_lots(const Database& database, const View& view, const Range& parts) {
  std::vector<LotStock> lots;
  Query row = database.query(kLots);
  row.with(view.as_of, view.known, parts.low, parts.high);
  while (row.next()) lots.emplace_back().lot = read_lot(row);
  std::sort(lots.begin(), lots.end(),
            [](const LotStock& a, const LotStock& b) { return a.lot.lot < b.lot.lot; });
  return lots;
}

LotStock* find(std::vector<LotStock>& lots, std::int64_t id) {
  const auto found = std::lower_bound(
      lots.begin(), lots.end(), id,
      [](const LotStock& lot, std::int64_t wanted) { return lot.lot.lot.value < wanted; });
  return found != lots.end() && found->lot.lot.value == id ? &*found : nullptr;
}

void read_movements(const Database& database, const View& view, const Range& parts,
                    std::vector<LotStock>& lots) {
  Query row = database.query(parts.everything() ? kAllMovements : kMovements);
  row.with(view.as_of, view.known);
  if (!parts.everything()) row.with(parts.low, parts.high);
  while (row.next()) {
    LotStock* lot = find(lots, row.integer());
    if (lot == nullptr) continue;
    const auto from = row.maybe_id<BinId>();
    const auto to = row.maybe_id<BinId>();
    const std::int64_t quantity = row.integer();
    if (quantity < 0) row.damaged("a movement of less than nothing");
    if (from) lot->add(row, from->value, -quantity);
    if (to) lot->add(row, to->value, quantity);
  }
}

void read_quarantines(const Database& database, const View& view, const Range& parts,
                      std::vector<LotStock>& lots) {
  Query row = database.query(kQuarantines);
  row.with(view.as_of, view.known, parts.low, parts.high);
  while (row.next()) {
    LotStock* lot = find(lots, row.integer());
    if (lot != nullptr) lot->lot.quarantined = row.flag();
  }
}

/// Orders by number of row, so that receipts find theirs.
using OrderMap = std::map<std::int64_t, domain::Order>;

void read_order_lines(const Database& database, const View& view, const Range& parts,
                      OrderMap& orders) {
  Query row = database.query(kOrders);
  row.with(view.as_of, view.known, parts.low, parts.high);
  while (row.next()) {
    domain::Order order;
    order.id = row.id<OrderTag>();
    order.number = row.text();
    order.part = row.id<PartTag>();
    order.supplier = row.id<SupplierTag>();
    order.quantity = row.integer();
    order.ordered = row.date();
    order.promised = row.maybe_date();
    order.cost = row.maybe_money();
    order.to = row.text();
    order.entry = row.id<EntryTag>();
    orders.insert_or_assign(order.id.value, std::move(order));
  }
}

void read_receipts(const Database& database, const View& view, const Range& parts,
                   OrderMap& orders) {
  Query row = database.query(kReceipts);
  row.with(view.as_of, view.known, parts.low, parts.high);
  while (row.next()) {
    const auto found = orders.find(row.integer());
    if (found == orders.end()) continue;
    domain::Order& order = found->second;
    const Date date = row.date();
    if (__builtin_add_overflow(order.received, row.integer(), &order.received)) {
      row.damaged("more pieces received than can be counted");
    }
    if (!order.completed && order.received >= order.quantity) order.completed = date;
    if (row.flag()) order.cancelled = true;
  }
}

struct UsedOrLost {
  std::optional<PartId> part;
  std::optional<PositionId> position;
  Date date;
  std::int64_t quantity = 1;
  EntryId entry;
  bool lost = false;
};

void read_usage_rows(const Database& database, const char* sql, const View& view,
                     const Range& range, std::map<std::int64_t, UsedOrLost>& rows) {
  Query row = database.query(sql);
  row.with(view.as_of, view.known, range.low, range.high);
  while (row.next()) {
    UsedOrLost& line = rows[row.integer()];
    line.part = row.maybe_id<PartId>();
    line.position = row.maybe_id<PositionId>();
    line.date = row.date();
    line.quantity = row.integer();
    line.entry = row.id<EntryTag>();
    line.lost = row.flag();
  }
}

/// A line for each bin that holds pieces.
void add_lines(const LotStock& lot, domain::Snapshot& into) {
  for (const auto& [bin, quantity] : lot.bins) {
    if (quantity <= 0) continue;
    domain::StockLine& line = into.stock.emplace_back(lot.lot);
    line.bin = BinId{bin};
    line.quantity = quantity;
  }
}

void sort_stock(std::vector<domain::StockLine>& stock) {
  std::sort(stock.begin(), stock.end(), [](const domain::StockLine& a, const domain::StockLine& b) {
    return std::tie(a.part, a.bin, a.lot) < std::tie(b.part, b.bin, b.lot);
  });
}

}  // namespace

void read_stock(const Database& database, const View& view, Ranges parts, domain::Snapshot& into) {
  for (const Range& range : parts) {
    std::vector<LotStock> lots = read_lots(database, view, range);
    read_movements(database, view, range, lots);
    read_quarantines(database, view, range, lots);
    for (const LotStock& lot : lots) add_lines(lot, into);
  }
  sort_stock(into.stock);
}

void read_stock_of_part(const Database& database, const View& view, PartId part,
                        domain::Snapshot& into) {
  std::map<std::int64_t, LotStock> lots;
  Query now = database.query(kInBinsNow);
  now.with(part);
  while (now.next()) {
    const std::int64_t id = now.integer();
    const std::int64_t bin = now.integer();
    lots[id].add(now, bin, now.integer());
  }
  Query moved = database.query(kMovedLater);
  moved.with(view.as_of, view.known, part);
  while (moved.next()) {
    LotStock& lot = lots[moved.integer()];
    const auto from = moved.maybe_id<BinId>();
    const auto to = moved.maybe_id<BinId>();
    const std::int64_t quantity = moved.integer();
    if (from) lot.add(moved, from->value, quantity);
    if (to) lot.add(moved, to->value, -quantity);
  }
  for (auto& [id, stock] : lots) {
    const bool any = std::any_of(stock.bins.begin(), stock.bins.end(),
                                 [](const auto& entry) { return entry.second > 0; });
    if (!any) continue;
    Query row = database.query(kOneLot);
    row.with(view.as_of, view.known, id);
    if (!row.next()) continue;
    stock.lot = read_lot(row);
    Query quarantine = database.query(kQuarantinesOfLot);
    quarantine.with(view.as_of, view.known, id);
    while (quarantine.next()) {
      quarantine.skip();
      stock.lot.quarantined = quarantine.flag();
    }
    add_lines(stock, into);
  }
  sort_stock(into.stock);
}

void read_orders(const Database& database, const View& view, Ranges parts, domain::Snapshot& into) {
  OrderMap orders;
  for (const Range& range : parts) {
    read_order_lines(database, view, range, orders);
    read_receipts(database, view, range, orders);
  }
  for (auto& [id, order] : orders) into.orders.push_back(std::move(order));
}

void read_usage(const Database& database, const View& view, Ranges parts, Ranges positions,
                domain::Snapshot& into) {
  std::map<std::int64_t, UsedOrLost> rows;
  for (const Range& range : parts) read_usage_rows(database, kUsageOfParts, view, range, rows);
  for (const Range& range : positions) {
    read_usage_rows(database, kUsageAtPositions, view, range, rows);
  }
  for (const auto& [id, line] : rows) {
    if (line.lost) {
      into.losses.push_back({line.part, line.position, line.date, line.quantity, line.entry});
    } else if (line.part) {
      into.usages.push_back({*line.part, line.position, line.date, line.quantity, line.entry});
    }
  }
}

}  // namespace shearpin::ledger
