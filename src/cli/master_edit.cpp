#include "cli/master_edit.hpp"

#include <ostream>

#include "apply/requests.hpp"
#include "base/quantity.hpp"
#include "cli/commands.hpp"
#include "cli/output.hpp"
#include "cli/receipt.hpp"

namespace shearpin::cli {
namespace {

using ledger::Ledger;

int run_substitute(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  domain::Substitute substitute;
  substitute.part = session.part(arguments.required("PART"));
  substitute.stands_for = session.part(arguments.required("for"));
  substitute.temporary = arguments.flag("temporary");
  substitute.forbidden = arguments.flag("never");
  substitute.note = arguments.text("note").value_or("");
  if (const auto only = arguments.text("only")) {
    substitute.only = session.position(*only).position;
  }
  domain::check(substitute, session.catalogue());
  domain::EntryDraft draft;
  draft.kind = domain::EntryKind::add;
  draft.happened = session.on(arguments.text("on"));
  draft.masters.push_back({std::nullopt, domain::Master(substitute)});
  const auto entries = session.record({draft});
  const auto& part = session.catalogue().at(substitute.part);
  const auto& other = session.catalogue().at(substitute.stands_for);
  put_echoes(session, context);
  context.out << fitted_to(
                     fmt::format("{}{}{} {} for {}{}.", context.dry_run ? "Would record: " : "",
                                 part.key, part.name == part.key ? "" : ' ' + part.name,
                                 substitute.forbidden ? "may never stand in" : "may stand in",
                                 other.key, substitute.temporary ? ", only for a while" : ""),
                     context.width)
              << undo_line(context, entries);
  return kDone;
}

int run_meter_read(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  const auto told = apply::reading(arguments, session);
  const auto& meter = session.catalogue().at(told.request.meter);
  if (!told.plan.outcome.doubt.empty()) {
    session.require_yes(
        told.plan.outcome.doubt,
        fmt::format("shearpin meter read {} {} --sure", meter.key, arguments.required("VALUE")),
        arguments.flag("sure"));
  }
  const auto entries = session.record(told.plan.entries);
  put_echoes_and_hints(session, context, told.plan.outcome);
  context.out << fmt::format("{} {} {} {} on {}.\n", context.dry_run ? "Would read" : "Read",
                             meter.key, plain_number(told.request.value), meter.unit,
                             shearpin::to_text(told.request.when.on))
              << undo_line(context, entries);
  return kDone;
}

}  // namespace

/// The only rig not retired, where there is just one.
const domain::Rig* only_rig(const domain::Catalogue& catalogue) {
  const domain::Rig* only = nullptr;
  for (const auto& rig : catalogue.rigs) {
    if (!rig.retired) {
      if (only != nullptr) {
        return nullptr;
      }
      only = &rig;
    }
  }
  return only;
}

template <class Thing>
void take_key(Session& session, std::string_view thing, const std::string& typed,
              std::string& key) {
  if (domain::kThings<Thing>.word == thing) {
    key = session.named<Thing>(typed).key;
  }
}

std::string key_meant(Session& session, std::string_view thing, const std::string& typed) {
  std::string key = typed;
  take_key<domain::Rig>(session, thing, typed, key);
  take_key<domain::ComponentClass>(session, thing, typed, key);
  take_key<domain::Part>(session, thing, typed, key);
  take_key<domain::Position>(session, thing, typed, key);
  take_key<domain::Meter>(session, thing, typed, key);
  take_key<domain::Bin>(session, thing, typed, key);
  take_key<domain::Supplier>(session, thing, typed, key);
  return key;
}

CommandSpec substitute_command() {
  return {
      .name = "substitute",
      .summary = "Say that a part may serve where another is called for",
      .details =
          "Between fuses it is refused unless both ratings are known and the substitute's is not "
          "larger: "
          "a fuse guards the wire.\n\nExample:\n  shearpin part substitute p26 --for p25",
      .positionals = {{"PART", "the part that may serve"}},
      .options = {{"for", "PART", "the part it stands in for (needed)", false},
                  {"temporary", "", "only until the right one can be had", false},
                  {"only", "POSITION", "at this position alone", false},
                  {"never", "", "record that it must not be used, as a warning", false},
                  {"note", "TEXT", "a remark", false},
                  {"on", "DATE", "day the entry is about (today)", false}},
      .run = run_substitute};
}

CommandSpec meter_read_command() {
  return {.name = "read",
          .summary = "Write down a reading",
          .details =
              "A mistyped reading is taken back with undo and read again.\n\nExample:\n"
              "  shearpin meter read truck-km 195800 --on 2026-05-24",
          .positionals = {{"METER", "key, name or words of it"},
                          {"VALUE", "in the meter's own unit, or with one: 195800, \"121660 mi\""}},
          .options = {{"replaced", "", "first reading of a meter fitted new: may be lower", false},
                      {"sure", "", "so much in so short a time is right", false},
                      {"on", "DATE", "day of the reading (today)", false},
                      {"note", "TEXT", "a remark", false}},
          .run = run_meter_read};
}

}  // namespace shearpin::cli
