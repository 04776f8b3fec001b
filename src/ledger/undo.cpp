// Taking entries back.

#include <SQLiteCpp/Exception.h>
#include <fmt/format.h>
#include <sqlite3.h>

#include <algorithm>

#include "base/text.hpp"
#include "ledger/dependents.hpp"
#include "ledger/master_lines.hpp"
#include "ledger/names.hpp"
#include "ledger/record.hpp"
#include "ledger/transaction_state.hpp"

namespace shearpin::ledger {
namespace {

constexpr const char* kEntry = "SELECT ifnull(root, id), depth, recorded FROM entry WHERE id = ?1";
constexpr const char* kTop =
    "SELECT id, depth, recorded FROM entry WHERE id = ?1 OR root = ?1 ORDER BY depth DESC LIMIT 1";
constexpr const char* kReversedBy = "SELECT id FROM entry WHERE reverses = ?1";
constexpr const char* kNewest = "SELECT ifnull(max(id), 0) FROM entry";
constexpr const char* kBatch = "SELECT id FROM entry WHERE batch = ?1 ORDER BY id DESC";

/// Where an entry stands in its chain of reversals.
struct Chain {
  EntryId entry, root, top;
  std::int64_t depth = 0, top_depth = 0;
  Date top_recorded;
  bool live() const { return (top_depth - depth) % 2 == 0; }
};

Chain chain_of(const Database& database, EntryId entry) {
  Chain chain;
  chain.entry = entry;
  {
    Query row = database.query(kEntry);
    row.with(entry);
    if (!row.next()) {
      Query newest = database.query(kNewest);
      newest.next();
      throw InputError(fmt::format("there is no entry {}; the newest is {}. See `journal`.",
                                   entry.value, newest.integer()));
    }
    chain.root = row.id<EntryTag>();
    chain.depth = row.integer();
  }
  Query row = database.query(kTop);
  row.with(chain.root);
  row.next();
  chain.top = row.id<EntryTag>();
  chain.top_depth = row.integer();
  chain.top_recorded = row.date();
  return chain;
}

/// InputError naming what depends on the entry or why it cannot come back.
void refuse_conflicts(const Database& database, const Chain& chain) {
  const bool going = chain.top_depth % 2 == 0;
  const std::vector<Conflict> found = conflicts_of_turning(database, chain.root, chain.top, going);
  if (found.empty()) return;
  std::vector<EntryId> entries;
  for (const Conflict& conflict : found) {
    for (const EntryId entry : conflict.entries) {
      if (entry != chain.root && (!going || entry > chain.root)) entries.push_back(entry);
    }
  }
  std::sort(entries.rbegin(), entries.rend());
  entries.erase(std::unique(entries.begin(), entries.end()), entries.end());
  const std::string name = entry_name(database, chain.root);
  if (!going) throw InputError(fmt::format("{} cannot come back: {}", name, found.front().what));
  if (entries.empty()) {
    throw InputError(fmt::format("{} cannot be taken back: {}", name, found.front().what));
  }
  throw InputError(
      fmt::format("{} cannot be taken back: {} {} on it. Take {} back first, newest "
                  "first: `undo {}`.",
                  name, entry_names(database, entries), entries.size() == 1 ? "depends" : "depend",
                  entries.size() == 1 ? "that" : "those", entries.front().value));
}

/// Gives fields the values they had before the entry `taken`; false where it changed none.
bool write_back(const Database& database, EntryId taken, EntryId reversal) {
  const EntryLines lines = read_entry(database, taken);
  bool any = false;
  for (std::size_t i = 0; i < lines.draft.masters.size(); ++i) {
    const domain::MasterLine& line = lines.draft.masters[i];
    if (!line.before) continue;
    any = true;
    const MasterSql& table = master_tables()[line.after.index()];
    std::vector<Cell> cells = read_cells(database, table, lines.made.masters[i]);
    if (cells.empty()) {
      throw InputError(
          fmt::format("the {} it changed is gone; bring that back first.", table.kind));
    }
    const std::vector<Cell> before = cells_of(*line.before);
    const std::vector<Cell> after = cells_of(line.after);
    for (std::size_t field = 0; field < cells.size(); ++field) {
      if (before[field] != after[field]) cells[field] = before[field];
    }
    write_cells(database, reversal, table, lines.made.masters[i], cells);
  }
  return any;
}

/// Writes the reversal and what follows from it; the triggers turn stock and added things over.
void turn(const Database& database, const Chain& chain, const EntryHead& head, EntryId& reversal) {
  bool restored = false;
  try {
    reversal = insert_entry(database, head);
    restored = write_back(database, chain.top, reversal);
  } catch (const SQLite::Exception& failure) {
    if (failure.getExtendedErrorCode() != SQLITE_CONSTRAINT_UNIQUE) throw;
    throw InputError(
        fmt::format("{} cannot be turned back: a key it needs is in use by something "
                    "else now. Rename that first.",
                    entry_name(database, chain.root)));
  }
  std::vector<std::string> gone;
  if (restored) gone = gone_references(database, reversal);
  if (chain.top_depth % 2 == 1) {
    const std::vector<std::string> own = gone_references(database, chain.root);
    gone.insert(gone.end(), own.begin(), own.end());
  }
  if (gone.empty()) return;
  throw InputError(
      fmt::format("{} cannot be turned back: that would refer to {}, whose adding was taken back. "
                  "Bring that back first.",
                  entry_name(database, chain.root), join_words(gone)));
}

}  // namespace

EntryId Ledger::Transaction::undo(EntryId entry, const std::string& note) {
  return state_->undo(entry, note, {});
}

EntryId Ledger::Transaction::State::undo(EntryId entry, const std::string& note,
                                         const std::string& batch) {
  return guarded(database.path(), "taking an entry back", [&] {
    check_text(note, "note", kLongestNote, true);
    Savepoint savepoint(database);
    const Chain chain = chain_of(database, entry);
    if (!chain.live()) {
      Query row = database.query(kReversedBy);
      row.with(entry);
      row.next();
      const std::int64_t by = row.integer();
      throw InputError(fmt::format("{} was already taken back by {}. To bring it back: `undo {}`.",
                                   entry_name(database, entry), entry_name(database, EntryId{by}),
                                   by));
    }
    refuse_conflicts(database, chain);
    EntryHead head;
    head.uuid = uuids.next();
    head.written = stamp.written;
    head.recorded = std::max(stamp.today, chain.top_recorded);
    head.happened = stamp.today;
    head.kind = to_text(domain::EntryKind::undo);
    head.who = stamp.who.value_or("");
    head.note = note;
    head.batch = batch;
    head.reverses = chain.top;
    head.root = chain.root;
    head.depth = chain.top_depth + 1;
    EntryId reversal;
    turn(database, chain, head, reversal);
    savepoint.keep();
    wrote(reversal);
    return reversal;
  });
}

std::vector<EntryId> Ledger::Transaction::undo_batch(const std::string& batch,
                                                     const std::string& note) {
  const Database& database = state_->database;
  return guarded(database.path(), "taking an import back", [&] {
    Savepoint savepoint(database);
    std::vector<EntryId> members;
    {
      Query row = database.query(kBatch);
      row.with(batch);
      while (row.next()) members.push_back(row.id<EntryTag>());
    }
    if (members.empty() || batch.empty()) {
      throw InputError(
          fmt::format("there is no import called {}. See `journal`.", shearpin::quoted(batch)));
    }
    std::vector<EntryId> reversals;
    for (const EntryId member : members) {
      if (!chain_of(database, member).live()) continue;
      reversals.push_back(state_->undo(member, note, "undo-" + batch));
    }
    if (reversals.empty()) {
      throw InputError(
          fmt::format("the import {} is taken back already.", shearpin::quoted(batch)));
    }
    savepoint.keep();
    return reversals;
  });
}

}  // namespace shearpin::ledger
