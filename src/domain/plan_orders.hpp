#pragma once
/// On order, received, set aside as doubtful.

#include "domain/plan.hpp"

namespace shearpin::domain {

struct OrderRequest {
  When when;
  PartId part;
  std::int64_t pieces = 1;
  std::optional<SupplierId> supplier;  ///< none: the part's usual one
  std::string number;                  ///< none: the ledger gives the next
  std::optional<Date> promised;
  std::optional<Money> cost_each;
  std::optional<Money> total;  ///< for the line; not with cost_each
  std::string to;              ///< bin or stop, as the person says it
};

/// `order`. Notes a number of pieces that is not whole packs.
Plan plan_order(const Snapshot& now, const OrderRequest& request);

struct CancelOrderRequest {
  When when;
  OrderId order;
};

/// The rest of an open order will not come.
Plan plan_cancel_order(const Snapshot& now, const CancelOrderRequest& request);

struct ReceiveRequest {
  When when;
  PartId part;
  std::int64_t pieces = 1;
  BinId into;
  std::optional<OrderId> order;
  bool no_order = false;                  ///< belongs to no order
  std::optional<SupplierId> supplier;     ///< narrows the search for the order
  std::optional<Money> cost_each, total;  ///< at most one
  std::string batch;
  std::optional<Date> made, ends;
  LotState state = LotState::fresh;
  std::optional<double> age;  ///< effective age of worn or repaired pieces
  bool opening = false;       ///< was aboard when the ledger began
  bool quarantined = false;
};

/// `receive`. Without an order named, the one open order of that part is taken and said; several
/// are listed and refused; none is no objection. Pieces beyond an order are taken with a note, not
/// counted to it. Without an end, made + shelf life gives it. Without a cost, the order's. A total
/// that does not divide is rounded to the nearest minor unit a piece, with a note.
Plan plan_receive(const Snapshot& now, const ReceiveRequest& request);

struct QuarantineRequest {
  When when;
  std::optional<PartId> part;  ///< narrows
  std::string batch;           ///< all stocked lots of it; needed unless `lot` is given
  std::optional<LotId> lot;
  bool lift = false;  ///< sound after all
};

/// Lots of a batch stop counting as spares (or count again).
Plan plan_quarantine(const Snapshot& now, const QuarantineRequest& request);

}  // namespace shearpin::domain
