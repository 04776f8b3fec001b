/// init: a new ledger, its first rig, the component classes and the cautions.

#include <fmt/format.h>

#include <ostream>

#include "apply/master.hpp"
#include "base/refuse.hpp"
#include "base/text.hpp"
#include "cli/commands.hpp"
#include "cli/import_refusals.hpp"
#include "cli/output.hpp"
#include "cli/shipped.hpp"
#include "interchange/import.hpp"
#include "report/text_table.hpp"
#include "shearpin/base/error.hpp"
#include "shearpin/ledger/ledger.hpp"

namespace shearpin::cli {
namespace {

using domain::EntryDraft;
using domain::EntryKind;

std::string file_text(const std::string& path) {
  auto text = read_file(path);
  if (!text) {
    refuse("{} cannot be read; example: --with my-classes.csv", path);
  }
  return *text;
}

/// One entry that adds everything a file of master data holds.
EntryDraft draft_from(const std::string& text, const std::string& name, interchange::Kind kind,
                      const domain::Catalogue& catalogue, Date day) {
  const auto file = interchange::read_import(text, name, kind, day);
  if (!file.refusals.empty()) {
    throw InputError(refusal_text(file.refusals));
  }
  EntryDraft draft;
  draft.kind = EntryKind::add;
  draft.happened = day;
  draft.note = "read from " + name;
  for (const auto& row : file.rows) {
    draft.masters.push_back(apply::master_line(row, kind, catalogue));
  }
  return draft;
}

void put_welcome(const Context& context, const std::string& rig, std::size_t classes) {
  context.out << report::wrap_text(fmt::format("New ledger {} with {} component classes{}.",
                                               context.ledger.string(), classes,
                                               rig.empty() ? "" : " and the rig " + rig));
  if (rig.empty()) {
    context.out << "Next: shearpin rig add KEY --name \"...\", or shearpin import FILE.csv ...\n";
    return;
  }
  context.out << "Next, for example:\n"
                 "  shearpin bin add locker\n"
                 "  shearpin part add fuse-15 --class blade-fuse-mid --rating 15A --price 0.40\n"
                 "  shearpin position add fridge-fuse --part fuse-15\n"
                 "  shearpin fit fridge-fuse --age unknown\n"
                 "  shearpin receive fuse-15 5 --into locker\n"
                 "or all at once: shearpin import FILE.csv ... (docs/import-files.md)\n";
}

int run_init(const Arguments& arguments, Context& context) {
  const Date day =
      arguments.text("on") ? parse_date(*arguments.text("on"), context.today) : context.today;
  domain::Rig rig;
  if (const auto key = arguments.text("rig")) {
    rig.key = parse_key(*key, "rig");
    rig.name = arguments.text("name").value_or(*key);
  }
  const auto classes_file = arguments.text("with");
  const std::string classes = classes_file ? file_text(*classes_file) : shipped_classes();
  const std::string classes_name = classes_file.value_or("the shipped component classes");
  const domain::Catalogue nothing;
  std::vector<EntryDraft> drafts;
  drafts.push_back(draft_from(shipped_safety_notes(), "the shipped safety notes",
                              interchange::Kind::safety_notes, nothing, day));
  domain::Catalogue notes;
  for (const auto& line : drafts.front().masters) {
    notes.safety_notes.push_back(std::get<domain::SafetyNote>(line.after));
  }
  drafts.push_back(draft_from(classes, classes_name, interchange::Kind::classes, notes, day));
  const std::size_t count = drafts.back().masters.size();
  if (!rig.key.empty()) {
    EntryDraft draft;
    draft.kind = EntryKind::add;
    draft.happened = day;
    draft.masters.push_back({std::nullopt, domain::Master(rig)});
    drafts.push_back(draft);
  }
  if (context.dry_run) {
    context.out << fmt::format("Would make {} with {} component classes.\n",
                               context.ledger.string(), count);
    return kDone;
  }
  ledger::Ledger::create(context.ledger, {context.written, context.today, context.who}, drafts);
  context.kept = fmt::format("the ledger {} was made", context.ledger.string());
  put_welcome(context, rig.key, count);
  for (const auto& line : drafts.front().masters) {
    const auto& note = std::get<domain::SafetyNote>(line.after);
    if (note.key == "estimate-limits") {
      context.out << '\n' << report::wrap_text(note.text);
    }
  }
  return kDone;
}

}  // namespace

CommandSpec init_command() {
  return {.name = "init",
          .group = kSetUp,
          .summary = "Make a ledger and the first rig; never overwrites",
          .details =
              "The shipped component classes and cautions are loaded; --with FILE takes your own "
              "classes "
              "instead.\n\nExample:\n  shearpin init --rig camper --name \"Our camper\"",
          .options = {{"rig", "KEY", "first rig: lower-case letters, digits, hyphens", false},
                      {"name", "TEXT", "what the rig is called", false},
                      {"with", "FILE", "component classes from FILE instead of the shipped ones",
                       false},
                      {"on", "DATE", "day the ledger begins (today)", false}},
          .run = run_init};
}

}  // namespace shearpin::cli
