/// rate and explain: what is known of a part, and why that many.

#include "cli/commands.hpp"
#include "cli/output.hpp"
#include "cli/window_options.hpp"
#include "report/answers.hpp"
#include "shearpin/advice/advise.hpp"

namespace shearpin::cli {
namespace {

using ledger::Ledger;

/// A part before a class, where the word names both as exactly.
advice::RateAnswer rate_of_word(Session& session, const Context& context,
                                const std::string& typed) {
  if (session.class_match(typed) < session.part_match(typed)) {
    const ClassId named = session.component_class(typed);
    return advice::advise_rate(session.snapshot(context.day()), named);
  }
  const PartId part = session.part(typed);
  return advice::advise_rate(session.snapshot(context.day()), part);
}

int run_rate(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::read);
  const auto answer = rate_of_word(session, context, arguments.required("PART"));
  put_echoes(session, context);
  put(context, {[&] { return report::rate_text(answer, {arguments.flag("all")}); },
                [&] { return report::rate_json(answer); }});
  return kDone;
}

int run_explain(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::read);
  const PartId part = session.part(arguments.required("PART"));
  const auto window = window_of(arguments, session);
  const auto answer = advice::advise_explain(session.snapshot(context.day()), part, window);
  put_echoes(session, context);
  const auto cautions = cautions_for(session.catalogue(), report::safety_keys(answer));
  put(context, {[&] { return report::explain_text(answer, {arguments.flag("all")}, cautions); },
                [&] { return report::explain_json(answer); }});
  return kDone;
}

int run_compare(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::read);
  const PartId first = session.part(arguments.required("PART"));
  const PartId second = session.part(arguments.required("OTHER"));
  const auto answer = advice::advise_compare(session.snapshot(context.day()), first, second);
  put_echoes(session, context);
  put(context,
      {[&] { return report::compare_text(answer); }, [&] { return report::compare_json(answer); }});
  return kDone;
}

}  // namespace

CommandSpec compare_command() {
  CommandSpec spec;
  spec.name = "compare";
  spec.group = kAsk;
  spec.summary = "Which of two parts lasts longer, or that it is not proven";
  spec.details = "Examples:\n  shearpin compare p20 p21";
  spec.positionals = {{"PART", "key, name or words of it"}, {"OTHER", "the one it is set against"}};
  spec.run = run_compare;
  return spec;
}

CommandSpec rate_command() {
  CommandSpec spec;
  spec.name = "rate";
  spec.group = kAsk;
  spec.summary = "How often a part or a class of parts fails: belief, record, both";
  spec.details =
      "Examples:\n  shearpin rate p43\n  shearpin rate \"shear pin\" --all\n"
      "  shearpin rate blade-fuse-mid";
  spec.positionals = {{"PART", "key, name or words of a part or a class"}};
  spec.options = {{"all", "", "show every record", false}};
  spec.run = run_rate;
  return spec;
}

CommandSpec explain_command() {
  CommandSpec spec;
  spec.name = "explain";
  spec.group = kAsk;
  spec.summary = "Why that many: the whole reasoning with its numbers";
  spec.details =
      "With --days the reasoning behind `carry`, without it the one behind "
      "`reorder`.\n\nExamples:\n"
      "  shearpin explain p13 --days 38\n  shearpin explain \"glow pin\"";
  spec.positionals = {{"PART", "key, name or words of it"}};
  spec.options = window_options();
  spec.options.push_back({"all", "", "show every record and row", false});
  spec.run = run_explain;
  return spec;
}

}  // namespace shearpin::cli
