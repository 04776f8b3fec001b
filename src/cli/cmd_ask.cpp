/// carry, reorder, report, now: the questions about what to have.

#include <fmt/format.h>

#include <ostream>

#include "base/quantity.hpp"
#include "cli/commands.hpp"
#include "cli/kit_options.hpp"
#include "cli/output.hpp"
#include "cli/window_options.hpp"
#include "report/answers.hpp"
#include "shearpin/advice/advise.hpp"

namespace shearpin::cli {
namespace {

using ledger::Ledger;

std::vector<PartId> parts_asked(const Arguments& arguments, Session& session) {
  std::vector<PartId> parts;
  for (const auto& typed : arguments.list("PART")) {
    parts.push_back(session.part(typed));
  }
  return parts;
}

int run_carry(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::read);
  const auto window = required_window(arguments, session);
  const auto parts = parts_asked(arguments, session);
  Progress bar(context, "playing trips");
  const auto answer = advice::advise_carry(session.snapshot(context.day()), window, parts,
                                           {limits_of(arguments), simulation_of(arguments, bar)});
  bar.clear();
  put_echoes(session, context);
  const auto cautions = cautions_for(session.catalogue(), report::safety_keys(answer));
  put(context,
      {[&] { return report::carry_text(answer, cautions); },
       [&] { return report::carry_json(answer); }, [&] { return report::carry_csv(answer); }});
  return kDone;
}

int run_reorder(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::read);
  const auto window = window_of(arguments, session);
  const auto parts = parts_asked(arguments, session);
  const auto answer = advice::advise_reorder(session.snapshot(context.day()), window, parts);
  put_echoes(session, context);
  const auto cautions = cautions_for(session.catalogue(), report::safety_keys(answer));
  put(context,
      {[&] { return report::reorder_text(answer, cautions); },
       [&] { return report::reorder_json(answer); }, [&] { return report::reorder_csv(answer); }});
  const bool due = !answer.lines.empty() && answer.lines.front().wanted();
  return arguments.flag("check") && due ? kDue : kDone;
}

int run_report(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::read);
  const auto window = required_window(arguments, session);
  const auto paper = report::parse_paper(arguments.text("paper").value_or("a4"));
  Progress bar(context, "playing trips");
  const auto answer = advice::advise_report(session.snapshot(context.day()), window,
                                            {limits_of(arguments), std::nullopt});
  const Renderings renderings{[&] { return report::report_text(answer, paper); },
                              [&] { return report::report_json(answer); },
                              [&] { return report::report_csv(answer); },
                              [&] { return report::report_html(answer, paper); }};
  if (const auto file = arguments.text("output")) {
    write_file(context, *file, in_format(context.format, renderings));
    context.kept = fmt::format("{} was written", *file);
    context.out << fmt::format("Report for {} days written to {}.\n", window.days, *file);
    return kDone;
  }
  put(context, renderings);
  return kDone;
}

int run_weak(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::read);
  const auto window = required_window(arguments, session);
  const auto answer = advice::advise_weak(session.snapshot(context.day()), window);
  put_echoes(session, context);
  const auto cautions = cautions_for(session.catalogue(), report::safety_keys(answer));
  put(context,
      {[&] { return report::weak_text(answer, arguments.flag("all"), cautions); },
       [&] { return report::weak_json(answer); }, [&] { return report::weak_csv(answer); }});
  return kDone;
}

int run_now(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::read);
  const int ahead = static_cast<int>(
      parse_count(arguments.text("ahead").value_or("14"), "days to look ahead", 0));
  const auto answer = advice::advise_now(session.snapshot(context.day()), ahead);
  const auto cautions = cautions_for(session.catalogue(), report::safety_keys(answer));
  put(context, {[&] { return report::now_text(answer, cautions); },
                [&] { return report::now_json(answer); }, [&] { return report::now_csv(answer); }});
  return arguments.flag("check") && answer.anything() ? kDue : kDone;
}

std::vector<OptionSpec> with_window(std::vector<OptionSpec> more) {
  auto options = window_options();
  options.insert(options.end(), more.begin(), more.end());
  return options;
}

}  // namespace

CommandSpec carry_command() {
  CommandSpec spec;
  spec.name = "carry";
  spec.group = kAsk;
  spec.summary = "Which spares to carry, and how many, for a stretch with no resupply";
  spec.details =
      "Counts what is aboard, sound and in date to the end of the stretch. The level is the larger "
      "of two: what meets the severity's target, and what is worth its price and mass beside the "
      "days without it. `explain PART --days N` shows the reasoning.\n\nExamples:\n"
      "  shearpin carry --days 38 --use truck-km=3740 --condition smoke-dust:12\n"
      "  shearpin carry --days 14 p13 p43\n"
      "  shearpin carry --trip marrow --max-mass 80kg --max-risk stranded=2%";
  spec.positionals = {{"PART", "only these parts", false, true}};
  spec.options = with_window(kit_options());
  for (auto& option : simulate_options()) {
    spec.options.push_back(std::move(option));
  }
  spec.run = run_carry;
  return spec;
}

CommandSpec reorder_command() {
  CommandSpec spec;
  spec.name = "reorder";
  spec.group = kAsk;
  spec.summary = "What to order now, how many packs, from whom, there by when";
  spec.details =
      "A part is ordered when its stock position (usable, plus on order, less what expires and "
      "what "
      "open places wait for) is at or below its reorder point. With --days also what a stretch "
      "without resupply will want.\n\nExamples:\n  shearpin reorder\n  shearpin reorder --days 38";
  spec.positionals = {{"PART", "only these parts", false, true}};
  spec.options = with_window({{"check", "", "exit 10 when something is to be ordered", false}});
  spec.run = run_reorder;
  return spec;
}

CommandSpec report_command() {
  CommandSpec spec;
  spec.name = "report";
  spec.group = kAsk;
  spec.summary = "The pre-trip stock report, to print and pin inside a locker door";
  spec.details =
      "Paged text for A4 or Letter; with --format html one page with pictures that needs nothing "
      "else, to read on a phone or to print.\n\nExamples:\n"
      "  shearpin report --days 38 --format html -o report.html\n"
      "  shearpin report --days 38 --paper letter | lp";
  spec.options = with_window({{"output", "FILE", "write to FILE instead of the screen", false, "o"},
                              {"paper", "SIZE", "a4 (the usual) or letter", false}});
  for (auto& option : kit_options()) {
    spec.options.push_back(std::move(option));
  }
  spec.run = run_report;
  return spec;
}

CommandSpec weak_command() {
  CommandSpec spec;
  spec.name = "weak";
  spec.group = kAsk;
  spec.summary = "What would stop us: places by their chance to fail, and what covers them";
  spec.details =
      "Single points first: places that neither a spare nor a workaround covers.\n\nExamples:\n"
      "  shearpin weak --days 38\n  shearpin weak --trip marrow --all";
  spec.options = with_window({{"all", "", "every place, not only the worst", false}});
  spec.run = run_weak;
  return spec;
}

CommandSpec now_command() {
  CommandSpec spec;
  spec.name = "now";
  spec.group = kAsk;
  spec.summary = "What is dead, due, low and on its way";
  spec.details = "Examples:\n  shearpin now\n  shearpin now --ahead 40 --check";
  spec.options = {{"ahead", "DAYS", "look this far ahead for tests and dates (14)", false},
                  {"check", "", "exit 10 when something is due", false}};
  spec.run = run_now;
  return spec;
}

}  // namespace shearpin::cli
