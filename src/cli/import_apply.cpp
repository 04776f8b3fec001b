#include "cli/import_apply.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "cli/trip_file.hpp"
#include "shearpin/base/error.hpp"
#include "shearpin/base/quantity.hpp"
#include "shearpin/base/text.hpp"
#include "shearpin/domain/fields.hpp"
#include "shearpin/domain/life_records.hpp"
#include "shearpin/domain/name_lookup.hpp"
#include "shearpin/domain/plan_exposure.hpp"
#include "shearpin/domain/plan_fail.hpp"
#include "shearpin/domain/plan_fault.hpp"
#include "shearpin/domain/plan_fit.hpp"
#include "shearpin/domain/plan_fitting.hpp"
#include "shearpin/domain/plan_orders.hpp"
#include "shearpin/domain/plan_stock.hpp"
#include "shearpin/domain/plan_trip.hpp"

namespace shearpin::cli {
namespace {

using namespace interchange;
using domain::Catalogue;

std::string search_form(std::string_view text) {
  std::string form = lower_case(trimmed(text));
  std::replace(form.begin(), form.end(), '_', '-');
  std::replace(form.begin(), form.end(), ' ', '-');
  return form;
}

/// In a file only the exact key or the whole name will do: nobody is there to see a guess.
template <class T>
const T& named(const std::vector<T>& things, const std::string& typed, std::string_view what) {
  const std::string wanted = search_form(typed);
  const T* by_name = nullptr;
  int names = 0;
  for (const auto& thing : things) {
    if (search_form(thing.key) == wanted) {
      return thing;
    }
    if (search_form(thing.name) == wanted) {
      by_name = &thing;
      ++names;
    }
  }
  if (names == 1) {
    return *by_name;
  }
  if (names > 1) {
    throw InputError(fmt::format("\"{}\" names {} {}s; give the key", typed, names, what));
  }
  std::vector<domain::NameEntry> entries;
  for (const auto& thing : things) {
    entries.push_back({thing.key, thing.name, {}, {}});
  }
  const auto near = domain::find_name(typed, entries);
  const auto& close = near.hits.empty() ? near.suggestions : near.hits;
  const std::string nearest =
      close.empty() ? std::string{} : fmt::format("; nearest: {}", things[close.front()].key);
  throw InputError(fmt::format("no {} called \"{}\"{}", what, typed, nearest));
}

/// Sets a field from its cell; what is refused is refused with the column's name before it.
template <class T>
void set_from_column(const domain::Field<T>& field, T& thing, const std::string& text,
                     const Catalogue& catalogue) {
  try {
    field.set(thing, text, catalogue);
  } catch (const InputError& error) {  // named: one row has many columns
    throw InputError(fmt::format("column {}: {}", field.name, error.what()));
  }
}

template <class T>
domain::MasterLine line_for(const MasterRow& row, const std::vector<T>& known,
                            const Catalogue& catalogue) {
  T thing{};
  std::optional<domain::Master> before;
  const auto* key = row.find("key");
  if (key == nullptr) {
    throw InputError("a key is needed in column key; example: p46");
  }
  thing.key = parse_key(*key, "the");
  if constexpr (std::is_base_of_v<domain::Named, T>) {
    thing.name = *key;
  }
  for (const auto& existing : known) {
    if (existing.key == thing.key) {
      thing = existing;
      before = domain::Master(existing);
    }
  }
  for (const auto& field : domain::fields<T>()) {
    const auto* text = row.find(field.name);
    if (text != nullptr && field.name != "key") {
      set_from_column(field, thing, *text, catalogue);
    } else if (text == nullptr && field.required_on_add && !before) {
      throw InputError(fmt::format("{} is needed: {}", field.name, field.help));
    }
  }
  domain::check(thing, catalogue);
  return {before, domain::Master(thing)};
}

domain::MasterLine substitute_line(const MasterRow& row, const Catalogue& catalogue) {
  domain::Substitute substitute;
  for (const auto& field : domain::fields<domain::Substitute>()) {
    const auto* text = row.find(field.name);
    if (text != nullptr) {
      set_from_column(field, substitute, *text, catalogue);
    } else if (field.required_on_add) {
      throw InputError(fmt::format("{} is needed: {}", field.name, field.help));
    }
  }
  domain::check(substitute, catalogue);
  return {std::nullopt, domain::Master(substitute)};
}

domain::When when_of(Date on, Date today, std::optional<Date> recorded, const std::string& note) {
  return {on, today, recorded.value_or(on), note};
}

}  // namespace

domain::MasterLine master_line(const MasterRow& row, Kind kind, const Catalogue& catalogue) {
  switch (kind) {
    case Kind::safety_notes:
      return line_for(row, catalogue.safety_notes, catalogue);
    case Kind::classes:
      return line_for(row, catalogue.classes, catalogue);
    case Kind::rigs:
      return line_for(row, catalogue.rigs, catalogue);
    case Kind::meters:
      return line_for(row, catalogue.meters, catalogue);
    case Kind::bins:
      return line_for(row, catalogue.bins, catalogue);
    case Kind::suppliers:
      return line_for(row, catalogue.suppliers, catalogue);
    case Kind::parts:
      return line_for(row, catalogue.parts, catalogue);
    case Kind::positions:
      return line_for(row, catalogue.positions, catalogue);
    case Kind::substitutes:
      return substitute_line(row, catalogue);
    case Kind::fitted:
    case Kind::stock:
    case Kind::readings:
    case Kind::conditions:
    case Kind::orders:
    case Kind::history:
    case Kind::counts:
    case Kind::trips:
      break;
  }
  throw std::logic_error("a dated row taken for master data");
}

std::string refusal_text(const std::vector<Refusal>& refusals) {
  std::string text = fmt::format("{} refused, nothing was written:",
                                 counted(static_cast<long long>(refusals.size()), "line"));
  for (const auto& refusal : refusals) {
    text += fmt::format("\n  {}", refusal.file);
    if (refusal.line > 0) {
      text += fmt::format(" line {}", refusal.line);
    }
    if (!refusal.column.empty()) {
      text += fmt::format(", {}", refusal.column);
    }
    if (!refusal.value.empty()) {
      text += fmt::format(" \"{}\"", refusal.value);
    }
    text += ": " + refusal.rule;
  }
  return text;
}

/// One overload a kind of row.
struct ImportApplier::Visitor {
  ImportApplier& to;
  Kind kind;

  const Catalogue& catalogue() const { return to.known(); }
  /// By its key as it is nearly always written, at once; else by looking at each. `what` is a
  /// literal.
  template <class T>
  const T& thing(const std::vector<T>& things, const std::string& typed,
                 std::string_view what) const {
    auto& places = to.places_[what];
    if (places.empty()) {
      for (std::size_t i = 0; i < things.size(); ++i) {
        places.emplace(things[i].key, i);
      }
    }
    const auto found = places.find(typed);
    return found != places.end() ? things[found->second] : named(things, typed, what);
  }
  const domain::Position& position(const std::string& typed) const {
    return thing(catalogue().positions, typed, "position");
  }
  const domain::Part& part(const std::string& typed) const {
    return thing(catalogue().parts, typed, "part");
  }
  BinId bin(const std::string& typed) const { return thing(catalogue().bins, typed, "bin").id; }
  /// A bin by name, or the part's home.
  BinId bin_or_home(const std::string& typed, const domain::Part& of) const {
    if (!typed.empty()) {
      return bin(typed);
    }
    if (!of.home_bin) {
      throw InputError(fmt::format("bin is needed: {} has no home bin", of.key));
    }
    return *of.home_bin;
  }
  /// One position and the stock of what fits there: what else holds those parts would be read for
  /// nothing, row after row.
  ledger::Scope scope_of(const domain::Position& at, const std::vector<PartId>& more = {}) const {
    ledger::Scope scope;
    scope.positions = {at.id};
    scope.parts = more;
    scope.stores_only = true;
    scope.exposure = false;
    for (const auto& fitting : domain::fitting_parts(catalogue(), at)) {
      scope.parts.push_back(fitting.part);
    }
    if (at.part) {
      scope.parts.push_back(*at.part);
    }
    return scope;
  }
  /// The same where the row names a fault, which may be that of another position of the part, or
  /// asks for the age of what comes out.
  ledger::Scope scope_of(const domain::Position& at, const HistoryRow& row) const {
    auto scope = scope_of(at, parts_of(row));
    scope.stores_only = row.fault.empty();
    scope.exposure = row.kind == HistoryKind::service || row.kind == HistoryKind::preventive ||
                     row.kind == HistoryKind::expiry || !row.fault.empty();
    return scope;
  }
  ledger::Scope scope_of(PartId of) const {
    ledger::Scope scope;
    scope.parts = {of};
    scope.stores_only = true;
    scope.exposure = false;
    return scope;
  }
  static ledger::Scope meters_alone() {
    ledger::Scope scope;
    scope.meters_only = true;
    return scope;
  }
  /// An age as typed, in the basis of a class; none for unknown or empty.
  std::optional<double> age(const std::string& typed, const domain::ComponentClass* its_class,
                            bool& unknown) const {
    unknown = lower_case(typed) == "unknown";
    if (typed.empty() || unknown) {
      return std::nullopt;
    }
    const auto basis = its_class == nullptr ? domain::Basis::days : its_class->basis;
    return basis == domain::Basis::days ? parse_days(typed, "age")
                                        : parse_exposure(typed, domain::unit_of(basis), "age");
  }

  void operator()(const MasterRow& row) const {
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

  void operator()(const FittedRow& row) const {
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

  void operator()(const StockRow& row) const {
    const auto& of = part(row.part);
    domain::ReceiveRequest request;
    request.when = when_of(row.date, to.today_, {}, row.note);
    request.part = of.id;
    request.pieces = row.quantity;
    request.into = bin_or_home(row.bin, of);
    request.opening = true;
    request.batch = row.batch;
    request.made = row.made;
    request.ends = row.ends;
    request.state = row.state;
    request.cost_each = row.cost;
    bool unknown = false;
    request.age = age(row.age, catalogue().class_of(of), unknown);
    to.record(domain::plan_receive(to.snapshot(row.date, scope_of(of.id)), request), "");
  }

  void operator()(const ReadingRow& row) const {
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

  void operator()(const ConditionRow& row) const {
    domain::ConditionRequest request;
    request.when = when_of(row.from, to.today_, {}, row.note);
    request.condition = lower_case(row.condition);
    if (!row.rig.empty()) {
      request.rig = thing(catalogue().rigs, row.rig, "rig").id;
    }
    request.to = row.to;
    to.record(domain::plan_condition(to.snapshot(to.today_, meters_alone()), request), "");
  }

  void operator()(const OrderRow& row) const {
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
    to.record(domain::plan_order(to.snapshot(row.date, scope_of(of.id)), request), "");
  }

  void operator()(const ReceiptRow& row) const {
    const auto& of = part(row.part);
    const auto lent = to.snapshot(row.date, scope_of(of.id));
    const domain::Snapshot& snapshot = lent;
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
    request.batch = row.batch;
    request.made = row.made;
    request.ends = row.ends;
    request.state = row.state;
    bool unknown = false;
    request.age = age(row.age, catalogue().class_of(of), unknown);
    to.record(domain::plan_receive(snapshot, request), "");
  }

  /// A completed order whose pieces are told elsewhere: it only keeps its lead time.
  domain::Plan receipt_without_stock(const ReceiptRow& row,
                                     const domain::ReceiveRequest& request) const {
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

  void operator()(const CountRow& row) const {
    const auto& of = part(row.part);
    domain::CountRequest request;
    request.when = when_of(row.date, to.today_, {}, "");
    request.part = of.id;
    request.pieces = row.counted;
    request.in = bin_or_home(row.bin, of);
    request.why = row.why;
    to.record(domain::plan_count(to.snapshot(row.date, scope_of(of.id)), request), "");
  }

  void operator()(const TripRow& row) const {
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

  void undo(const std::string& id, const std::string& note) const {
    const auto found = to.by_id_.find(id);
    if (found == to.by_id_.end()) {
      throw InputError(fmt::format("undoes \"{}\": no line of this import has that id", id));
    }
    to.transaction_.undo(found->second, note);
    ++to.entries_;
  }

  domain::Pick pick(const HistoryRow& row) const {
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

  std::vector<PartId> parts_of(const HistoryRow& row) const {
    return row.part.empty() ? std::vector<PartId>{} : std::vector<PartId>{part(row.part).id};
  }

  FaultId fault(const domain::Snapshot& snapshot, const std::string& key) const {
    for (const auto& one : snapshot.faults) {
      if (one.key == lower_case(key)) {
        return one.id;
      }
    }
    throw InputError(fmt::format("no fault called \"{}\" is open there", key));
  }

  domain::RenewRequest renewal(const HistoryRow& row, const domain::Position& at) const {
    domain::RenewRequest request;
    request.when = when_of(row.date, to.today_, row.recorded, row.note);
    request.position = at.id;
    if (row.unit) {
      request.units = {*row.unit};
    }
    request.count = static_cast<int>(row.quantity);
    request.pick = pick(row);
    request.expired = row.kind == HistoryKind::expiry;
    request.cause = row.cause;
    if (!row.keep.empty()) {
      request.keep = bin(row.keep);
    }
    return request;
  }

  domain::Plan fail_plan(const HistoryRow& row) const;
  domain::Plan at_position(const HistoryRow& row) const;
  domain::Plan of_stores(const HistoryRow& row) const;
  void operator()(const HistoryRow& row) const;
};

domain::Plan ImportApplier::Visitor::fail_plan(const HistoryRow& row) const {
  const auto& at = position(row.position);
  domain::FailRequest request;
  request.when = when_of(row.date, to.today_, row.recorded, row.note);
  request.position = at.id;
  if (row.unit) {
    request.units = {*row.unit};
  }
  request.count = static_cast<int>(row.quantity);
  request.pick = pick(row);
  request.cause = row.cause;
  request.found_on_test = row.found_on_test;
  request.last_good = row.last_good;
  request.remedy_text = row.stand_in;
  if (row.kind == HistoryKind::repair) {
    request.remedy = domain::Remedy::repaired;
    request.mend_pieces = row.quantity;
    request.count = 1;
  } else if (row.left == domain::PlaceState::dead) {
    request.remedy = domain::Remedy::left_dead;
  } else if (row.left == domain::PlaceState::workaround) {
    request.remedy = domain::Remedy::workaround;
  } else if (row.left == domain::PlaceState::stand_in) {
    request.remedy = domain::Remedy::stand_in;
  }
  const auto lent = to.snapshot(row.date, scope_of(at, row));
  const domain::Snapshot& snapshot = lent;
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
  const auto lent = to.snapshot(row.date, scope_of(at, row));
  const domain::Snapshot& snapshot = lent;
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
      domain::LoseUnitRequest request;
      request.when = when;
      request.position = at.id;
      if (row.unit) {
        request.units = {*row.unit};
      }
      request.count = static_cast<int>(row.quantity);
      request.refit = !row.part.empty();
      request.pick = pick(row);
      request.cause = row.cause;
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
  const auto lent = to.snapshot(row.date, scope_of(of.id));
  const domain::Snapshot& snapshot = lent;
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

ImportApplier::ImportApplier(ledger::Ledger& ledger, ledger::Ledger::Transaction& transaction,
                             Date today, Date first_day, std::string batch)
    : ledger_(ledger),
      transaction_(transaction),
      today_(today),
      first_day_(first_day),
      batch_(std::move(batch)),
      catalogue_(ledger.catalogue()) {}

EntryId ImportApplier::record(const domain::EntryDraft& draft) {
  const EntryId entry = transaction_.record(draft, batch_);
  ++entries_;
  return entry;
}

void ImportApplier::record(const domain::Plan& plan, const std::string& id) {
  EntryId first{};
  for (const auto& draft : plan.entries) {
    const EntryId entry = record(draft);
    first = first.value == 0 ? entry : first;
  }
  if (!id.empty()) {
    by_id_[id] = first;
  }
}

/// The snapshot holds the catalogue for as long as it lives, then hands it back: with thousands of
/// positions a copy for each row would cost more than the row. Moving keeps the things where they
/// are in memory, so references to them stay good.
ImportApplier::Lent::Lent(ImportApplier& owner, Date day, const ledger::Scope& scope)
    : owner_(owner),
      snapshot_(owner.ledger_.snapshot(day, std::nullopt, scope, std::move(owner.catalogue_))) {
  owner_.lent_ = &snapshot_.catalogue;
}

ImportApplier::Lent::~Lent() {
  owner_.catalogue_ = std::move(snapshot_.catalogue);
  owner_.lent_ = nullptr;
}

ImportApplier::Lent ImportApplier::snapshot(Date day, const ledger::Scope& scope) {
  return {*this, day, scope};
}

/// Rows of one kind of master data do not look at each other, so the catalogue is read again only
/// for another kind or for a key met before.
void ImportApplier::refresh_for(const ImportRow& row, Kind kind) {
  const auto* master = std::get_if<MasterRow>(&row.body);
  const auto* key = master == nullptr ? nullptr : master->find("key");
  const std::string form = key == nullptr ? std::string{} : search_form(*key);
  if (!fresh_keys_.empty() && (fresh_kind_ != kind || fresh_keys_.count(form) > 0)) {
    catalogue_ = ledger_.catalogue();
    places_.clear();
    fresh_keys_.clear();
  }
  if (is_master(kind)) {
    fresh_kind_ = kind;
    fresh_keys_.insert(form);
  }
}

void ImportApplier::apply(const ImportRow& row, Kind kind) {
  refresh_for(row, kind);
  std::visit(Visitor{*this, kind}, row.body);
}

void ImportApplier::finish() {
  for (const auto& key : trip_order_) {
    const auto trip = domain::in_order(trips_[key]);
    domain::When when;
    when.on = std::min(trip.legs.front().from, today_);
    when.today = today_;
    record(domain::plan_trip(known(), {when, trip}).entries.front());
  }
}

}  // namespace shearpin::cli
