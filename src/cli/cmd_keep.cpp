/// Keep safe: undo, journal, verify, backup, policy.

#include <fmt/format.h>

#include <algorithm>
#include <ostream>

#include "base/quantity.hpp"
#include "base/text.hpp"
#include "cli/commands.hpp"
#include "cli/output.hpp"
#include "report/rows.hpp"
#include "report/text_table.hpp"
#include "shearpin/base/error.hpp"
#include "shearpin/domain/policy.hpp"

namespace shearpin::cli {
namespace {

using ledger::Ledger;
using report::Row;

/// The entry or the import to take back.
std::vector<ledger::JournalRow> rows_to_undo(const Ledger& ledger,
                                             const std::optional<std::string>& what) {
  ledger::JournalQuery query;
  if (!what) {
    query.id = ledger.newest_live();
    if (!query.id) {
      throw InputError("nothing to take back: every entry is taken back already");
    }
  } else if (what->find_first_not_of("0123456789") == std::string::npos) {
    query.id = EntryId{parse_count(*what, "entry")};
  } else {
    query.batch = *what;
  }
  auto rows = ledger.journal(query);
  if (rows.empty()) {
    throw InputError(fmt::format("no entry or import batch \"{}\"; see: shearpin journal", *what));
  }
  if (!what && !rows.front().batch.empty()) {
    ledger::JournalQuery whole;
    whole.batch = rows.front().batch;
    return ledger.journal(whole);
  }
  return rows;
}

int run_undo(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  const auto what = arguments.text("ENTRY");
  const auto rows = rows_to_undo(session.ledger(), what);
  const auto& name = rows.front().batch;
  const bool batch = !name.empty() && (rows.size() > 1 || (what && *what == name));
  if (batch && !what && !context.dry_run) {
    session.require_yes(
        fmt::format("The newest entry belongs to an import: all {} entries of it would be taken "
                    "back.",
                    rows.size()),
        "shearpin undo " + name);
  }
  const std::string note = arguments.text("note").value_or("");
  std::vector<EntryId> undone;
  if (batch) {
    undone = session.transaction().undo_batch(name, note);
  } else {
    undone.push_back(session.transaction().undo(rows.front().id, note));
  }
  session.commit(undone);
  const char* verb = context.dry_run ? "Would take back" : "Took back";
  if (context.format == Format::json) {
    context.out << report::json_text({}, {{"recorded", !context.dry_run}, {"entries", undone}});
    return kDone;
  }
  if (batch) {
    context.out << fmt::format(
        "{} the whole import {}: {}.\n", verb, name,
        undone.size() == 1 ? "1 entry" : fmt::format("{} entries", undone.size()));
    return kDone;
  }
  context.out << report::wrap_text(fmt::format("{} entry {} of {}: {}", verb, rows.front().id.value,
                                               shearpin::to_text(rows.front().draft.happened),
                                               session.texts_of(rows).front()));
  context.out << fmt::format("  Entry {}; to bring it back: shearpin undo {}\n",
                             undone.front().value, undone.front().value);
  return kDone;
}

std::string state_of(const ledger::JournalRow& row) {
  return row.reversed_by ? fmt::format("taken back by {}", row.reversed_by->value) +
                               (row.revived_by ? fmt::format(", back by {}", row.revived_by->value)
                                               : std::string())
                         : std::string();
}

/// A row of the journal with what it says in words.
struct ToldRow {
  ledger::JournalRow row;
  std::string text;
};

Row journal_row(const ToldRow& told) {
  const auto& [row, text] = told;
  return {{"entry", row.id},
          {"uuid", row.uuid},
          {"written_utc", row.written},
          {"recorded", row.draft.recorded},
          {"happened", row.draft.happened},
          {"kind", domain::to_text(row.draft.kind)},
          {"who", row.who},
          {"note", row.draft.note},
          {"batch", row.batch},
          {"summary", text},
          {"reverses", row.reverses},
          {"reversed_by", row.reversed_by},
          {"revived_by", row.revived_by},
          {"in_force", row.live}};
}

int run_journal(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::read);
  ledger::JournalQuery query;
  const auto most = static_cast<std::size_t>(
      parse_count(arguments.text("last").value_or(arguments.flag("all") ? "0" : "20"), "rows", 0));
  query.limit = most > 0 ? most + 1 : 0;  // one more tells whether there are more
  if (const auto from = arguments.text("from")) {
    query.from = parse_date(*from, session.today());
  }
  if (const auto to = arguments.text("to")) {
    query.to = parse_date(*to, session.today());
  } else if (context.as_of) {
    query.to = context.as_of;
  }
  if (const auto batch = arguments.text("batch")) {
    query.batch = *batch;
  }
  auto rows = session.ledger().journal(query);
  const bool more = most > 0 && rows.size() > most;
  if (more) {
    rows.pop_back();
  }
  const auto texts = session.texts_of(rows);
  const auto told = [&] {
    std::vector<ToldRow> all;
    for (std::size_t i = 0; i < rows.size(); ++i) {
      all.push_back({rows[i], texts[i]});
    }
    return all;
  };
  put(context,
      {[&]() -> std::string {
         if (rows.empty()) {
           return "No entries.\n";
         }
         const bool undone = std::any_of(
             rows.begin(), rows.end(), [](const auto& row) { return row.reversed_by.has_value(); });
         std::vector<report::Column> columns = {{"entry", report::Align::right},
                                                {"day", report::Align::left},
                                                {"what", report::Align::left, true}};
         if (undone) {
           columns.push_back({"", report::Align::left});
         }
         report::TextTable table(columns);
         for (std::size_t i = 0; i < rows.size(); ++i) {
           const auto& row = rows[i];
           const std::string& note = row.draft.note;
           std::vector<std::string> cells = {std::to_string(row.id.value),
                                             shearpin::to_text(row.draft.happened),
                                             texts[i] + (note.empty() ? "" : " (" + note + ")")};
           if (undone) {
             cells.push_back(state_of(row));
           }
           table.add_row(std::move(cells));
         }
         return table.to_text(context.width) +
                (more ? fmt::format("The newest {}; all of them: shearpin journal --all\n",
                                    rows.size())
                      : std::string());
       },
       [&] {
         return report::json_text({}, {{"entries", report::each(told(), journal_row)}});
       },
       [&] {
         return report::csv_table(
             "entry,happened,recorded,written_utc,kind,summary,note,batch,reverses,reversed_by",
             told(), journal_row);
       }});
  return kDone;
}

Row finding_row(const ledger::Finding& finding) {
  return {{"check", finding.check}, {"detail", finding.detail}};
}

int run_verify(const Arguments& arguments, Context& context) {
  const auto ledger = open_ledger(context, Ledger::Mode::read);
  const auto report = ledger.verify();
  put(context, {[&] {
                  std::string text;
                  for (const auto& check : report.checks_done) {
                    text += report::wrap_text("checked: " + check);
                  }
                  for (const auto& finding : report.findings) {
                    text += report::wrap_text("WRONG, " + finding.check + ": " + finding.detail);
                  }
                  return text + (report.findings.empty()
                                     ? "The ledger is sound.\n"
                                     : fmt::format("{} found wrong. Keep a copy of the file "
                                                   "before anything else.\n",
                                                   report.findings.size()));
                },
                [&] {
                  return report::json_text(
                      {}, {{"sound", report.findings.empty()},
                           {"checks", report.checks_done},
                           {"findings", report::each(report.findings, finding_row)}});
                }});
  if (report.findings.empty()) {
    return kDone;
  }
  return arguments.flag("check") ? kDue : kLedgerFile;
}

int run_backup(const Arguments& arguments, Context& context) {
  const std::string file = arguments.required("FILE");
  if (file.empty()) {
    throw InputError("backup needs a file name; example: shearpin backup ledger-2026-05-25.db");
  }
  const auto ledger = open_ledger(context, Ledger::Mode::read);
  if (context.dry_run) {
    context.out << fitted_to(fmt::format("Would copy {} to {}.", context.ledger.string(), file),
                             context.width);
    return kDone;
  }
  ledger.backup(file);
  context.kept = fmt::format("the copy {} was made", file);
  context.out << fitted_to(
      fmt::format("Copied {} to {}.\nTo look at the copy: shearpin --ledger {} now",
                  context.ledger.string(), file, file),
      context.width);
  return kDone;
}

/// The rows of `policy show [WORD]`: all, that of a key, or those whose key holds the word.
std::vector<domain::PolicyRow> rows_called(const std::optional<std::string>& word) {
  std::vector<domain::PolicyRow> found;
  for (const auto& row : domain::policy_rows()) {
    if (!word || row.key.find(lower_case(*word)) != std::string::npos) {
      found.push_back(row);
    }
  }
  if (found.empty()) {
    throw InputError(fmt::format(
        "no policy is called {}; all of them: shearpin policy show; one: policy show {}",
        shearpin::quoted(*word), domain::policy_rows().front().key));
  }
  return found;
}

/// "95%" is 0.95 where the number is a chance or a share; else as parse_number.
double policy_number(const std::string& key, const std::string& typed) {
  const bool percent = !typed.empty() && typed.back() == '%';
  for (const auto& row : domain::policy_rows()) {
    if (percent && row.key == key && row.most <= 1) {
      return parse_number(typed.substr(0, typed.size() - 1), "policy value") / 100;
    }
  }
  return parse_number(typed, "policy value");
}

int run_policy_show(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::read);
  const auto shown = rows_called(arguments.text("KEY"));
  const auto policy = session.snapshot(session.day(), {{}, {}, true}).policy;
  put(context, {[&] {
                  report::TextTable table;
                  for (const auto& row : shown) {
                    table.add({{report::left("policy"), row.key},
                               {report::right("value"), plain_number(row.in(policy))},
                               {report::left(""), policy.is_own(row.key) ? "yours" : ""},
                               {report::wide("means"),
                                fmt::format("{} ({}; {})", row.meaning, row.unit, row.source)}});
                  }
                  return table.to_text(context.width) +
                         "To change one: shearpin policy set target-degraded 0.95\n";
                },
                [&] {
                  std::vector<Row> rows;
                  for (const auto& row : shown) {
                    rows.push_back({{"key", row.key},
                                    {"value", row.in(policy)},
                                    {"shipped", row.shipped()},
                                    {"changed", policy.is_own(row.key)},
                                    {"unit", row.unit},
                                    {"meaning", row.meaning},
                                    {"source", row.source}});
                  }
                  return report::json_text({}, {{"policy", rows}});
                }});
  return kDone;
}

int run_policy_set(const Arguments& arguments, Context& context) {
  Session session(context, Ledger::Mode::write);
  const std::string key = lower_case(arguments.required("KEY"));
  domain::EntryDraft draft;
  draft.kind = domain::EntryKind::policy;
  draft.happened = session.on(arguments.text("on"));
  domain::Policy check;
  std::optional<double> number;
  if (!arguments.flag("shipped")) {
    number = policy_number(key, arguments.required("VALUE"));
  }
  check.set(key, number);  // refuses a key that there is not
  draft.policies.push_back({key, number});
  const std::string value = number ? plain_number(*number) : "the shipped value";
  const auto entries = session.record({draft});
  context.out << fmt::format("{} {} to {}.\n", context.dry_run ? "Would set" : "Set", key, value)
              << undo_line(context, entries);
  return kDone;
}

}  // namespace

CommandSpec undo_command() {
  CommandSpec spec;
  spec.name = "undo";
  spec.group = kField;
  spec.summary = "Take an entry (or a whole import) back by a new reversing entry";
  spec.details =
      "Without ENTRY the newest one. Where a later entry depends on it, it is refused and those "
      "are "
      "named. An undo can itself be taken back.\n\nExamples:\n  shearpin undo\n  shearpin undo 214";
  spec.positionals = {{"ENTRY", "entry number or import batch (the newest entry)", false}};
  spec.options = {{"note", "TEXT", "why", false}};
  spec.run = run_undo;
  return spec;
}

CommandSpec journal_command() {
  CommandSpec spec;
  spec.name = "journal";
  spec.group = kSafe;
  spec.summary = "The list of entries, newest first";
  spec.details = "Example:\n  shearpin journal --last 50";
  spec.options = {{"last", "N", "so many rows (20)", false},
                  {"all", "", "all rows", false},
                  {"from", "DATE", "things that happened on or after DATE", false},
                  {"to", "DATE", "... on or before DATE", false},
                  {"batch", "ID", "entries of one import", false}};
  spec.run = run_journal;
  return spec;
}

CommandSpec verify_command() {
  CommandSpec spec;
  spec.name = "verify";
  spec.group = kSafe;
  spec.summary = "Recompute everything derived and compare";
  spec.details = "Exit 4 when something is wrong (10 with --check).\n\nExample:\n  shearpin verify";
  spec.options = {{"check", "", "exit 10 instead of 4 when something is wrong", false}};
  spec.run = run_verify;
  return spec;
}

CommandSpec backup_command() {
  CommandSpec spec;
  spec.name = "backup";
  spec.group = kSafe;
  spec.summary = "A consistent copy of the ledger; never overwrites";
  spec.details = "Example:\n  shearpin backup /media/stick/ledger-2026-05-25.db";
  spec.positionals = {{"FILE", "the copy to make"}};
  spec.run = run_backup;
  return spec;
}

CommandSpec policy_command() {
  CommandSpec show;
  show.name = "show";
  show.summary = "Every number of the model, and which are yours";
  show.positionals = {{"KEY", "one of them, or a part of its key (all)", false}};
  show.run = run_policy_show;
  CommandSpec set;
  set.name = "set";
  set.summary = "Change one";
  set.details = "Example:\n  shearpin policy set target-degraded 0.95";
  set.positionals = {{"KEY", "as in policy show"}, {"VALUE", "the new number", false}};
  set.options = {{"shipped", "", "back to the shipped value", false},
                 {"on", "DATE", "day the entry is about (today)", false}};
  set.run = run_policy_set;
  CommandSpec spec;
  spec.name = "policy";
  spec.group = kSafe;
  spec.summary = "The targets, costs and beliefs advice rests on (show, set)";
  spec.children = {show, set};
  return spec;
}

}  // namespace shearpin::cli
