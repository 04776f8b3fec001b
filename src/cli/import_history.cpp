#include <fmt/format.h>

#include "base/text.hpp"
#include "cli/import_visitor.hpp"
#include "domain/plan_exposure.hpp"
#include "domain/plan_fail.hpp"
#include "domain/plan_fault.hpp"
#include "domain/plan_fit.hpp"
#include "domain/plan_stock.hpp"
#include "shearpin/domain/life_records.hpp"

namespace shearpin::cli {

using namespace interchange;

void ImportApplier::Visitor::undo(const std::string& id, const std::string& note) const {
  const auto found = to.by_id_.find(id);
  if (found == to.by_id_.end()) {
    throw InputError(fmt::format("undoes \"{}\": no line of this import has that id", id));
  }
  to.transaction_.undo(found->second, note);
  ++to.entries_;
}

domain::Pick ImportApplier::Visitor::pick(const HistoryRow& row) const {
  domain::Pick pick;
  if (!row.part.empty()) {
    pick.part = part(row.part).id;
  }
  if (lower_case(row.from) == "outside") {
    pick.from_outside = true;
  } else if (!row.from.empty()) {
    pick.from = bin(row.from);
  }
  pick.batch = row.lot;
  pick.no_part = row.no_part;
  return pick;
}

std::vector<PartId> ImportApplier::Visitor::parts_of(const HistoryRow& row) const {
  return row.part.empty() ? std::vector<PartId>{} : std::vector<PartId>{part(row.part).id};
}

FaultId ImportApplier::Visitor::fault(const domain::Snapshot& snapshot,
                                      const std::string& key) const {
  for (const auto& one : snapshot.faults) {
    if (one.key == lower_case(key)) {
      return one.id;
    }
  }
  throw InputError(fmt::format("no fault called \"{}\" is open there", key));
}

template <class Request>
Request ImportApplier::Visitor::at_units(const HistoryRow& row, const domain::Position& at) const {
  Request request;
  request.when = when_of(row.date, to.today_, row.recorded, row.note);
  request.position = at.id;
  if (row.unit) {
    request.units = {*row.unit};
  }
  request.count = static_cast<int>(row.quantity);
  request.pick = pick(row);
  request.cause = row.cause;
  return request;
}

domain::RenewRequest ImportApplier::Visitor::renewal(const HistoryRow& row,
                                                     const domain::Position& at) const {
  auto request = at_units<domain::RenewRequest>(row, at);
  request.expired = row.kind == HistoryKind::expiry;
  if (!row.keep.empty()) {
    request.keep = bin(row.keep);
  }
  return request;
}

domain::Plan ImportApplier::Visitor::fail_plan(const HistoryRow& row) const {
  const auto& at = position(row.position);
  auto request = at_units<domain::FailRequest>(row, at);
  request.found_on_test = row.found_on_test;
  request.last_good = row.last_good;
  request.remedy_text = row.stand_in;
  if (row.kind == HistoryKind::repair) {
    request.remedy = domain::Remedy::repaired;
    request.repair_pieces = row.quantity;
    request.count = 1;
  } else if (row.left == domain::PlaceState::dead) {
    request.remedy = domain::Remedy::left_dead;
  } else if (row.left == domain::PlaceState::workaround) {
    request.remedy = domain::Remedy::workaround;
  } else if (row.left == domain::PlaceState::stand_in) {
    request.remedy = domain::Remedy::stand_in;
  }
  const auto snapshot = to.snapshot(row.date, scope_of(at, row));
  if (!row.fault.empty()) {
    request.fault = fault(snapshot, row.fault);
  }
  return domain::plan_fail(snapshot, request);
}

domain::Plan ImportApplier::Visitor::at_position(const HistoryRow& row) const {
  if (row.kind == HistoryKind::failure || row.kind == HistoryKind::repair) {
    return fail_plan(row);
  }
  const auto& at = position(row.position);
  const auto snapshot = to.snapshot(row.date, scope_of(at, row));
  const auto when = when_of(row.date, to.today_, row.recorded, row.note);
  switch (row.kind) {
    case HistoryKind::service:
    case HistoryKind::preventive:
    case HistoryKind::expiry: {
      auto request = renewal(row, at);
      const domain::ExposureReader exposure(snapshot);
      const domain::LifeReader lives(snapshot, exposure);
      request.age_of = [&](const domain::UnitLife& life) { return lives.age(life, row.date); };
      return domain::plan_renew(snapshot, request);
    }
    case HistoryKind::loss: {
      auto request = at_units<domain::LoseUnitRequest>(row, at);
      request.refit = !row.part.empty();
      return domain::plan_lose_unit(snapshot, request);
    }
    case HistoryKind::test:
      return domain::plan_test(snapshot,
                               {when, at.id, row.unit, row.passed, row.reading, row.cause});
    case HistoryKind::fault_open:
      return domain::plan_fault_open(snapshot, {when, lower_case(row.fault), at.id, row.since});
    case HistoryKind::fault_close:
    case HistoryKind::upstream_repair: {
      domain::FaultCloseRequest request;
      request.when = when;
      request.fault = fault(snapshot, row.fault);
      if (!row.part.empty()) {
        request.renew = renewal(row, at);
      }
      return domain::plan_fault_close(snapshot, request);
    }
    case HistoryKind::fit: {
      domain::FitRequest request;
      request.when = when;
      request.position = at.id;
      if (row.unit) {
        request.units = {*row.unit};
      }
      request.pick = pick(row);
      request.age = age(row.age, catalogue().class_of(at), request.age_unknown);
      request.made = row.made;
      request.ends = row.ends;
      return domain::plan_fit(snapshot, request);
    }
    case HistoryKind::failure:
    case HistoryKind::repair:
    case HistoryKind::found_expired:
    case HistoryKind::scrap:
    case HistoryKind::use:
    case HistoryKind::move:
    case HistoryKind::stay:
    case HistoryKind::quarantine:
    case HistoryKind::release:
    case HistoryKind::undo:
      break;
  }
  throw std::logic_error("a history line without a position taken for one with");
}

domain::Plan ImportApplier::Visitor::of_stores(const HistoryRow& row) const {
  const auto when = when_of(row.date, to.today_, row.recorded, row.note);
  if (row.kind == HistoryKind::quarantine || row.kind == HistoryKind::release) {
    domain::QuarantineRequest request;
    request.when = when;
    request.batch = row.lot;
    request.lift = row.kind == HistoryKind::release;
    if (!row.part.empty()) {
      request.part = part(row.part).id;
    }
    return domain::plan_quarantine(
        to.snapshot(row.date, request.part ? scope_of(*request.part) : ledger::Scope{}), request);
  }
  const auto& of = part(row.part);
  const auto snapshot = to.snapshot(row.date, scope_of(of.id));
  if (row.kind == HistoryKind::move) {
    return domain::plan_move(
        snapshot, {when, of.id, row.quantity, bin_or_home(row.from, of), bin(row.to), row.lot});
  }
  domain::PiecesRequest request;
  request.when = when;
  request.part = of.id;
  request.pieces = row.quantity;
  request.batch = row.lot;
  request.cause = row.kind == HistoryKind::found_expired ? "expired" : row.cause;
  if (!row.from.empty()) {
    request.from = bin(row.from);
  }
  if (!row.position.empty()) {
    request.position = position(row.position).id;
  }
  if (row.kind == HistoryKind::use) {
    return domain::plan_use(snapshot, request);
  }
  return row.kind == HistoryKind::loss ? domain::plan_lose_pieces(snapshot, request)
                                       : domain::plan_scrap(snapshot, request);
}

void ImportApplier::Visitor::operator()(const HistoryRow& row) const {
  switch (row.kind) {
    case HistoryKind::undo:
      undo(row.undoes, row.note);
      return;
    case HistoryKind::stay: {
      domain::StayRequest request;
      request.when = when_of(row.date, to.today_, row.recorded, row.note);
      request.nights = static_cast<int>(row.quantity);
      request.place = row.to;
      to.record(domain::plan_stay(to.snapshot(row.date, meters_alone()), request), row.id);
      return;
    }
    case HistoryKind::found_expired:
    case HistoryKind::scrap:
    case HistoryKind::use:
    case HistoryKind::move:
    case HistoryKind::quarantine:
    case HistoryKind::release:
      to.record(of_stores(row), row.id);
      return;
    case HistoryKind::loss:
      to.record(row.position.empty() ? of_stores(row) : at_position(row), row.id);
      return;
    case HistoryKind::failure:
    case HistoryKind::repair:
    case HistoryKind::service:
    case HistoryKind::preventive:
    case HistoryKind::expiry:
    case HistoryKind::test:
    case HistoryKind::fault_open:
    case HistoryKind::fault_close:
    case HistoryKind::upstream_repair:
    case HistoryKind::fit:
      to.record(at_position(row), row.id);
      return;
  }
}

}  // namespace shearpin::cli
