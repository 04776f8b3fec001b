/// In the field: fit, fail, renew, use, lose, scrap, test.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "apply/requests.hpp"
#include "base/text.hpp"
#include "cli/commands.hpp"
#include "cli/output.hpp"
#include "cli/receipt.hpp"
#include "report/answers.hpp"
#include "shearpin/advice/advise.hpp"

namespace shearpin::cli {
namespace {

using domain::Snapshot;
using ledger::Ledger;

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
  auto scope = apply::scope_of(session.catalogue(), request.position, request.pick.part);
  scope.exposure = true;
  const auto sign =
      advice::advise_fault(session.snapshot(request.when.on, scope), request.position);
  return sign ? report::fault_warning(*sign) : std::string();
}

/// "Fitted: l21 Sample fridge fuse on 2026-05-25." and what else there is to tell.
template <class Request>
int record_at_place(Session& session, Context& context, std::string_view what,
                    const apply::Planned<Request>& told, const Afterthought& afterwards = {}) {
  return record_with_receipt(
      session, context, told.plan,
      fmt::format("{}: {} on {}.", what, place_words(session, told.plan.outcome),
                  shearpin::to_text(told.request.when.on)),
      {}, afterwards);
}

int record_pieces(Session& session, Context& context, std::string_view what,
                  const apply::Planned<domain::PiecesRequest>& told) {
  const auto& part = session.catalogue().at(told.request.part);
  return record_with_receipt(
      session, context, told.plan,
      fmt::format("{}: {} x {} on {}.", what, told.request.pieces, key_and_name(part),
                  shearpin::to_text(told.request.when.on)));
}

int run_fail(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  const auto told = apply::fail(arguments, session);
  return record_at_place(session, context, "Failed", told,
                         [&] { return fault_words(session, told.before, told.request); });
}

int run_fit(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  return record_at_place(session, context, "Fitted", apply::fit(arguments, session));
}

int run_renew(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  return record_at_place(session, context, "Renewed before it failed",
                         apply::renew(arguments, session));
}

int run_test(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  const auto told = apply::test(arguments, session);
  return record_at_place(session, context, told.request.passed ? "Test passed" : "Test FAILED",
                         told);
}

int run_use(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  return record_pieces(session, context, "Used", apply::use(arguments, session));
}

int run_scrap(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  return record_pieces(session, context, "Scrapped", apply::scrap(arguments, session));
}

/// The word names a position rather than a part, whichever it names more exactly.
int run_lose(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  const std::string typed = arguments.required("WHAT");
  const auto name = typed.substr(0, typed.find('/'));
  Arguments words = arguments;
  if (session.position_match(name) < session.part_match(name)) {
    words.add("POSITION", typed);
    words.add("count", arguments.text("N").value_or("1"));
    return record_at_place(session, context, "Lost", apply::lose_unit(words, session));
  }
  words.add("PART", typed);
  return record_pieces(session, context, "Lost", apply::lose_pieces(words, session));
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
  return {
      .name = "fail",
      .group = kField,
      .summary = "Log a failure and what was done about it",
      .details =
          "Without an option a sound fitting spare is taken from aboard (first to expire, then the "
          "oldest lot) and fitted; with none aboard the unit is recorded as dead.\n\nExamples:\n"
          "  shearpin fail \"fridge fuse\"\n"
          "  shearpin fail l05/3 --on \"3d ago\" --cause shock\n"
          "  shearpin fail l18 --stand-in \"plain graded bolt\"",
      .positionals = {kPosition},
      .options = {kOn,
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
                  kNote},
      .at_most_one = {{"repaired", "workaround", "left-dead", "stand-in"}},
      .run = run_fail};
}

CommandSpec fit_command() {
  return {.name = "fit",
          .group = kSetUp,
          .summary = "A unit is fitted; ends dead, workaround or stand-in",
          .details =
              "Without /UNIT all empty units are filled. Without --from it comes from outside the "
              "stores.\n\nExamples:\n  shearpin fit t06 --age unknown\n"
              "  shearpin fit l18/2 p35 --from b4 --on yesterday",
          .positionals = {kPosition, {"PART", "the part fitted, if not the one called for", false}},
          .options = {kOn,
                      kFrom,
                      kBatch,
                      {"age", "AGE", "use it has behind it (310 h, 2y), or unknown", false},
                      {"made", "DATE", "date of manufacture: 2023-01, week code 1622", false},
                      {"ends", "DATE", "marked end", false},
                      {"no-part", "TEXT", "something without a part number", false},
                      kNote},
          .run = run_fit};
}

CommandSpec renew_command() {
  return {.name = "renew",
          .group = kField,
          .summary = "Replaced before it failed",
          .details =
              "The old unit is scrapped, or kept as a worn spare with its age.\n\nExamples:\n"
              "  shearpin renew t03\n  shearpin renew t23 --keep b3 --note \"noisy but working\"",
          .positionals = {kPosition},
          .options = {kOn,
                      kCount,
                      kWith,
                      kFrom,
                      kBatch,
                      {"no-part", "TEXT", "fitted something without a part number", false},
                      {"keep", "BIN", "keep the old unit there as a worn spare", false},
                      kCause,
                      kNote},
          .run = run_renew};
}

CommandSpec test_command() {
  return {.name = "test",
          .group = kField,
          .summary = "A functional check of what fails unseen",
          .details =
              "Examples:\n  shearpin test l12 pass\n"
              "  shearpin test \"breakaway battery\" fail --reading \"6 minutes\"",
          .positionals = {kPosition, {"RESULT", "pass or fail"}},
          .options = {kOn, {"reading", "TEXT", "what was read", false}, kNote},
          .run = run_test};
}

CommandSpec use_command() {
  return {.name = "use",
          .group = kField,
          .summary = "Pieces used up: tape, ties, plugs",
          .details = "Example:\n  shearpin use p23 2 --at l03",
          .positionals = {{"PART", "key, name or words of it"}, {"N", "pieces (1)", false}},
          .options = {kOn, {"at", "POSITION", "what it was for", false}, kFrom, kBatch, kNote},
          .run = run_use};
}

CommandSpec lose_command() {
  return {.name = "lose",
          .group = kField,
          .summary = "Left behind or stolen, from a bin or with the fitted unit",
          .details = "Examples:\n  shearpin lose l16 --refit\n  shearpin lose p44 2 --from b5",
          .positionals = {{"WHAT", "a part (pieces in a bin) or a position (the fitted unit)"},
                          {"N", "pieces or units (1)", false}},
          .options = {kOn,
                      kFrom,
                      kBatch,
                      {"refit", "", "a spare was fitted at once", false},
                      kWith,
                      kCause,
                      kNote},
          .run = run_lose};
}

CommandSpec scrap_command() {
  return {.name = "scrap",
          .group = kField,
          .summary = "Spares thrown away: expired, spoiled",
          .details = "Example:\n  shearpin scrap p39 1 --cause expired",
          .positionals = {{"PART", "key, name or words of it"}, {"N", "pieces (1)", false}},
          .options = {kOn, kFrom, kBatch, kCause, kNote},
          .run = run_scrap};
}

}  // namespace shearpin::cli
