/// In the field: fit, fail, renew, use, lose, scrap, test.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/quantity.hpp"
#include "base/text.hpp"
#include "cli/commands.hpp"
#include "cli/output.hpp"
#include "cli/receipt.hpp"
#include "domain/plan_fail.hpp"
#include "domain/plan_fit.hpp"
#include "domain/plan_fitting.hpp"
#include "domain/plan_stock.hpp"
#include "report/answers.hpp"
#include "shearpin/advice/advise.hpp"
#include "shearpin/base/error.hpp"
#include "shearpin/domain/life_records.hpp"

namespace shearpin::cli {
namespace {

using domain::Snapshot;
using ledger::Ledger;

/// What a position concerns: itself, its part and every part that may stand in; where it calls for
/// none, those of its class.
ledger::Scope scope_of(const Session& session, PositionId id,
                       const std::optional<PartId>& named = {}) {
  ledger::Scope scope;
  scope.positions = {id};
  scope.exposure = false;  // nothing here asks how much use there was
  const auto& position = session.catalogue().at(id);
  for (const auto& fitting : domain::fitting_parts(session.catalogue(), position)) {
    scope.parts.push_back(fitting.part);
  }
  if (!position.part && position.component_class) {
    for (const auto& part : session.catalogue().parts) {
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

std::vector<int> units_of(const PositionWord& word) {
  return word.unit ? std::vector<int>{*word.unit} : std::vector<int>{};
}

std::string place_words(const Session& session, const domain::Outcome& outcome) {
  const auto& position = session.catalogue().at(*outcome.position);
  std::vector<std::string> units;
  for (const int unit : outcome.units) {
    units.push_back(std::to_string(unit));
  }
  std::string text = position.key;
  if (position.units > 1 && !units.empty()) {
    text += fmt::format(" unit {}", join_words(units));
    if (!outcome.unit_why.empty()) {
      text += fmt::format(" ({})", outcome.unit_why);
    }
  }
  return position.name == position.key ? text : text + ' ' + position.name;
}

std::optional<Date> date_option(const Arguments& arguments, const Session& session,
                                std::string_view name) {
  const auto typed = arguments.text(name);
  return typed ? std::optional<Date>(parse_date(*typed, session.today())) : std::nullopt;
}

int count_option(const Arguments& arguments) {
  return static_cast<int>(parse_count(arguments.text("count").value_or("1"), "count"));
}

FaultId fault_named(const Snapshot& snapshot, const std::string& typed) {
  for (const auto& fault : snapshot.faults) {
    if (fault.key == lower_case(typed)) {
      return fault.id;
    }
  }
  throw InputError(fmt::format("no fault called \"{}\" at that position", typed));
}

bool failed_since(const Snapshot& snapshot, PositionId position, Date first) {
  return std::any_of(snapshot.lives.begin(), snapshot.lives.end(), [&](const auto& life) {
    return life.position == position && life.end && life.end->date >= first &&
           (life.end->kind == domain::EndKind::failed ||
            life.end->kind == domain::EndKind::failed_on_test);
  });
}

/// Looks for a fault behind this failure; only after another one of late or where one is named, so
/// that a lone failure is told at once. `before`: as it stood without this failure.
std::string fault_words(const Session& session, const Snapshot& before,
                        const domain::FailRequest& request) {
  const auto window =
      std::chrono::days(static_cast<int>(std::lround(before.policy.fault_window_days)));
  if (!request.fault && !failed_since(before, request.position, request.when.on - window)) {
    return {};
  }
  auto scope = scope_of(session, request.position, request.pick.part);
  scope.exposure = true;
  const auto sign =
      advice::advise_fault(session.snapshot(request.when.on, scope), request.position);
  return sign ? report::fault_warning(*sign) : std::string();
}

int run_fail(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  domain::FailRequest request;
  const auto word = session.position(arguments.required("POSITION"));
  request.position = word.position;
  request.units = units_of(word);
  request.count = count_option(arguments);
  request.when = when_of_options(arguments, session);
  request.pick = pick_of(arguments, session);
  request.cause = arguments.text("cause").value_or("");
  request.found_on_test = arguments.flag("found-on-test");
  request.last_good = date_option(arguments, session, "last-good");
  if (arguments.flag("repaired")) {
    request.remedy = domain::Remedy::repaired;
  } else if (arguments.flag("workaround")) {
    request.remedy = domain::Remedy::workaround;
  } else if (arguments.flag("left-dead")) {
    request.remedy = domain::Remedy::left_dead;
  } else if (const auto text = arguments.text("stand-in")) {
    request.remedy = domain::Remedy::stand_in;
    request.remedy_text = *text;
  }
  const auto snapshot =
      session.snapshot(request.when.on, scope_of(session, word.position, request.pick.part));
  if (const auto fault = arguments.text("fault")) {
    request.fault = fault_named(snapshot, *fault);
  }
  const auto plan = domain::plan_fail(snapshot, request);
  return record_with_receipt(session, context, plan,
                             fmt::format("Failed: {} on {}.", place_words(session, plan.outcome),
                                         shearpin::to_text(request.when.on)),
                             {}, [&] { return fault_words(session, snapshot, request); });
}

int run_fit(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  domain::FitRequest request;
  const auto word = session.position(arguments.required("POSITION"));
  request.position = word.position;
  request.units = units_of(word);
  request.when = when_of_options(arguments, session);
  request.pick = pick_of(arguments, session);
  if (const auto part = arguments.text("PART")) {
    request.pick.part = session.part(*part);
  }
  if (const auto age = arguments.text("age")) {
    request.age_unknown = lower_case(*age) == "unknown";
    if (!request.age_unknown) {
      const auto* its_class = session.catalogue().class_of(session.catalogue().at(word.position));
      const auto basis = its_class == nullptr ? domain::Basis::days : its_class->basis;
      request.age = basis == domain::Basis::days
                        ? parse_days(*age, "age")
                        : parse_exposure(*age, domain::unit_of(basis), "age");
    }
  }
  request.made = date_option(arguments, session, "made");
  request.ends = date_option(arguments, session, "ends");
  const auto snapshot =
      session.snapshot(request.when.on, scope_of(session, word.position, request.pick.part));
  const auto plan = domain::plan_fit(snapshot, request);
  return record_with_receipt(session, context, plan,
                             fmt::format("Fitted: {} on {}.", place_words(session, plan.outcome),
                                         shearpin::to_text(request.when.on)));
}

int run_renew(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  domain::RenewRequest request;
  const auto word = session.position(arguments.required("POSITION"));
  request.position = word.position;
  request.units = units_of(word);
  request.count = count_option(arguments);
  request.when = when_of_options(arguments, session);
  request.pick = pick_of(arguments, session);
  request.cause = arguments.text("cause").value_or("");
  if (const auto bin = arguments.text("keep")) {
    request.keep = session.bin(*bin);
  }
  auto scope = scope_of(session, word.position, request.pick.part);
  scope.exposure = request.keep.has_value();  // a worn spare keeps its age
  const auto snapshot = session.snapshot(request.when.on, scope);
  const domain::ExposureReader exposure(snapshot);
  const domain::LifeReader lives(snapshot, exposure);
  request.age_of = [&](const domain::UnitLife& life) { return lives.age(life, request.when.on); };
  const auto plan = domain::plan_renew(snapshot, request);
  return record_with_receipt(
      session, context, plan,
      fmt::format("Renewed before it failed: {} on {}.", place_words(session, plan.outcome),
                  shearpin::to_text(request.when.on)));
}

int run_test(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  domain::TestRequest request;
  const auto word = session.position(arguments.required("POSITION"));
  request.position = word.position;
  request.unit = word.unit;
  request.when = when_of_options(arguments, session);
  request.reading = arguments.text("reading").value_or("");
  const std::string result = lower_case(arguments.required("RESULT"));
  if (result != "pass" && result != "fail") {
    throw UsageError(
        fmt::format("\"{}\": a test ends in pass or fail; example: shearpin test {} "
                    "pass",
                    result, session.catalogue().at(word.position).key));
  }
  request.passed = result == "pass";
  const auto plan = domain::plan_test(
      session.snapshot(request.when.on, scope_of(session, word.position)), request);
  return record_with_receipt(
      session, context, plan,
      fmt::format("Test {}: {} on {}.", request.passed ? "passed" : "FAILED",
                  place_words(session, plan.outcome), shearpin::to_text(request.when.on)));
}

domain::PiecesRequest pieces_request(const Arguments& arguments, Session& session,
                                     const std::string& part) {
  domain::PiecesRequest request;
  request.part = session.part(part);
  request.pieces = parse_count(arguments.text("N").value_or("1"), "pieces");
  request.when = when_of_options(arguments, session);
  request.batch = arguments.text("batch").value_or("");
  request.cause = arguments.text("cause").value_or("");
  if (const auto bin = arguments.text("from")) {
    request.from = session.bin(*bin);
  }
  if (const auto position = arguments.text("at")) {
    request.position = session.position(*position).position;
  }
  return request;
}

Snapshot stock_snapshot(const Session& session, const domain::PiecesRequest& request) {
  ledger::Scope scope;
  scope.parts = {request.part};
  scope.exposure = false;
  return session.snapshot(request.when.on, scope);
}

std::string pieces_headline(const Session& session, const char* what,
                            const domain::PiecesRequest& request) {
  const auto& part = session.catalogue().at(request.part);
  return fmt::format("{}: {} x {} on {}.", what, request.pieces, key_and_name(part),
                     shearpin::to_text(request.when.on));
}

int run_use(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  const auto request = pieces_request(arguments, session, arguments.required("PART"));
  const auto plan = domain::plan_use(stock_snapshot(session, request), request);
  return record_with_receipt(session, context, plan, pieces_headline(session, "Used", request));
}

int run_scrap(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  const auto request = pieces_request(arguments, session, arguments.required("PART"));
  const auto plan = domain::plan_scrap(stock_snapshot(session, request), request);
  return record_with_receipt(session, context, plan, pieces_headline(session, "Scrapped", request));
}

/// True when the word names a position rather than a part: whichever it names more exactly.
bool names_position(const Session& session, const std::string& typed) {
  const auto name = typed.substr(0, typed.find('/'));
  return session.position_match(name) < session.part_match(name);
}

int run_lose(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  const std::string typed = arguments.required("WHAT");
  if (!names_position(session, typed)) {
    const auto request = pieces_request(arguments, session, typed);
    const auto plan = domain::plan_lose_pieces(stock_snapshot(session, request), request);
    return record_with_receipt(session, context, plan, pieces_headline(session, "Lost", request));
  }
  domain::LoseUnitRequest request;
  const auto word = session.position(typed);
  request.position = word.position;
  request.units = units_of(word);
  request.count = static_cast<int>(parse_count(arguments.text("N").value_or("1"), "units"));
  request.when = when_of_options(arguments, session);
  request.refit = arguments.flag("refit") || arguments.has("with");
  request.pick = pick_of(arguments, session);
  request.cause = arguments.text("cause").value_or("");
  const auto plan = domain::plan_lose_unit(
      session.snapshot(request.when.on, scope_of(session, word.position, request.pick.part)),
      request);
  return record_with_receipt(session, context, plan,
                             fmt::format("Lost: {} on {}.", place_words(session, plan.outcome),
                                         shearpin::to_text(request.when.on)));
}

const OptionSpec kOn{"on", "DATE", "day it happened: 2026-08-03, yesterday, 3d ago (today)", false};
const OptionSpec kNote{"note", "TEXT", "a remark", false};
const OptionSpec kCause{"cause", "WORD", "wear-out, shock, freeze, overload ...", false};
const OptionSpec kWith{"with", "PART", "fit this part instead of the tool's choice", false};
const OptionSpec kFrom{"from", "BIN", "take it from this bin; outside: bought and fitted at once",
                       false};
const OptionSpec kBatch{"batch", "TEXT", "take pieces of this batch only", false};
const OptionSpec kCount{"count", "N", "units at once (1)", false};
const PositionalSpec kPosition{"POSITION", "key, name, nickname or words of it; KEY/2 its unit 2"};

}  // namespace

CommandSpec fail_command() {
  CommandSpec spec;
  spec.name = "fail";
  spec.group = kField;
  spec.summary = "Log a failure and what was done about it";
  spec.details =
      "Without an option a sound fitting spare is taken from aboard (first to expire, then the "
      "oldest lot) and fitted; with none aboard the unit is recorded as dead.\n\nExamples:\n"
      "  shearpin fail \"fridge fuse\"\n"
      "  shearpin fail l05/3 --on \"3d ago\" --cause shock\n"
      "  shearpin fail l18 --stand-in \"plain graded bolt\"";
  spec.positionals = {kPosition};
  spec.options = {kOn,
                  kCount,
                  kWith,
                  kFrom,
                  kBatch,
                  {"no-part", "TEXT", "fitted something without a part number", false},
                  {"repaired", "", "repaired in place: the same unit lives on", false},
                  {"workaround", "", "not replaced; something gets you by", false},
                  {"left-dead", "", "not replaced, nothing done yet", false},
                  {"stand-in", "TEXT", "something of no part number was put in", false},
                  kCause,
                  {"fault", "KEY", "the upstream cause it is attributed to", false},
                  {"found-on-test", "", "found on a test: it failed at some time before", false},
                  {"last-good", "DATE", "last day it was known to be good", false},
                  kNote};
  spec.at_most_one = {{"repaired", "workaround", "left-dead", "stand-in"}};
  spec.run = run_fail;
  return spec;
}

CommandSpec fit_command() {
  CommandSpec spec;
  spec.name = "fit";
  spec.group = kSetUp;
  spec.summary = "A unit is fitted; ends dead, workaround or stand-in";
  spec.details =
      "Without /UNIT all empty units are filled. Without --from it comes from outside the "
      "stores.\n\nExamples:\n  shearpin fit t06 --age unknown\n"
      "  shearpin fit l18/2 p35 --from b4 --on yesterday";
  spec.positionals = {kPosition, {"PART", "the part fitted, if not the one called for", false}};
  spec.options = {kOn,
                  kFrom,
                  kBatch,
                  {"age", "AGE", "use it has behind it (310 h, 2y), or unknown", false},
                  {"made", "DATE", "date of manufacture: 2023-01, week code 1622", false},
                  {"ends", "DATE", "marked end", false},
                  {"no-part", "TEXT", "something without a part number", false},
                  kNote};
  spec.run = run_fit;
  return spec;
}

CommandSpec renew_command() {
  CommandSpec spec;
  spec.name = "renew";
  spec.group = kField;
  spec.summary = "Replaced before it failed";
  spec.details =
      "The old unit is scrapped, or kept as a worn spare with its age.\n\nExamples:\n"
      "  shearpin renew t03\n  shearpin renew t23 --keep b3 --note \"noisy but working\"";
  spec.positionals = {kPosition};
  spec.options = {kOn,
                  kCount,
                  kWith,
                  kFrom,
                  kBatch,
                  {"no-part", "TEXT", "fitted something without a part number", false},
                  {"keep", "BIN", "keep the old unit there as a worn spare", false},
                  kCause,
                  kNote};
  spec.run = run_renew;
  return spec;
}

CommandSpec test_command() {
  CommandSpec spec;
  spec.name = "test";
  spec.group = kField;
  spec.summary = "A functional check of what fails unseen";
  spec.details =
      "Examples:\n  shearpin test l12 pass\n"
      "  shearpin test \"breakaway battery\" fail --reading \"6 minutes\"";
  spec.positionals = {kPosition, {"RESULT", "pass or fail"}};
  spec.options = {kOn, {"reading", "TEXT", "what was read", false}, kNote};
  spec.run = run_test;
  return spec;
}

CommandSpec use_command() {
  CommandSpec spec;
  spec.name = "use";
  spec.group = kField;
  spec.summary = "Pieces used up: tape, ties, plugs";
  spec.details = "Example:\n  shearpin use p23 2 --at l03";
  spec.positionals = {{"PART", "key, name or words of it"}, {"N", "pieces (1)", false}};
  spec.options = {kOn, {"at", "POSITION", "what it was for", false}, kFrom, kBatch, kNote};
  spec.run = run_use;
  return spec;
}

CommandSpec lose_command() {
  CommandSpec spec;
  spec.name = "lose";
  spec.group = kField;
  spec.summary = "Left behind or stolen, from a bin or with the fitted unit";
  spec.details = "Examples:\n  shearpin lose l16 --refit\n  shearpin lose p44 2 --from b5";
  spec.positionals = {{"WHAT", "a part (pieces in a bin) or a position (the fitted unit)"},
                      {"N", "pieces or units (1)", false}};
  spec.options = {kOn,   kFrom,  kBatch, {"refit", "", "a spare was fitted at once", false},
                  kWith, kCause, kNote};
  spec.run = run_lose;
  return spec;
}

CommandSpec scrap_command() {
  CommandSpec spec;
  spec.name = "scrap";
  spec.group = kField;
  spec.summary = "Spares thrown away: expired, spoiled";
  spec.details = "Example:\n  shearpin scrap p39 1 --cause expired";
  spec.positionals = {{"PART", "key, name or words of it"}, {"N", "pieces (1)", false}};
  spec.options = {kOn, kFrom, kBatch, kCause, kNote};
  spec.run = run_scrap;
  return spec;
}

}  // namespace shearpin::cli
