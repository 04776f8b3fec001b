#include "ledger/dependents.hpp"

#include <fmt/format.h>

#include "ledger/master_columns.hpp"
#include "ledger/sql_live.hpp"
#include "ledger/tables.hpp"

namespace shearpin::ledger {
namespace {

constexpr const char* kTestsOfUnits =
    "SELECT DISTINCT x.entry FROM unit_begin AS b"
    " CROSS JOIN test AS x ON x.position = b.position AND x.unit = b.unit"
    " CROSS JOIN entry AS e ON e.id = x.entry"
    " WHERE b.entry = ?2 AND x.entry <> ?2 AND " SHEARPIN_SQL_LIVE_BUT
    // On one day things happened in the order they were written down.
    " AND (e.happened, x.entry) > (SELECT happened, id FROM entry WHERE id = ?2)"
    " AND NOT EXISTS (SELECT 1 FROM unit_end AS z JOIN entry AS ended ON ended.id = z.entry"
    "                 WHERE z.unit = b.id"
    "                 AND (ended.happened, z.entry) < (e.happened, x.entry))"
    " ORDER BY x.entry";
constexpr const char* kLaterChanges =
    "SELECT DISTINCT later.entry FROM change AS mine"
    " JOIN change AS later ON later.kind = mine.kind AND later.object = mine.object"
    "  AND later.field = mine.field AND later.entry > mine.entry AND later.added = 0"
    " JOIN entry AS e ON e.id = later.entry"
    " WHERE mine.entry = ?2 AND mine.added = 0 AND e.root IS NULL AND " SHEARPIN_SQL_LIVE_BUT
    " ORDER BY later.entry";
constexpr const char* kLaterPolicies =
    "SELECT DISTINCT later.entry FROM policy AS mine"
    " JOIN policy AS later ON later.key = mine.key AND later.entry > mine.entry"
    " JOIN entry AS e ON e.id = later.entry"
    " WHERE mine.entry = ?2 AND " SHEARPIN_SQL_LIVE_BUT " ORDER BY later.entry";

/// A row of `table` refers to a row of `to`.
struct Link {
  const char* table;
  bool master;
  Reference to;
};

std::vector<Link> all_links() {
  std::vector<Link> links;
  for (const LineKind& kind : line_kinds()) {
    for (const Table* table : kind.tables) {
      for (const Reference& to : table->references()) links.push_back({table->name(), false, to});
    }
  }
  for (const MasterSql& table : master_tables()) {
    for (const Reference& to : table.references) links.push_back({table.kind.data(), true, to});
  }
  return links;
}

/// Entries that use a thing: live lines, things that are not gone, and its later changes. ?1 the
/// entry being turned over (it added the thing), ?2 the thing. Reversals carry change lines too;
/// they are never in the way of taking an entry back.
std::string users_sql(const MasterSql& table) {
  std::string users;
  for (const Link& link : all_links()) {
    if (link.to.table != table.kind) continue;
    users += fmt::format("SELECT {} FROM {} WHERE {}{} = ?2 UNION ",
                         link.master ? "changed_by" : "entry", link.table,
                         link.master ? "gone = 0 AND " : "", link.to.column);
  }
  if (table.kind == "safety_note") {
    users +=
        "SELECT changed_by FROM class WHERE gone = 0"
        " AND safety_note = (SELECT key FROM safety_note WHERE id = ?2) UNION ";
  }
  return fmt::format(
      "SELECT e.id FROM entry AS e WHERE e.id IN ({}SELECT entry FROM change WHERE kind = '{}'"
      " AND object = ?2 AND added = 0) AND e.id <> ?1 AND e.root IS NULL"
      " AND " SHEARPIN_SQL_LIVE_BUT " ORDER BY e.id",
      users, table.kind);
}

/// Kind and key of gone things that lines or things of entry ?1 refer to.
std::string gone_sql() {
  constexpr const char* kOwn = "x.gone = 0 AND (x.entry = ?1 OR x.changed_by = ?1)";
  std::string text;
  for (const Link& link : all_links()) {
    if (master_table(link.to.table) == nullptr) continue;
    text += fmt::format(
        "SELECT '{0}', t.key FROM {1} AS x JOIN {0} AS t ON t.id = x.{2} AND t.gone = 1"
        " WHERE {3} UNION ",
        link.to.table, link.table, link.to.column, link.master ? kOwn : "x.entry = ?1");
  }
  return text + fmt::format(
                    "SELECT 'safety_note', t.key FROM class AS x"
                    " JOIN safety_note AS t ON t.key = x.safety_note AND t.gone = 1"
                    " WHERE {} AND NOT EXISTS"
                    " (SELECT 1 FROM safety_note AS s WHERE s.key = t.key AND s.gone = 0)"
                    " ORDER BY 1, 2",
                    kOwn);
}

/// Entries of a statement whose ?1 is the entry turned over and ?2 the thing asked about.
void add_entries(const Question& ask, const char* sql, std::int64_t about, std::string what,
                 std::vector<Conflict>& found) {
  std::vector<EntryId> entries;
  Query row = ask.database.query(sql);
  row.with(ask.but, about);
  while (row.next()) entries.push_back(row.id<EntryTag>());
  if (!entries.empty()) found.push_back({std::move(what), std::move(entries)});
}

/// Who refers to the things that an entry added.
void check_added(const Question& ask, const EntryLines& lines, std::vector<Conflict>& found) {
  static const std::vector<std::string> users = [] {
    std::vector<std::string> all;
    for (const MasterSql& table : master_tables()) all.push_back(users_sql(table));
    return all;
  }();
  for (std::size_t i = 0; i < lines.draft.masters.size(); ++i) {
    const domain::MasterLine& line = lines.draft.masters[i];
    if (line.before) continue;
    const std::size_t table = line.after.index();
    add_entries(ask, users[table].c_str(), lines.made.masters[i],
                fmt::format("the {} is referred to", master_tables()[table].kind), found);
  }
}

}  // namespace

std::vector<Conflict> conflicts_of_turning(const Database& database, EntryId root, EntryId by,
                                           bool going) {
  const Question ask{database, root, root};
  const EntryLines lines = read_entry(database, root);
  const Touched touched = touched_by(database, lines.draft, lines.made);
  const Date day = lines.draft.happened;
  std::vector<Conflict> found;
  for (const LotLocation& location : touched.locations) {
    check_location(ask, location, {day}, found);
  }
  check_places(ask, touched, found);
  check_others(ask, touched, day, found);
  add_entries(ask, kLaterChanges, by.value, "the same field was changed again", found);
  if (!going) return found;  // what follows matters only when an entry goes
  add_entries(ask, kTestsOfUnits, root.value, "the unit it fitted was tested", found);
  add_entries(ask, kLaterPolicies, root.value, "the same number was changed again", found);
  check_added(ask, lines, found);
  return found;
}

std::vector<std::string> gone_references(const Database& database, EntryId entry) {
  std::vector<std::string> keys;
  static const std::string sql = gone_sql();
  Query row = database.query(sql.c_str());
  row.with(entry);
  while (row.next()) {
    const std::string kind = row.text();
    keys.push_back(kind + " " + row.text());
  }
  return keys;
}

}  // namespace shearpin::ledger
