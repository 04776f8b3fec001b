#include "domain/plan_orders.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "base/refuse.hpp"
#include "base/text.hpp"
#include "domain/plan_support.hpp"

namespace shearpin::domain {

using namespace planning;

namespace {

std::optional<Money> line_cost(const OrderRequest& request) {
  if (request.cost_each && request.total) {
    refuse("--cost {} is per piece and --total {} for the line; give one of them",
           to_text(*request.cost_each), to_text(*request.total));
  }
  return request.cost_each ? std::optional(*request.cost_each * request.pieces) : request.total;
}

}  // namespace

Plan plan_order(const Snapshot& now, const OrderRequest& request) {
  check_when(request.when);
  const Part& part = now.catalogue->at(request.part);
  check_pieces(request.pieces, part.key);
  if (request.promised && *request.promised < request.when.on) {
    refuse("promised for {}, before it was ordered on {}; give a day from then on",
           to_text(*request.promised), to_text(request.when.on));
  }
  const std::optional<SupplierId> supplier = request.supplier ? request.supplier : part.supplier;
  if (!supplier) {
    refuse("{} has no usual supplier; say who is to send it: order {} {} --supplier KEY", part.key,
           part.key, request.pieces);
  }
  Plan plan;
  EntryDraft entry = start_entry(EntryKind::order, request.when);
  entry.orders.push_back({request.number, request.part, *supplier, request.pieces, request.promised,
                          line_cost(request), request.to});
  if (part.pack > 1 && request.pieces % part.pack != 0) {
    plan.outcome.notes.push_back(fmt::format("{} is sold {} to a pack, {} are not whole packs",
                                             part.key, part.pack, request.pieces));
  }
  plan.entries.push_back(std::move(entry));
  add_stock_line(plan.outcome, now, plan.entries, request.part, request.when.on);
  return plan;
}

Plan plan_cancel_order(const Snapshot& now, const CancelOrderRequest& request) {
  check_when(request.when);
  const auto order = std::find_if(now.orders.begin(), now.orders.end(),
                                  [&](const Order& one) { return one.id == request.order; });
  if (order == now.orders.end() || order->ordered > request.when.on) {
    refuse("that order was not placed by {}; give a later day: --on {}", to_text(request.when.on),
           to_text(request.when.today));
  }
  if (order->cancelled || order->received >= order->quantity) {
    refuse("{} is {}, only an open order can be cancelled", order->number,
           order->cancelled ? "cancelled already" : "received in full");
  }
  Plan plan;
  EntryDraft entry = start_entry(EntryKind::cancel_order, request.when);
  entry.receipts.push_back({order->id, 0, true});
  plan.outcome.order = order->id;
  plan.entries.push_back(std::move(entry));
  add_stock_line(plan.outcome, now, plan.entries, order->part, request.when.on);
  return plan;
}

Plan plan_quarantine(const Snapshot& now, const QuarantineRequest& request) {
  check_when(request.when);
  if (request.batch.empty() && !request.lot) {
    refuse("name the batch that is doubtful, such as --batch VB-07");
  }
  Plan plan;
  EntryDraft entry = start_entry(EntryKind::quarantine, request.when);
  std::vector<LotId> lots;
  std::optional<PartId> part;
  for (const StockLine& line : now.stock) {
    const bool meant = request.lot ? line.lot == *request.lot : line.batch == request.batch;
    if (!meant || (request.part && line.part != *request.part) ||
        line.quarantined == !request.lift) {
      continue;
    }
    plan.outcome.taken.push_back({line.part, line.lot, line.bin, line.quantity, line.state});
    if (std::find(lots.begin(), lots.end(), line.lot) == lots.end()) {
      lots.push_back(line.lot);
      entry.quarantines.push_back({line.lot, !request.lift});
      part = part.value_or(line.part);
    }
  }
  if (lots.empty()) {
    refuse("no stock of batch {} is {}; a batch is written as it was received",
           quoted(request.batch), request.lift ? "quarantined" : "there to be set aside");
  }
  plan.entries.push_back(std::move(entry));
  add_stock_line(plan.outcome, now, plan.entries, *part, request.when.on);
  return plan;
}

}  // namespace shearpin::domain
