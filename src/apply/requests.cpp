#include "apply/requests.hpp"

#include <fmt/format.h>

#include <utility>

#include "base/quantity.hpp"
#include "base/refuse.hpp"
#include "base/text.hpp"
#include "domain/plan_fitting.hpp"
#include "shearpin/base/error.hpp"
#include "shearpin/domain/life_records.hpp"

namespace shearpin::apply {
namespace {

using domain::Snapshot;

template <class Request, class Planner>
Planned<Request> planned(const Request& request, Snapshot before, Planner planner) {
  Planned<Request> result{request, std::move(before), {}};
  result.plan = planner(result.before, result.request);
  return result;
}

/// From the ledger on the day of the request.
template <class Request, class Planner>
Planned<Request> planned(const Resolver& who, const Request& request,
                         const std::optional<ledger::Scope>& needed, Planner planner,
                         const std::vector<PartId>& told = {}) {
  auto before = who.planned_from(request.when.on, needed, told);
  return planned(request, std::move(before), planner);
}

std::string text(const Arguments& words, std::string_view name) {
  return words.text(name).value_or("");
}

std::optional<Money> money(const Arguments& words, std::string_view name) {
  const auto typed = words.text(name);
  return typed ? std::optional(parse_money(*typed)) : std::nullopt;
}

std::int64_t number(const Arguments& words, std::string_view name, std::string_view what) {
  return parse_count(words.text(name).value_or("1"), what);
}

/// An age as typed, in the basis of a class; none for unknown or nothing.
std::optional<double> age(const Arguments& words, const domain::ComponentClass* its_class,
                          bool& unknown) {
  const auto typed = words.text("age");
  unknown = typed && lower_case(*typed) == "unknown";
  if (!typed || unknown) {
    return std::nullopt;
  }
  const auto basis = its_class == nullptr ? domain::Basis::days : its_class->basis;
  return basis == domain::Basis::days ? parse_days(*typed, "age")
                                      : parse_exposure(*typed, domain::unit_of(basis), "age");
}

/// The thing that a word names, if given.
template <class T>
std::optional<decltype(T::id)> thing(const Arguments& words, std::string_view name, Resolver& who) {
  const auto typed = words.text(name);
  return typed ? std::optional(who.named<T>(*typed).id) : std::nullopt;
}

/// Which pieces to take.
domain::Pick pick(const Arguments& words, Resolver& who) {
  domain::Pick pick;
  pick.part = thing<domain::Part>(words, "with", who);
  if (const auto bin = words.text("from")) {
    pick.from_outside = lower_case(*bin) == "outside";
    if (!pick.from_outside) {
      pick.from = who.bin(*bin);
    }
  }
  pick.batch = text(words, "batch");
  pick.no_part = text(words, "no-part");
  return pick;
}

std::vector<int> units_of(const PositionWord& word) {
  return word.unit ? std::vector<int>{*word.unit} : std::vector<int>{};
}

/// What requests about fitted units have in common.
template <class Request>
Request at_units(const Arguments& words, Resolver& who) {
  Request request;
  const auto word = who.position(words.required("POSITION"));
  request.position = word.position;
  request.units = units_of(word);
  request.count = static_cast<int>(number(words, "count", "count"));
  request.when = who.when(words);
  request.pick = pick(words, who);
  request.cause = text(words, "cause");
  return request;
}

/// One position and the stock of what fits there, without what else holds those parts.
ledger::Scope around(const Resolver& who, PositionId position, const std::optional<PartId>& named) {
  auto scope = scope_of(who.catalogue(), position, named);
  scope.stores_only = true;
  scope.latest = true;
  return scope;
}

/// Pieces of a part in the bins.
ledger::Scope stores_of(PartId part) {
  ledger::Scope scope;
  scope.parts = {part};
  scope.stores_only = true;
  scope.exposure = false;
  scope.latest = true;
  return scope;
}

ledger::Scope meters_alone() {
  ledger::Scope scope;
  scope.meters_only = true;
  scope.exposure = false;
  scope.latest = true;
  return scope;
}

FaultId fault_named(const Snapshot& snapshot, const std::string& typed) {
  for (const auto& fault : snapshot.faults) {
    if (fault.key == lower_case(typed)) {
      return fault.id;
    }
  }
  refuse("no fault called \"{}\" at that position", typed);
}

domain::Remedy remedy(const Arguments& words) {
  return words.flag("repaired")     ? domain::Remedy::repaired
         : words.flag("workaround") ? domain::Remedy::workaround
         : words.flag("left-dead")  ? domain::Remedy::left_dead
         : words.has("stand-in")    ? domain::Remedy::stand_in
                                    : domain::Remedy::spare;
}

domain::RenewRequest renewal(const Arguments& words, Resolver& who) {
  auto request = at_units<domain::RenewRequest>(words, who);
  request.expired = words.flag("expired");
  request.keep = thing<domain::Bin>(words, "keep", who);
  return request;
}

domain::PiecesRequest pieces_request(const Arguments& words, Resolver& who) {
  domain::PiecesRequest request;
  request.part = who.part(words.required("PART"));
  request.pieces = number(words, "N", "pieces");
  request.when = who.when(words);
  request.batch = text(words, "batch");
  request.cause = text(words, "cause");
  request.from = thing<domain::Bin>(words, "from", who);
  if (const auto position = words.text("at")) {
    request.position = who.position(*position).position;
  }
  return request;
}

template <class Planner>
Planned<domain::PiecesRequest> pieces(const Arguments& words, Resolver& who, Planner planner) {
  auto request = pieces_request(words, who);
  return planned(who, request, stores_of(request.part), planner);
}

/// PART, and N pieces of it or so many packs.
template <class Request>
Request of_part(const Arguments& words, Resolver& who) {
  Request request;
  const auto& part = who.named<domain::Part>(words.required("PART"));
  request.part = part.id;
  if (const auto packs = words.text("packs")) {
    if (words.has("N")) {
      throw UsageError("give pieces or --packs, not both; example: shearpin order p13 --packs 2");
    }
    request.pieces = parse_count(*packs, "packs") * part.pack;
  } else {
    request.pieces = parse_count(words.required("N"), "pieces");
  }
  return request;
}

/// A bin by name, or the part's home.
BinId bin_or_home(const Arguments& words, const char* name, Resolver& who, PartId id) {
  if (const auto bin = words.text(name)) {
    return who.bin(*bin);
  }
  const auto& part = who.catalogue().at(id);
  if (!part.home_bin) {
    throw UsageError(
        fmt::format("--{0} is needed: {1} has no home bin; example: {2} {1} 5 --{0} "
                    "locker",
                    name, part.key, words.command()));
  }
  return *part.home_bin;
}

OrderId order_named(const Snapshot& snapshot, const std::string& number, PartId part) {
  for (const auto& order : snapshot.orders) {
    if (order.part == part && lower_case(order.number) == lower_case(number)) {
      return order.id;
    }
  }
  refuse("no order {} of {} on {}; see: shearpin now", number, snapshot.catalogue->at(part).key,
         to_text(snapshot.as_of));
}

}  // namespace

ledger::Scope scope_of(const domain::Catalogue& catalogue, PositionId id,
                       const std::optional<PartId>& named) {
  ledger::Scope scope;
  scope.positions = {id};
  scope.exposure = false;  // none of the requests asks how much use there was
  const auto& position = catalogue.at(id);
  for (const auto& fitting : domain::fitting_parts(catalogue, position)) {
    scope.parts.push_back(fitting.part);
  }
  if (!position.part && position.component_class) {
    for (const auto& part : catalogue.parts) {
      if (part.component_class == position.component_class) {
        scope.parts.push_back(part.id);
      }
    }
  }
  if (named) {
    scope.parts.push_back(*named);
  }
  return scope;
}

Planned<domain::FitRequest> fit(const Arguments& words, Resolver& who) {
  domain::FitRequest request;
  const auto word = who.position(words.required("POSITION"));
  request.position = word.position;
  request.units = units_of(word);
  request.when = who.when(words);
  request.pick = pick(words, who);
  if (const auto part = words.text("PART")) {
    request.pick.part = who.part(*part);
  }
  const auto& catalogue = who.catalogue();
  request.age = age(words, catalogue.class_of(catalogue.at(word.position)), request.age_unknown);
  request.made = who.day(words, "made");
  request.ends = who.day(words, "ends");
  return planned(who, request, around(who, word.position, request.pick.part), domain::plan_fit);
}

Planned<domain::FailRequest> fail(const Arguments& words, Resolver& who) {
  auto request = at_units<domain::FailRequest>(words, who);
  request.found_on_test = words.flag("found-on-test");
  request.last_good = who.day(words, "last-good");
  request.remedy = remedy(words);
  request.remedy_text = text(words, "stand-in");
  request.repair_pieces = number(words, "pieces", "pieces");
  const auto fault = words.text("fault");
  auto scope = around(who, request.position, request.pick.part);
  scope.stores_only = !fault;  // it may be that of another position of the part
  auto before = who.planned_from(request.when.on, scope, {});
  if (fault) {
    request.fault = fault_named(before, *fault);
  }
  return planned(request, std::move(before), domain::plan_fail);
}

Planned<domain::RenewRequest> renew(const Arguments& words, Resolver& who) {
  auto request = renewal(words, who);
  auto scope = around(who, request.position, request.pick.part);
  scope.exposure = request.keep.has_value();  // a worn spare keeps its age
  scope.latest = !request.keep;
  return planned(who, request, scope, [](const Snapshot& now, domain::RenewRequest told) {
    const domain::ExposureReader exposure(now);
    const domain::LifeReader lives(now, exposure);
    const Date on = told.when.on;
    told.age_of = [&](const domain::UnitLife& life) { return lives.age(life, on); };
    return domain::plan_renew(now, told);
  });
}

Planned<domain::TestRequest> test(const Arguments& words, Resolver& who) {
  domain::TestRequest request;
  const auto word = who.position(words.required("POSITION"));
  request.position = word.position;
  request.unit = word.unit;
  request.when = who.when(words);
  request.reading = text(words, "reading");
  request.cause = text(words, "cause");
  const std::string result = lower_case(words.required("RESULT"));
  if (result != "pass" && result != "fail") {
    throw UsageError(
        fmt::format("\"{}\": a test ends in pass or fail; example: shearpin test {} pass", result,
                    who.catalogue().at(word.position).key));
  }
  request.passed = result == "pass";
  return planned(who, request, around(who, word.position, {}), domain::plan_test);
}

Planned<domain::LoseUnitRequest> lose_unit(const Arguments& words, Resolver& who) {
  auto request = at_units<domain::LoseUnitRequest>(words, who);
  request.refit = words.flag("refit") || words.has("with");
  return planned(who, request, around(who, request.position, request.pick.part),
                 domain::plan_lose_unit);
}

Planned<domain::PiecesRequest> lose_pieces(const Arguments& words, Resolver& who) {
  return pieces(words, who, domain::plan_lose_pieces);
}

Planned<domain::PiecesRequest> use(const Arguments& words, Resolver& who) {
  return pieces(words, who, domain::plan_use);
}

Planned<domain::PiecesRequest> scrap(const Arguments& words, Resolver& who) {
  return pieces(words, who, domain::plan_scrap);
}

Planned<domain::FaultOpenRequest> open_fault(const Arguments& words, Resolver& who) {
  domain::FaultOpenRequest request;
  request.position = who.position(words.required("POSITION")).position;
  request.when = who.when(words);
  request.key = lower_case(words.required("fault"));
  request.since = who.day(words, "since");
  auto scope = around(who, request.position, {});
  scope.stores_only = false;
  scope.latest = !request.since;  // it looks back for failures
  return planned(who, request, scope, domain::plan_fault_open);
}

Planned<domain::FaultCloseRequest> close_fault(const Arguments& words, Resolver& who) {
  domain::FaultCloseRequest request;
  request.when = who.when(words);
  if (words.has("with")) {
    request.renew = renewal(words, who);
  }
  ledger::Scope scope;  // anywhere, where no position is named
  if (const auto position = words.text("POSITION")) {
    const auto part = request.renew ? request.renew->pick.part : std::nullopt;
    scope = around(who, who.position(*position).position, part);
    scope.stores_only = false;
  }
  auto before = who.planned_from(request.when.on, scope, {});
  request.fault = fault_named(before, words.required("fault"));
  return planned(request, std::move(before), domain::plan_fault_close);
}

Planned<domain::OrderRequest> order(const Arguments& words, Resolver& who) {
  auto request = of_part<domain::OrderRequest>(words, who);
  request.supplier = thing<domain::Supplier>(words, "supplier", who);
  request.when = who.when(words);
  request.number = text(words, "number");
  request.to = text(words, "to");
  request.cost_each = money(words, "cost");
  request.total = money(words, "total");
  request.promised = who.day(words, "promised");
  return planned(who, request, std::nullopt, domain::plan_order, {request.part});
}

Planned<domain::ReceiveRequest> receive(const Arguments& words, Resolver& who) {
  auto request = of_part<domain::ReceiveRequest>(words, who);
  request.into = bin_or_home(words, "into", who, request.part);
  request.when = who.when(words);
  request.no_order = words.flag("no-order");
  request.opening = words.flag("opening");
  request.quarantined = words.flag("quarantined");
  std::optional<ledger::Scope> orders;
  if (!request.opening) {
    orders.emplace();
    orders->orders_of = {request.part};
    orders->exposure = false;
    orders->latest = true;
  }
  auto before = who.planned_from(request.when.on, orders, {request.part});
  if (const auto number = words.text("order")) {
    request.order = order_named(before, *number, request.part);
  }
  request.batch = text(words, "batch");
  request.cost_each = money(words, "cost");
  request.total = money(words, "total");
  request.made = who.day(words, "made");
  request.ends = who.day(words, "ends");
  if (const auto state = words.text("condition")) {
    request.state = domain::parse_lot_state(*state);
  }
  const auto& catalogue = who.catalogue();
  bool unknown = false;
  request.age = age(words, catalogue.class_of(catalogue.at(request.part)), unknown);
  return planned(request, std::move(before), domain::plan_receive);
}

Planned<domain::MoveRequest> move(const Arguments& words, Resolver& who) {
  auto request = of_part<domain::MoveRequest>(words, who);
  request.from = who.bin(words.required("from"));
  request.to = who.bin(words.required("to"));
  request.batch = text(words, "batch");
  request.when = who.when(words);
  return planned(who, request, stores_of(request.part), domain::plan_move);
}

Planned<domain::CountRequest> count(const Arguments& words, Resolver& who) {
  domain::CountRequest request;
  request.part = who.part(words.required("PART"));
  request.pieces = parse_count(words.required("N"), "pieces counted", 0);
  request.in = bin_or_home(words, "in", who, request.part);
  request.why = text(words, "why");
  request.when = who.when(words);
  return planned(who, request, stores_of(request.part), domain::plan_count);
}

Planned<domain::QuarantineRequest> quarantine(const Arguments& words, Resolver& who) {
  domain::QuarantineRequest request;
  request.when = who.when(words);
  request.batch = text(words, "batch");
  request.lift = words.flag("lift");
  request.part = thing<domain::Part>(words, "PART", who);
  return planned(who, request, request.part ? stores_of(*request.part) : ledger::Scope{},
                 domain::plan_quarantine);
}

Planned<domain::StayRequest> stay(const Arguments& words, Resolver& who) {
  domain::StayRequest request;
  request.nights = static_cast<int>(number(words, "NIGHTS", "nights"));
  request.when = who.when(words);
  request.place = text(words, "at");
  request.meter = thing<domain::Meter>(words, "meter", who);
  return planned(who, request, meters_alone(), domain::plan_stay);
}

Planned<domain::ConditionRequest> condition(const Arguments& words, Resolver& who) {
  domain::ConditionRequest request;
  request.condition = lower_case(words.required("NAME"));
  request.when = who.when(words);
  request.when.on = who.on(words.required("from"));
  request.rig = thing<domain::Rig>(words, "rig", who);
  request.to = who.day(words, "to");
  auto scope = meters_alone();
  scope.exposure = true;  // the conditions recorded before
  auto before = who.planned_from(who.today(), scope, {});
  return planned(request, std::move(before), domain::plan_condition);
}

Planned<domain::ReadingRequest> reading(const Arguments& words, Resolver& who) {
  domain::ReadingRequest request;
  const auto& meter = who.named<domain::Meter>(words.required("METER"));
  request.meter = meter.id;
  request.value = parse_exposure(words.required("VALUE"), meter.unit, "reading");
  request.replaced = words.flag("replaced");
  request.when = who.when(words);
  return planned(who, request, meters_alone(), domain::plan_reading);
}

}  // namespace shearpin::apply
