#include <fmt/format.h>

#include "base/quantity.hpp"
#include "base/text.hpp"
#include "cli/import_master.hpp"
#include "cli/import_visitor.hpp"
#include "cli/trip_file.hpp"
#include "domain/plan_exposure.hpp"
#include "domain/plan_fit.hpp"
#include "domain/plan_orders.hpp"
#include "domain/plan_stock.hpp"

namespace shearpin::cli {

using namespace interchange;

BinId ImportApplier::Visitor::bin_or_home(const std::string& typed, const domain::Part& of) const {
  if (!typed.empty()) {
    return bin(typed);
  }
  if (!of.home_bin) {
    throw InputError(fmt::format("bin is needed: {} has no home bin", of.key));
  }
  return *of.home_bin;
}

ledger::Scope ImportApplier::Visitor::scope_of(const domain::Position& at,
                                               const std::vector<PartId>& more) const {
  ledger::Scope scope;
  scope.positions = {at.id};
  scope.parts = more;
  scope.stores_only = true;
  scope.exposure = false;
  scope.latest = true;
  for (const auto& fitting : domain::fitting_parts(catalogue(), at)) {
    scope.parts.push_back(fitting.part);
  }
  if (at.part) {
    scope.parts.push_back(*at.part);
  }
  return scope;
}

ledger::Scope ImportApplier::Visitor::scope_of(const domain::Position& at,
                                               const HistoryRow& row) const {
  auto scope = scope_of(at, parts_of(row));
  scope.stores_only = row.fault.empty();
  // Only what is kept has its age worked out, and only a fault looks back for failures.
  scope.exposure = !row.keep.empty();
  scope.latest = row.keep.empty() && !row.since;
  return scope;
}

ledger::Scope ImportApplier::Visitor::scope_of(PartId of) const {
  ledger::Scope scope;
  scope.parts = {of};
  scope.stores_only = true;
  scope.exposure = false;
  scope.latest = true;
  return scope;
}

ledger::Scope ImportApplier::Visitor::meters_alone() {
  ledger::Scope scope;
  scope.meters_only = true;
  scope.exposure = false;
  scope.latest = true;
  return scope;
}

std::optional<double> ImportApplier::Visitor::age(const std::string& typed,
                                                  const domain::ComponentClass* its_class,
                                                  bool& unknown) const {
  unknown = lower_case(typed) == "unknown";
  if (typed.empty() || unknown) {
    return std::nullopt;
  }
  const auto basis = its_class == nullptr ? domain::Basis::days : its_class->basis;
  return basis == domain::Basis::days ? parse_days(typed, "age")
                                      : parse_exposure(typed, domain::unit_of(basis), "age");
}

void ImportApplier::Visitor::operator()(const MasterRow& row) const {
  domain::EntryDraft draft;
  draft.masters.push_back(master_line(row, kind, catalogue()));
  const bool known = draft.masters.back().before.has_value();
  if (known && *draft.masters.back().before == draft.masters.back().after) {
    return;  // the same thing again: nothing to record
  }
  draft.kind = known ? domain::EntryKind::set : domain::EntryKind::add;
  draft.happened = to.first_day_;
  to.record(draft);
}

void ImportApplier::Visitor::operator()(const FittedRow& row) const {
  const auto& at = position(row.position);
  domain::FitRequest request;
  request.when = when_of(row.date, to.today_, {}, row.note);
  request.position = at.id;
  if (row.unit) {
    request.units = {*row.unit};
  }
  std::vector<PartId> parts;
  if (!row.part.empty()) {
    request.pick.part = part(row.part).id;
    parts.push_back(*request.pick.part);
  }
  request.pick.no_part = row.no_part;
  request.age = age(row.age, catalogue().class_of(at), request.age_unknown);
  request.made = row.made;
  request.ends = row.ends;
  to.record(domain::plan_fit(to.snapshot(row.date, scope_of(at, parts)), request), "");
}

template <class Row>
void ImportApplier::Visitor::add_lot(domain::ReceiveRequest& request, const Row& row,
                                     const domain::Part& of) const {
  request.batch = row.batch;
  request.made = row.made;
  request.ends = row.ends;
  request.state = row.state;
  bool unknown = false;
  request.age = age(row.age, catalogue().class_of(of), unknown);
}

void ImportApplier::Visitor::operator()(const StockRow& row) const {
  const auto& of = part(row.part);
  domain::ReceiveRequest request;
  request.when = when_of(row.date, to.today_, {}, row.note);
  request.part = of.id;
  request.pieces = row.quantity;
  request.into = bin_or_home(row.bin, of);
  request.opening = true;
  request.cost_each = row.cost;
  add_lot(request, row, of);
  to.record(domain::plan_receive(to.catalogue_alone(row.date), request), "");
}

void ImportApplier::Visitor::operator()(const ReadingRow& row) const {
  if (!row.undoes.empty()) {
    undo(row.undoes, row.note);
    return;
  }
  const auto& meter = thing(catalogue().meters, row.meter, "meter");
  domain::ReadingRequest request;
  request.when = when_of(row.date, to.today_, row.recorded, row.note);
  request.meter = meter.id;
  request.value = parse_exposure(row.value, meter.unit, "reading");
  request.replaced = row.replaced;
  to.record(domain::plan_reading(to.snapshot(row.date, meters_alone()), request), row.id);
}

void ImportApplier::Visitor::operator()(const ConditionRow& row) const {
  domain::ConditionRequest request;
  request.when = when_of(row.from, to.today_, {}, row.note);
  request.condition = lower_case(row.condition);
  if (!row.rig.empty()) {
    request.rig = thing(catalogue().rigs, row.rig, "rig").id;
  }
  request.to = row.to;
  auto scope = meters_alone();
  scope.exposure = true;  // the conditions recorded before
  to.record(domain::plan_condition(to.snapshot(to.today_, scope), request), "");
}

void ImportApplier::Visitor::operator()(const OrderRow& row) const {
  const auto& of = part(row.part);
  domain::OrderRequest request;
  request.when = when_of(row.date, to.today_, {}, row.note);
  request.part = of.id;
  request.pieces = row.quantity;
  if (!row.supplier.empty()) {
    request.supplier = thing(catalogue().suppliers, row.supplier, "supplier").id;
  }
  request.number = row.number;
  request.promised = row.promised;
  request.total = row.cost;
  request.to = row.to;
  to.record(domain::plan_order(to.catalogue_alone(row.date), request), "");
}

void ImportApplier::Visitor::operator()(const ReceiptRow& row) const {
  const auto& of = part(row.part);
  ledger::Scope scope;
  scope.orders_of = {of.id};
  scope.exposure = false;
  scope.latest = true;
  const auto snapshot = to.snapshot(row.date, scope);
  domain::ReceiveRequest request;
  request.when = when_of(row.date, to.today_, {}, row.note);
  request.part = of.id;
  request.pieces = row.quantity;
  for (const auto& order : snapshot.orders) {
    if (lower_case(order.number) == lower_case(row.number)) {
      request.order = order.id;
    }
  }
  if (row.bin == "none") {
    to.record(receipt_without_stock(row, request), "");
    return;
  }
  request.into = bin_or_home(row.bin, of);
  request.total = row.cost;
  add_lot(request, row, of);
  to.record(domain::plan_receive(snapshot, request), "");
}

domain::Plan ImportApplier::Visitor::receipt_without_stock(
    const ReceiptRow& row, const domain::ReceiveRequest& request) const {
  if (!request.order) {
    throw InputError(fmt::format("no order {} of {}", row.number, row.part));
  }
  domain::Plan plan;
  domain::EntryDraft draft;
  draft.kind = domain::EntryKind::receive;
  draft.happened = row.date;
  draft.recorded = row.date;
  draft.note = row.note;
  draft.receipts.push_back({*request.order, row.quantity, false});
  plan.entries.push_back(draft);
  return plan;
}

void ImportApplier::Visitor::operator()(const CountRow& row) const {
  const auto& of = part(row.part);
  domain::CountRequest request;
  request.when = when_of(row.date, to.today_, {}, "");
  request.part = of.id;
  request.pieces = row.counted;
  request.in = bin_or_home(row.bin, of);
  request.why = row.why;
  to.record(domain::plan_count(to.snapshot(row.date, scope_of(of.id)), request), "");
}

void ImportApplier::Visitor::operator()(const TripRow& row) const {
  const std::string key = parse_key(row.trip, "trip");
  const auto [at, added] = to.trips_.try_emplace(key);
  if (added) {
    at->second.key = at->second.name = key;
    to.trip_order_.push_back(key);
  }
  add_trip_row(at->second, row, [this](const std::string& typed) -> const domain::Meter& {
    return thing(catalogue().meters, typed, "meter");
  });
}

}  // namespace shearpin::cli
