#include "cli/receipt.hpp"

#include <fmt/format.h>

#include <nlohmann/json.hpp>
#include <ostream>

#include "advice/analyst.hpp"
#include "base/quantity.hpp"
#include "base/text.hpp"
#include "cli/output.hpp"
#include "domain/cautions.hpp"
#include "domain/plan_fitting.hpp"
#include "report/display.hpp"
#include "report/text_table.hpp"
#include "shearpin/base/error.hpp"

namespace shearpin::cli {
namespace {

using domain::Outcome;

/// "Fitted 1 x p13 Blade fuse 15 A from b1 (oldest lot)."
void add_taken(const Session& session, const Outcome& outcome, std::vector<std::string>& lines) {
  if (outcome.repaired) {
    lines.emplace_back("Repaired in place: the same unit goes on.");
  }
  if (!outcome.no_part.empty()) {
    lines.push_back(fmt::format("Fitted {} (no part number).", outcome.no_part));
  }
  if (!outcome.part_used || outcome.pieces_used == 0) {
    return;
  }
  const auto& catalogue = session.catalogue();
  std::string from = "from outside the stores";
  if (outcome.from) {
    const auto& bin = catalogue.at(*outcome.from);
    from = "from " + bin.key + (bin.name == bin.key ? "" : " (" + bin.name + ")");
  }
  const std::string why = outcome.chosen_why.empty() || outcome.chosen_why == "only lot"
                              ? ""
                              : ", " + outcome.chosen_why;
  const bool fitted = outcome.position && outcome.left_state == domain::PlaceState::fitted;
  lines.push_back(fmt::format("{} {} x {} {}{}.", fitted ? "Fitted" : "Took", outcome.pieces_used,
                              key_and_name(catalogue.at(*outcome.part_used)), from, why));
  if (outcome.substitute) {
    lines.push_back(fmt::format("That is a substitute{}.",
                                outcome.temporary ? ", only until the right part can be had" : ""));
  }
}

/// What a fitted unit brings with it: "It starts with 20,000 km behind it and ends on 2027-05-17."
void add_start(const Session& session, const Outcome& outcome, std::vector<std::string>& lines) {
  if (!outcome.position || outcome.left_state != domain::PlaceState::fitted) {
    return;
  }
  const auto& catalogue = session.catalogue();
  const auto* kind = catalogue.class_of(catalogue.at(*outcome.position));
  std::vector<std::string> facts;
  if (outcome.age_taken_over.value_or(0) > 0) {
    facts.push_back(
        fmt::format("starts with {} behind it",
                    report::amount_text(*outcome.age_taken_over,
                                        kind == nullptr ? "days" : domain::unit_of(kind->basis))));
  }
  if (outcome.marked_end) {
    facts.push_back("reaches its marked end on " + shearpin::to_text(*outcome.marked_end));
  }
  if (!facts.empty()) {
    lines.push_back(
        fmt::format("{} {}.", outcome.units.size() > 1 ? "Each" : "It", join_words(facts)));
  }
}

/// What was left on the past day that a command is about, where it differs from today.
struct LeftThen {
  Date on;
  std::int64_t aboard = 0;
};

/// The stock of a thing that is told late is today's: that is what the person can reach for.
/// Nothing changes where nothing was recorded (--dry-run).
std::optional<LeftThen> add_stock_of_today(const Session& session, const domain::Plan& plan,
                                           Outcome& outcome) {
  const Date on = plan.entries.empty() ? session.today() : plan.entries.back().happened;
  if (on >= session.today() || !outcome.stock_of || !outcome.left_aboard) {
    return std::nullopt;
  }
  const LeftThen then{on, *outcome.left_aboard};
  if (session.dry_run()) {
    return then;
  }
  ledger::Scope scope;
  scope.parts = {*outcome.stock_of};
  scope.stores_only = true;
  const auto now = session.snapshot(session.today(), scope);
  const auto left =
      domain::sound_stock(*now.catalogue, now.stock, *outcome.stock_of, session.today());
  outcome.left_aboard = left.aboard;
  outcome.left_ashore = left.ashore;
  return then.aboard == left.aboard ? std::nullopt : std::optional{then};
}

void add_left(const Session& session, const Outcome& outcome, const std::optional<LeftThen>& then,
              std::vector<std::string>& lines) {
  if (!outcome.stock_of || !outcome.left_aboard) {
    return;
  }
  const auto& key = session.catalogue().at(*outcome.stock_of).key;
  std::string text = *outcome.left_aboard == 0
                         ? fmt::format("None of {} left aboard", key)
                         : fmt::format("Left aboard: {} of {}", *outcome.left_aboard, key);
  if (outcome.left_ashore > 0) {
    text += fmt::format(" ({} ashore)", outcome.left_ashore);
  }
  if (then && session.dry_run()) {
    text += " on " + shearpin::to_text(then->on);
  } else if (then) {
    text += fmt::format(" today; on {} it was {}", shearpin::to_text(then->on), then->aboard);
  }
  lines.push_back(text + '.');
}

void add_elsewhere(const Session& session, const Outcome& outcome,
                   std::vector<std::string>& lines) {
  for (const auto& other : outcome.elsewhere) {
    lines.push_back(fmt::format(
        "Not counted: {} of {} in {}, {}{}.", other.pieces, session.catalogue().at(other.part).key,
        session.catalogue().at(other.bin).key, domain::to_text(other.why),
        other.expired_on ? " on " + shearpin::to_text(*other.expired_on) : ""));
  }
}

/// The key of a bin, aboard or ashore, with a sound piece in it.
std::optional<std::string> bin_with(const domain::Snapshot& snapshot, PartId part, bool ashore) {
  for (const auto& line : snapshot.stock) {
    const auto& bin = snapshot.catalogue->at(line.bin);
    if (line.part == part && line.quantity > 0 && bin.ashore == ashore &&
        domain::sound(line, snapshot.as_of)) {
      return bin.key;
    }
  }
  return std::nullopt;
}

/// The next step where the only sound pieces stay behind.
std::string fetch_text(const Session& session, const Outcome& outcome,
                       const domain::Snapshot& now) {
  const auto& part = session.catalogue().at(*outcome.stock_of);
  const auto bin = bin_with(now, part.id, true);
  if (!bin) {
    return {};
  }
  return outcome.position && !outcome.left_open.empty()
             ? fmt::format("Next, with {} at hand: shearpin fit {} {} --from {}", *bin,
                           session.catalogue().at(*outcome.position).key, part.key, *bin)
             : fmt::format("Next: shearpin move {} 1 --from {} --to BIN", part.key, *bin);
}

/// How soon a part can be had, and the order to place, where nothing is left or a place stays open.
void add_supply(const Session& session, const Outcome& outcome, std::vector<std::string>& lines) {
  if (!outcome.stock_of || (outcome.left_aboard.value_or(0) > 0 && outcome.left_open.empty())) {
    return;
  }
  if (outcome.repaired && outcome.pieces_used == 0) {
    return;
  }
  const auto& part = session.catalogue().at(*outcome.stock_of);
  if (outcome.was_there && outcome.left_ashore == 0 && outcome.open_orders.empty()) {
    // Setting up: nothing has gone, so nothing is asked to be bought for it.
    lines.push_back(fmt::format(
        "Next, where spares of it lie aboard: shearpin receive {} N --into BIN", part.key));
    return;
  }
  // The supplier's other orders of the same resupply class teach its lead time too.
  ledger::Scope scope;
  scope.stores_only = true;
  scope.exposure = false;
  scope.parts = {part.id};
  for (const auto& other : session.catalogue().parts) {
    if (part.supplier && other.supplier == part.supplier) {
      scope.orders_of.push_back(other.id);
    }
  }
  const auto now = session.snapshot(session.today(), scope);
  const auto bin =
      outcome.left_aboard.value_or(0) > 0 ? bin_with(now, part.id, false) : std::nullopt;
  if (bin && outcome.position) {
    lines.push_back(fmt::format("Next: shearpin fit {} {} --from {}",
                                session.catalogue().at(*outcome.position).key, part.key, *bin));
    return;
  }
  const advice::Analyst analyst(now);
  const auto lead = analyst.lead_belief(part.id, domain::Severity::degraded);
  const double median = stats::lead_time_quantile(lead.posterior, 0.5);
  const std::string from =
      lead.supplier_key.empty() ? "" : fmt::format(" from {}", lead.supplier_key);
  lines.push_back(fmt::format("To be had{} in about {} (9 in 10 within {}).", from,
                              report::days_text(median), report::days_text(lead.planning_days)));
  if (outcome.left_ashore > 0) {
    lines.push_back(fetch_text(session, outcome, now));
    return;
  }
  if (!outcome.open_orders.empty()) {
    lines.push_back("Already on order; see: shearpin now");
    return;
  }
  lines.push_back(fmt::format("Next: shearpin order {} {}{}", part.key, std::max(1, part.pack),
                              part.supplier ? "" : " --supplier KEY"));
}

void add_open(const Session& session, const Outcome& outcome, std::vector<std::string>& lines) {
  if (outcome.left_open.empty() || !outcome.position) {
    return;
  }
  std::vector<std::string> units;
  for (const int unit : outcome.left_open) {
    units.push_back(std::to_string(unit));
  }
  const auto& position = session.catalogue().at(*outcome.position);
  const std::string which =
      position.units > 1 ? fmt::format(" unit {}", join_words(units)) : std::string{};
  switch (outcome.left_state) {
    case domain::PlaceState::dead:
      lines.push_back(
          fmt::format("STILL DEAD: {}{} has nothing sound in it.", position.key, which));
      break;
    case domain::PlaceState::workaround:
      lines.push_back(fmt::format("{}{} is on a workaround; it stays listed under `shearpin now`.",
                                  position.key, which));
      break;
    case domain::PlaceState::stand_in:
      lines.push_back(fmt::format("{}{} runs on a stand-in; it stays listed under `shearpin now`.",
                                  position.key, which));
      break;
    case domain::PlaceState::empty:
    case domain::PlaceState::fitted:
      break;
  }
  if (!outcome.gets_by.empty() && outcome.left_state == domain::PlaceState::dead) {
    lines.push_back("What gets you by: " + outcome.gets_by + '.');
  }
}

/// Sentences from the facts of an outcome: what was used and from where, what is left, where other
/// pieces lie, what gets the person by, how soon a part can be had, what to do next.
std::vector<std::string> outcome_lines(const Session& session, const Outcome& outcome,
                                       const std::optional<LeftThen>& then) {
  std::vector<std::string> lines;
  add_open(session, outcome, lines);
  add_taken(session, outcome, lines);
  add_start(session, outcome, lines);
  for (const auto& note : outcome.notes) {
    const bool ended = note.empty() || note.back() == '.' || note.back() == '?';
    lines.push_back(ended ? note : note + '.');
  }
  add_left(session, outcome, then, lines);
  add_elsewhere(session, outcome, lines);
  add_supply(session, outcome, lines);
  return lines;
}

nlohmann::ordered_json json_of(const Session& session, const Receipt& receipt, bool dry_run) {
  const auto& outcome = *receipt.outcome;
  const auto& catalogue = session.catalogue();
  nlohmann::ordered_json json;
  json["schema"] = 1;
  json["recorded"] = !dry_run;
  json["entries"] = nlohmann::ordered_json::array();
  for (const auto id : receipt.entries) {
    json["entries"].push_back(id.value);
  }
  json["did"] = receipt.headline;
  json["position"] = outcome.position ? nlohmann::ordered_json(catalogue.at(*outcome.position).key)
                                      : nlohmann::ordered_json(nullptr);
  json["units"] = outcome.units;
  json["part_used"] = outcome.part_used
                          ? nlohmann::ordered_json(catalogue.at(*outcome.part_used).key)
                          : nlohmann::ordered_json(nullptr);
  json["pieces_used"] = outcome.pieces_used;
  json["from"] = outcome.from ? nlohmann::ordered_json(catalogue.at(*outcome.from).key)
                              : nlohmann::ordered_json(nullptr);
  json["left_aboard"] = outcome.left_aboard ? nlohmann::ordered_json(*outcome.left_aboard)
                                            : nlohmann::ordered_json(nullptr);
  json["left_ashore"] = outcome.left_ashore;
  json["left_state"] = std::string(domain::to_text(outcome.left_state));
  json["left_open"] = outcome.left_open;
  json["notes"] = outcome.notes;
  json["hints"] = outcome.hints;
  json["lines"] = receipt.lines;
  json["warning"] = receipt.warning.empty() ? nlohmann::ordered_json(nullptr)
                                            : nlohmann::ordered_json(receipt.warning);
  json["cautions"] = receipt.caution_keys;
  return json;
}

void put_receipt(const Session& session, const Context& context, const Receipt& receipt) {
  if (context.format == Format::json) {
    context.out << json_of(session, receipt, context.dry_run)
                       .dump(-1, ' ', false, nlohmann::json::error_handler_t::replace)
                << '\n';
    return;
  }
  for (const auto& echo : session.echoes()) {
    context.out << report::wrap_text(echo);
  }
  context.out << report::wrap_text((context.dry_run ? "Would record. " : "") + receipt.headline);
  for (const auto& line : receipt.lines) {
    context.out << report::wrap_text(line, context.width, 2);
  }
  if (!receipt.warning.empty()) {
    context.out << report::wrap_text(receipt.warning, context.width);
  }
  context.out << report::caution_text(cautions_for(session.catalogue(), receipt.caution_keys));
}

std::vector<std::string> caution_keys(const Session& session, const Outcome& outcome) {
  domain::Cautions cautions(session.catalogue());
  if (outcome.position) {
    cautions.add(session.catalogue().at(*outcome.position));
    if (outcome.kept_in) {
      cautions.add_worn_spare(session.catalogue().at(*outcome.position));
    }
  } else if (outcome.part_used) {
    cautions.add(session.catalogue().at(*outcome.part_used));
  }
  std::vector<std::string> keys;
  for (const auto* note : cautions.notes()) {
    keys.push_back(note->key);
  }
  return keys;
}

}  // namespace

void put_echoes_and_hints(const Session& session, const Context& context, const Outcome& outcome) {
  put_echoes(session, context);
  for (const auto& hint : outcome.hints) {
    context.err << report::wrap_text("hint: " + hint);
  }
}

int record_with_receipt(Session& session, Context& context, const domain::Plan& plan,
                        const std::string& headline, const std::vector<std::string>& extra,
                        const Afterthought& afterwards) {
  if (context.format != Format::text && context.format != Format::json) {
    throw UsageError("this answer is text or json; example: --format json");
  }
  Outcome outcome = plan.outcome;
  Receipt receipt;
  receipt.outcome = &outcome;
  receipt.headline = headline;
  // All that is read is read before the commit: after it nothing may fail but the printing.
  receipt.entries = session.stage(plan.entries);
  try {
    const auto then = add_stock_of_today(session, plan, outcome);
    receipt.lines = outcome_lines(session, outcome, then);
  } catch (const NumericError& error) {  // no reason not to record it
    receipt.lines.push_back(fmt::format("What is left could not be worked out: {}", error.what()));
  }
  receipt.lines.insert(receipt.lines.end(), extra.begin(), extra.end());
  receipt.caution_keys = caution_keys(session, outcome);
  if (!context.dry_run && !receipt.entries.empty()) {
    receipt.lines.push_back(fmt::format("Entry {}; to take it back: shearpin undo {}",
                                        receipt.entries.back().value,
                                        receipt.entries.back().value));
  }
  if (afterwards && !context.dry_run && !receipt.entries.empty()) {
    try {
      receipt.warning = afterwards();
    } catch (const Error& error) {
      receipt.warning = fmt::format("It is logged, but could not be judged: {}", error.what());
    }
  }
  session.commit(receipt.entries);
  put_receipt(session, context, receipt);
  for (const auto& hint : plan.outcome.hints) {
    context.err << report::wrap_text("hint: " + hint);
  }
  return kDone;
}

}  // namespace shearpin::cli
