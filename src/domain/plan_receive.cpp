#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/refuse.hpp"
#include "base/text.hpp"
#include "domain/plan_orders.hpp"
#include "domain/plan_support.hpp"

namespace shearpin::domain {

using namespace planning;

namespace {

void check_age(const ReceiveRequest& request) {
  if (!request.age) {
    return;
  }
  if (request.state == LotState::fresh) {
    refuse(
        "--age is the use that pieces have seen; give it with --condition worn or --condition "
        "repaired");
  }
  if (!std::isfinite(*request.age) || *request.age < 0) {
    refuse("--age {}: an age is zero or more, such as --age 310", *request.age);
  }
}

void check_request(const Snapshot& now, const ReceiveRequest& request) {
  check_when(request.when);
  check_pieces(request.pieces, now.catalogue->at(request.part).key);
  check_age(request);
  if (request.cost_each && request.total) {
    refuse("--cost {} is per piece and --total {} for the line; give one of them",
           to_text(*request.cost_each), to_text(*request.total));
  }
  if (request.made && *request.made > request.when.on) {
    refuse("--made {} lies after the day it came, {}; give the date on the piece",
           to_text(*request.made), to_text(request.when.on));
  }
  if (request.made && request.ends && *request.ends < *request.made) {
    refuse("--ends {} lies before --made {}; the end comes after the making",
           to_text(*request.ends), to_text(*request.made));
  }
}

/// The order that a person named, fit to receive on.
const Order& named_order(const Snapshot& now, const ReceiveRequest& request) {
  const auto order = std::find_if(now.orders.begin(), now.orders.end(),
                                  [&](const Order& one) { return one.id == *request.order; });
  if (order == now.orders.end() || order->ordered > request.when.on) {
    refuse(
        "that order was not placed by {}; a parcel comes on or after the day it was ordered: --on "
        "DATE",
        to_text(request.when.on));
  }
  if (order->part != request.part) {
    refuse("order {} is for {}, not for {}; receive what came without it: --no-order",
           order->number, now.catalogue->at(order->part).key, now.catalogue->at(request.part).key);
  }
  if (order->cancelled) {
    refuse("order {} was cancelled; receive what came without it: --no-order", order->number);
  }
  return *order;
}

/// The order a receipt belongs to: named, or the only open one of the part; nullptr for none.
const Order* matching_order(const Snapshot& now, const ReceiveRequest& request,
                            std::vector<std::string>& notes) {
  if (request.opening || request.no_order) {
    return nullptr;
  }
  if (request.order) {
    return &named_order(now, request);
  }
  std::vector<const Order*> open;
  std::vector<std::string> words;
  for (const Order& order : now.orders) {
    if (order.part == request.part && !order.cancelled && order.received < order.quantity &&
        order.ordered <= request.when.on &&
        (!request.supplier || order.supplier == *request.supplier)) {
      open.push_back(&order);
      words.push_back(fmt::format("{} ({} of {})", order.number, to_text(order.ordered),
                                  now.catalogue->at(order.supplier).key));
    }
  }
  if (open.size() > 1) {
    refuse("{} is on order more than once: {}; say which came: --order {}, or --no-order",
           now.catalogue->at(request.part).key, join_words(words), open.front()->number);
  }
  if (open.empty()) {
    return nullptr;
  }
  notes.push_back(
      fmt::format("taken as order {} of {}", open.front()->number, to_text(open.front()->ordered)));
  return open.front();
}

/// Nearest minor unit a piece, with a note where the total does not divide.
Money each_of(Money total, std::int64_t pieces, std::vector<std::string>& notes) {
  const Money each{(2 * total.minor + pieces) / (2 * pieces)};
  if (each.minor * pieces != total.minor) {
    notes.push_back(fmt::format("{} for {} is kept as {} each, to the nearest cent", to_text(total),
                                counted(pieces, "piece"), to_text(each)));
  }
  return each;
}

std::optional<Money> cost_each(const ReceiveRequest& request, const Order* order,
                               std::vector<std::string>& notes) {
  if (request.cost_each) {
    return request.cost_each;
  }
  if (request.total) {
    return each_of(*request.total, request.pieces, notes);
  }
  if (order && order->cost) {
    return each_of(*order->cost, order->quantity, notes);
  }
  return std::nullopt;
}

void note_order(const Order& order, std::int64_t pieces, std::vector<std::string>& notes) {
  const std::int64_t missing = order.quantity - order.received - pieces;
  if (missing < 0) {
    notes.push_back(fmt::format("{} more than order {} asked for", -missing, order.number));
  } else if (missing > 0) {
    notes.push_back(fmt::format("{} of order {} still to come", missing, order.number));
  }
}

std::optional<Date> end_of(const Snapshot& now, const ReceiveRequest& request,
                           std::vector<std::string>& notes) {
  const Part& part = now.catalogue->at(request.part);
  const std::optional<Date> ends =
      request.ends ? request.ends : end_from_made(*now.catalogue, part, request.made);
  if (!request.ends && ends) {
    notes.push_back(fmt::format("made {} and its shelf life give {} as the end",
                                to_text(*request.made), to_text(*ends)));
  }
  if (ends && *ends <= request.when.on) {
    notes.push_back(fmt::format("already past its end, {}: no spare", to_text(*ends)));
  }
  return ends;
}

}  // namespace

Plan plan_receive(const Snapshot& now, const ReceiveRequest& request) {
  check_request(now, request);
  const Catalogue& catalogue = *now.catalogue;
  const Part& part = catalogue.at(request.part);
  Plan plan;
  std::vector<std::string>& notes = plan.outcome.notes;
  const Order* order = matching_order(now, request, notes);

  EntryDraft entry = start_entry(EntryKind::receive, request.when);
  LotDraft lot;
  lot.part = request.part;
  lot.batch = request.batch;
  lot.made = request.made;
  lot.ends = end_of(now, request, notes);
  lot.state = request.state;
  lot.age = request.age;
  lot.cost = cost_each(request, order, notes);
  lot.quarantined = request.quarantined;
  entry.lots.push_back(lot);
  const Outside origin = request.opening ? Outside::before : Outside::supplier;
  add_movement(entry, {NewLot{0}, request.pieces, origin, request.into});
  if (order) {
    // Pieces beyond the order come without it: an order is never more than filled.
    const std::int64_t due = std::max<std::int64_t>(0, order->quantity - order->received);
    if (due > 0) {
      entry.receipts.push_back({order->id, std::min(due, request.pieces), false});
    }
    note_order(*order, request.pieces, notes);
    plan.outcome.order = order->id;
  }
  if (!lot.ends && catalogue.shelf_life_of(part)) {
    plan.outcome.hints.push_back(
        fmt::format("{} keeps for a limited time; give the date on it: --made "
                    "DATE or --ends DATE",
                    part.key));
  }
  if (catalogue.at(request.into).ashore) {
    notes.push_back(fmt::format("{} is ashore: no help on the road until it is moved aboard",
                                catalogue.at(request.into).key));
  }
  plan.entries.push_back(std::move(entry));
  add_stock_line(plan.outcome, now, plan.entries, request.part, request.when.on);
  return plan;
}

}  // namespace shearpin::domain
