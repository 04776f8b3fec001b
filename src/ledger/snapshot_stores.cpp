// Stock summed from movements, orders with their receipts, pieces used and lost.

#include <algorithm>
#include <map>
#include <tuple>

#include "ledger/snapshot_parts.hpp"
#include "ledger/sql_live.hpp"
#include "ledger/tables.hpp"

namespace shearpin::ledger {
namespace {

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

domain::StockLine stock_line(const domain::LotDraft& lot, const Written& at) {
  domain::StockLine line;
  line.lot = {at.number};
  line.part = lot.part;
  line.batch = lot.batch;
  line.made = lot.made;
  line.ends = lot.ends;
  line.state = lot.state;
  line.age = lot.age;
  line.cost = lot.cost;
  line.received = at.day;
  line.quarantined = lot.quarantined;
  return line;
}

std::vector<LotStock> read_lots(const Database& database, const View& view, const Range& parts) {
  static const std::string sql = lot_table().live("x.part BETWEEN ?3 AND ?4 ORDER BY x.part, x.id");
  std::vector<LotStock> lots;
  lot_table().each_live(
      database, sql,
      [&lots](const domain::LotDraft& lot, const Written& at) {
        lots.emplace_back().lot = stock_line(lot, at);
      },
      view.as_of, view.known, parts.low, parts.high);
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
  static const std::string sql = quarantine_table().live(
      "x.lot IN (SELECT id FROM lot WHERE part BETWEEN ?3 AND ?4) ORDER BY e.happened, x.id");
  quarantine_table().each_live(
      database, sql,
      [&lots](const domain::QuarantineLine& line, const Written&) {
        LotStock* lot = find(lots, line.lot.value);
        if (lot != nullptr) lot->lot.quarantined = line.quarantined;
      },
      view.as_of, view.known, parts.low, parts.high);
}

/// Orders by number of row, so that receipts find theirs.
using OrderMap = std::map<std::int64_t, domain::Order>;

void read_order_lines(const Database& database, const View& view, const Range& parts,
                      OrderMap& orders) {
  static const std::string sql =
      order_table().live("x.part BETWEEN ?3 AND ?4 ORDER BY x.part, x.id");
  order_table().each_live(
      database, sql,
      [&orders](const domain::OrderLine& line, const Written& at) {
        domain::Order& order = orders[at.number];
        order.id = {at.number};
        order.number = line.number;
        order.part = line.part;
        order.supplier = line.supplier;
        order.quantity = line.quantity;
        order.ordered = at.day;
        order.promised = line.promised;
        order.cost = line.cost;
        order.to = line.to;
        order.entry = at.entry;
      },
      view.as_of, view.known, parts.low, parts.high);
}

void read_receipts(const Database& database, const View& view, const Range& parts,
                   OrderMap& orders) {
  static const std::string sql = receipt_table().live(
      "x.order_line IN (SELECT id FROM order_line WHERE part BETWEEN ?3 AND ?4)"
      " ORDER BY e.happened, x.id");
  receipt_table().each_live(
      database, sql,
      [&](const domain::ReceiptLine& line, const Written& at) {
        const auto found = orders.find(line.order.value);
        if (found == orders.end()) return;
        domain::Order& order = found->second;
        if (__builtin_add_overflow(order.received, line.quantity, &order.received)) {
          throw_damaged(database.path(), "more pieces received than can be counted");
        }
        if (!order.completed && order.received >= order.quantity) order.completed = at.day;
        if (line.cancelled) order.cancelled = true;
      },
      view.as_of, view.known, parts.low, parts.high);
}

/// Pieces used or lost, by number of row.
using UsageMap = std::map<std::int64_t, std::pair<domain::UsageLine, Written>>;

void read_usage_rows(const Database& database, const std::string& sql, const View& view,
                     const Range& range, UsageMap& rows) {
  usage_table().each_live(
      database, sql,
      [&rows](const domain::UsageLine& line, const Written& at) {
        rows.try_emplace(at.number, line, at);
      },
      view.as_of, view.known, range.low, range.high);
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
  static const std::string one = lot_table().live("x.id = ?3");
  static const std::string quarantines =
      quarantine_table().live("x.lot = ?3 ORDER BY e.happened, x.id");
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
  for (auto& [id, of_lot] : lots) {
    LotStock& stock = of_lot;
    const bool any = std::any_of(stock.bins.begin(), stock.bins.end(),
                                 [](const auto& entry) { return entry.second > 0; });
    if (!any) continue;
    bool live = false;
    lot_table().each_live(
        database, one,
        [&](const domain::LotDraft& lot, const Written& at) {
          stock.lot = stock_line(lot, at);
          live = true;
        },
        view.as_of, view.known, id);
    if (!live) continue;
    quarantine_table().each_live(
        database, quarantines,
        [&](const domain::QuarantineLine& line, const Written&) {
          stock.lot.quarantined = line.quarantined;
        },
        view.as_of, view.known, id);
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
  static const std::string of_parts =
      usage_table().live("x.part BETWEEN ?3 AND ?4 ORDER BY x.part, x.id");
  static const std::string at_positions =
      usage_table().live("x.position BETWEEN ?3 AND ?4 ORDER BY x.position, x.id");
  UsageMap rows;
  for (const Range& range : parts) read_usage_rows(database, of_parts, view, range, rows);
  for (const Range& range : positions) read_usage_rows(database, at_positions, view, range, rows);
  for (const auto& [id, row] : rows) {
    const auto& [line, at] = row;
    if (line.lost) {
      into.losses.push_back({line.part, line.position, at.day, line.quantity, at.entry});
    } else if (line.part) {
      into.usages.push_back({*line.part, line.position, at.day, line.quantity, at.entry});
    }
  }
}

}  // namespace shearpin::ledger
