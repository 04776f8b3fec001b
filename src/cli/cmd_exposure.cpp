/// What ages the parts: stay (nights) and condition (dust, frost, salt ...).

#include <fmt/format.h>

#include <ostream>

#include "apply/requests.hpp"
#include "base/text.hpp"
#include "cli/commands.hpp"
#include "cli/output.hpp"
#include "cli/receipt.hpp"
#include "report/text_table.hpp"

namespace shearpin::cli {
namespace {

using ledger::Ledger;

int run_stay(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  const auto told = apply::stay(arguments, session);
  const auto& request = told.request;
  return record_with_receipt(session, context, told.plan,
                             fmt::format("Stayed {} up to {}{}.", counted(request.nights, "night"),
                                         shearpin::to_text(request.when.on),
                                         request.place.empty() ? "" : " at " + request.place));
}

int run_condition_add(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  const auto told = apply::condition(arguments, session);
  const auto& request = told.request;
  return record_with_receipt(
      session, context, told.plan,
      fmt::format("Condition {} from {} {}{}.", request.condition,
                  shearpin::to_text(request.when.on),
                  request.to ? "to " + shearpin::to_text(*request.to) : std::string("on, still on"),
                  request.rig ? ", " + session.catalogue().at(*request.rig).key
                              : std::string(", all rigs")));
}

int run_condition_list(const Arguments&, Context& context) {
  Session session(context, Ledger::Mode::read);
  const auto snapshot = session.snapshot(session.day());
  report::TextTable table;
  for (const auto& period : snapshot.conditions) {
    table.add({{report::wide("condition"), period.condition},
               {report::left("rig"), period.rig ? session.catalogue().at(*period.rig).key : "all"},
               {report::left("from"), shearpin::to_text(period.from)},
               {report::left("to"), period.to ? shearpin::to_text(*period.to) : "still on"}});
  }
  context.out << (table.empty() ? "No conditions recorded. Example: shearpin condition add "
                                  "smoke-dust --from 2026-07-01 --to 2026-07-20\n"
                                : table.to_text(context.width));
  return kDone;
}

}  // namespace

CommandSpec stay_command() {
  return {.name = "stay",
          .group = kField,
          .summary = "Nights spent: the use that lived-in things see",
          .details =
              "Examples:\n  shearpin stay 3 --at \"Tarrow Lake\"\n  shearpin stay --on yesterday",
          .positionals = {{"NIGHTS", "nights, the last one ended on the day (1)", false}},
          .options = {{"on", "DATE", "morning after the last night (today)", false},
                      {"at", "TEXT", "place", false},
                      {"meter", "METER", "the meter of nights, where several are kept", false},
                      {"note", "TEXT", "a remark", false}},
          .run = run_stay};
}

CommandSpec condition_command() {
  const CommandSpec add{
      .name = "add",
      .summary = "A dated stretch of dust, frost, salt, heat, rough road ...",
      .details =
          "Example:\n  shearpin condition add smoke-dust --rig truck --from 2026-07-01 --to "
          "2026-07-20",
      .positionals = {{"NAME", "smoke-dust, salt, freezing, heat, rough-road, humid, ..."}},
      .options = {{"from", "DATE", "first day (needed)", false},
                  {"to", "DATE", "last day; without it the condition is still on", false},
                  {"rig", "KEY", "one rig (else all)", false},
                  {"note", "TEXT", "a remark", false}},
      .run = run_condition_add};
  const CommandSpec list{.name = "list", .summary = "All of them", .run = run_condition_list};
  return {.name = "condition",
          .group = kField,
          .summary = "Dust, frost, salt ... on a rig, from day to day (add, list)",
          .children = {add, list}};
}

}  // namespace shearpin::cli
