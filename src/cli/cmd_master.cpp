/// rig, class, part, position, meter, bin, supplier: add, set, show, list, retire.

#include <fmt/format.h>

#include <algorithm>
#include <ostream>
#include <type_traits>

#include "base/quantity.hpp"
#include "base/refuse.hpp"
#include "base/text.hpp"
#include "cli/commands.hpp"
#include "cli/master_edit.hpp"
#include "cli/master_kind.hpp"
#include "cli/master_show.hpp"
#include "cli/output.hpp"
#include "domain/plan_fitting.hpp"

namespace shearpin::cli {
namespace {

using ledger::Ledger;

/// The draft of one change of master data.
domain::EntryDraft draft_of(domain::EntryKind kind, Date day, domain::MasterLine line) {
  domain::EntryDraft draft;
  draft.kind = kind;
  draft.happened = day;
  draft.masters.push_back(std::move(line));
  return draft;
}

std::string with_key(std::string_view text, const std::string& key) {
  std::string result(text);
  for (auto at = result.find("{}"); at != std::string::npos; at = result.find("{}", at)) {
    result.replace(at, 2, key);
  }
  return result;
}

const char* verb(const Context& context, const char* done, const char* would) {
  return context.dry_run ? would : done;
}

template <class T>
std::string next_step(const T& thing) {
  if constexpr (std::is_same_v<T, domain::Position>) {
    if (!thing.part) {
      return fmt::format("shearpin fit {} --no-part \"what is there\" --age unknown", thing.key);
    }
  }
  return with_key(master_kind<T>().next, thing.key);
}

template <class T>
int run_add(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  const auto& kind = master_kind<T>();
  const std::string typed = arguments.required("KEY");
  T thing{};
  thing.key = parse_key(typed, kind.word);
  thing.name = typed;
  prepare_new(thing, session.catalogue());
  require_fields<T>(arguments, kind.example);
  set_fields(thing, arguments, session);
  domain::check(thing, session.catalogue());
  const auto entries =
      session.record({draft_of(domain::EntryKind::add, session.on(arguments.text("on")),
                               {std::nullopt, domain::Master(thing)})});
  put_echoes(session, context);
  context.out << fitted_to(fmt::format("{} {} {}{}.\nNext: {}", verb(context, "Added", "Would add"),
                                       kind.word, thing.key,
                                       thing.name == thing.key ? "" : ", " + thing.name,
                                       next_step(thing)),
                           context.width)
              << undo_line(context, entries);
  return kDone;
}

/// Nothing said of a fuse that grew would read like consent.
void put_larger_rating(const Session& session, const Context& context, const domain::Part& before,
                       const domain::Part& after) {
  const auto& catalogue = session.catalogue();
  if (context.format != Format::text || !domain::larger_rating(catalogue, before, after)) {
    return;
  }
  context.out << fitted_to(
      fmt::format(
          "That is larger: {} A before, {} A now. Only where the wire and the maker of what "
          "it feeds allow it.",
          plain_number(*before.rating_ampere), plain_number(*after.rating_ampere)),
      context.width);
  const auto* kind = catalogue.class_of(after);
  context.out << report::caution_text(
      cautions_for(catalogue, {kind == nullptr ? std::string() : kind->safety_note}));
}

void put_larger_rating(const Session& session, const Context& context,
                       const domain::Position& before, const domain::Position& after) {
  if (before.part && after.part) {
    const auto& catalogue = session.catalogue();
    put_larger_rating(session, context, catalogue.at(*before.part), catalogue.at(*after.part));
  }
}

template <class T>
int run_set(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  const T before = session.named<T>(arguments.required("KEY"));
  T after = before;
  set_fields(after, arguments, session);
  domain::check(after, session.catalogue());
  std::vector<EntryId> entries;
  if (!(after == before)) {
    entries = session.record({draft_of(domain::EntryKind::set, session.on(arguments.text("on")),
                                       {domain::Master(before), domain::Master(after)})});
  }
  put_changes(session, context, before, after);
  context.out << undo_line(context, entries);
  if constexpr (std::is_same_v<T, domain::Part> || std::is_same_v<T, domain::Position>) {
    put_larger_rating(session, context, before, after);
  }
  return kDone;
}

template <class T>
int run_retire(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  const auto& kind = master_kind<T>();
  const T before = session.named<T>(arguments.required("KEY"));
  if (before.retired) {
    refuse("{} {} is retired already", kind.word, before.key);
  }
  T after = before;
  after.retired = true;
  const auto entries =
      session.record({draft_of(domain::EntryKind::retire, session.on(arguments.text("on")),
                               {domain::Master(before), domain::Master(after)})});
  put_echoes(session, context);
  context.out
      << fitted_to(
             fmt::format(
                 "{} {} {}. Its history stays.\nTo bring it back: shearpin {} set {} --no-retired",
                 verb(context, "Retired", "Would retire"), kind.word, before.key, kind.word,
                 before.key),
             context.width)
      << undo_line(context, entries);
  return kDone;
}

template <class T>
int run_show(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::read);
  put_thing(session, context, session.named<T>(arguments.required("KEY")));
  return kDone;
}

template <class T>
int run_list(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::read);
  std::vector<T> shown;
  for (const auto& thing : session.catalogue().*domain::kThings<T>.list) {
    if (!thing.retired || arguments.flag("all")) {
      shown.push_back(thing);
    }
  }
  put_list(session, context, shown);
  return kDone;
}

/// `add`, `set`, ... of one kind; the options are the kind's fields.
template <class T>
CommandSpec child(const char* name, const char* summary, int (*run)(const Arguments&, Context&)) {
  const auto& kind = master_kind<T>();
  CommandSpec spec{.name = name, .summary = summary};
  if (std::string_view(name) != "list") {
    spec.positionals = {{"KEY", fmt::format("the {}: key, name or words of it", kind.word)}};
  }
  spec.run = run;
  return spec;
}

template <class T>
CommandSpec master_command() {
  const auto& kind = master_kind<T>();
  CommandSpec spec{.name = std::string(kind.word),
                   .group = kSetUp,
                   .summary = fmt::format("{} (add, set, show, list, retire)", kind.summary)};
  auto add = child<T>("add", "Make a new one", run_add<T>);
  add.positionals = {{"KEY", "lower-case letters, digits and hyphens; a name goes to --name"}};
  add.details = fmt::format("Example:\n  shearpin {}", kind.example);
  add.options = field_options<T>(false);
  auto set = child<T>("set", "Change fields; an empty value clears one", run_set<T>);
  set.options = field_options<T>(true);
  auto list = child<T>("list", "All of them", run_list<T>);
  list.options = {{"all", "", "retired ones too", false}};
  spec.children = {add, set, child<T>("show", "One, with all that is known", run_show<T>), list,
                   child<T>("retire", "Keep its history, offer it no more", run_retire<T>)};
  return spec;
}

}  // namespace

CommandSpec rig_command() { return master_command<domain::Rig>(); }
CommandSpec class_command() { return master_command<domain::ComponentClass>(); }
CommandSpec position_command() { return master_command<domain::Position>(); }
CommandSpec bin_command() { return master_command<domain::Bin>(); }
CommandSpec supplier_command() { return master_command<domain::Supplier>(); }

CommandSpec part_command() {
  auto spec = master_command<domain::Part>();
  spec.children.push_back(substitute_command());
  return spec;
}

CommandSpec meter_command() {
  auto spec = master_command<domain::Meter>();
  spec.children.push_back(meter_read_command());
  return spec;
}

}  // namespace shearpin::cli
