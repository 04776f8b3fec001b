// Lines of master data (the row of the table and its change lines) and of policy.

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

#include "ledger/master_lines.hpp"
#include "ledger/names.hpp"

namespace shearpin::ledger {
namespace {

constexpr const char* kKnownNote = "SELECT 1 FROM safety_note WHERE key = ?1 AND gone = 0";
constexpr const char* kEarlier =
    "SELECT field, new FROM change WHERE kind = ?1 AND object = ?2 AND id < ?3 ORDER BY id";

const LineTable<domain::PolicyLine>& policy_table() {
  using T = domain::PolicyLine;
  static const LineTable<T> table(
      {"policy"}, {column<T, &T::key>("key", "<> ''"), column<T, &T::value>("value")});
  return table;
}

void require_references(const Database& database, const MasterSql& table,
                        const std::vector<Cell>& cells) {
  for (const Reference& reference : table.references) {
    require_there(database, reference.table, cells[field_of(database, table, reference.column)]);
  }
  if (table.kind != "class") return;
  const Cell& note = cells[field_of(database, table, "safety_note")];
  if (note == Cell{std::string()}) return;
  Query row = database.query(kKnownNote);
  row.with(note);
  if (!row.next()) {
    throw InputError(
        fmt::format("class {}: there is no safety note \"{}\". Add it first, or leave "
                    "it out.",
                    std::get<std::string>(cells.front()), std::get<std::string>(note)));
  }
}

/// The name people know the thing by.
std::string title(const Database& database, const domain::Master& thing) {
  return std::visit(
      [&database](const auto& value) {
        if constexpr (std::is_same_v<std::decay_t<decltype(value)>, domain::Substitute>) {
          return key_of(database, value.part) + " for " + key_of(database, value.stands_for);
        } else {
          return value.key;
        }
      },
      thing);
}

/// The row of a thing that is there.
std::optional<std::int64_t> find(const Database& database, const domain::Master& thing) {
  Query row = database.query(master_tables()[thing.index()].find.c_str());
  if (const auto* substitute = std::get_if<domain::Substitute>(&thing)) {
    row.with(substitute->part, substitute->stands_for, substitute->only);
  } else {
    std::visit(
        [&row](const auto& value) {
          if constexpr (!std::is_same_v<std::decay_t<decltype(value)>, domain::Substitute>) {
            row.with(value.key);
          }
        },
        thing);
  }
  return row.next() ? std::optional(row.integer()) : std::nullopt;
}

void refuse_taken_key(const Database& database, const domain::Master& thing,
                      std::string_view kind) {
  throw InputError(
      fmt::format("{} {} is there already. Choose another key, or change it with `{} "
                  "set`.",
                  kind, title(database, thing), kind));
}

std::int64_t add_master(const Database& database, EntryId entry, const domain::Master& thing) {
  const MasterSql& table = master_tables()[thing.index()];
  if (find(database, thing)) refuse_taken_key(database, thing, table.kind);
  const std::vector<Cell> cells = cells_of(thing);
  std::int64_t id = 0;
  {
    Query row = database.query(table.insert.c_str());
    row.with(nullptr, entry);
    for (const Cell& cell : cells) row.bind(cell);
    row.run();
    id = database.last_id();
  }
  for (std::size_t i = 0; i < cells.size(); ++i) {
    // The first field is always written: it says which entry added the thing.
    if (i > 0 && cells[i] == table.plain[i]) continue;
    change_table().write(database, entry,
                         {std::string(table.kind), id, table.fields[i], true, {}, cells[i]});
  }
  return id;
}

std::int64_t set_master(const Database& database, EntryId entry, const domain::Master& before,
                        const domain::Master& after) {
  const MasterSql& table = master_tables()[after.index()];
  if (before.index() != after.index()) throw std::logic_error("a change of kind of master data");
  const auto id = find(database, before);
  if (!id) {
    throw InputError(fmt::format("{} {} is not in the ledger any more. See `{} list`.", table.kind,
                                 title(database, before), table.kind));
  }
  const auto taken = find(database, after);
  if (taken && *taken != *id) refuse_taken_key(database, after, table.kind);
  if (read_cells(database, table, *id) != cells_of(before)) {
    throw InputError(
        fmt::format("{} {} was changed by somebody else meanwhile. Look at it with "
                    "`{} show` and repeat the command.",
                    table.kind, title(database, before), table.kind));
  }
  if (!write_cells(database, entry, table, *id, cells_of(after))) {
    throw InputError(fmt::format("{} {} has these values already; nothing was changed.", table.kind,
                                 title(database, before)));
  }
  return *id;
}

void write_masters(Recording& to) {
  for (const domain::MasterLine& line : to.draft.masters) {
    require_references(to.database, master_tables()[line.after.index()], cells_of(line.after));
    to.created.masters.push_back(line.before
                                     ? set_master(to.database, to.entry, *line.before, line.after)
                                     : add_master(to.database, to.entry, line.after));
  }
}

/// Each line of a draft was written as change lines in the order of the fields.
class MasterReader {
 public:
  explicit MasterReader(Reading& from) : from_(from) {}

  void run() {
    change_table().each(from_.database, from_.low, from_.high,
                        [this](EntryId entry, std::int64_t number, ChangeRow row) {
                          take(entry, number, std::move(row));
                        });
    finish();
  }

 private:
  void take(EntryId entry, std::int64_t number, ChangeRow row) {
    const MasterSql* table = master_table(row.kind);
    if (table == nullptr) {
      throw_damaged(from_.database.path(), "a change of an unknown kind of master data");
    }
    const std::size_t field = field_of(from_.database, *table, row.field);
    if (entry != entry_ || row.kind != last_.kind || row.object != last_.object ||
        row.added != last_.added || field <= field_) {
      finish();
      table_ = table;
      cells_ = &before(row.object, number);
      line_ = &from_.entries[entry].draft.masters.emplace_back();
      if (!row.added) line_->before = thing_of(from_.database, *table, row.object, *cells_);
      from_.entries[entry].made.masters.push_back(row.object);
    }
    if (!row.added && row.before != (*cells_)[field]) {
      throw_damaged(from_.database.path(),
                    fmt::format("{} {} changed {} from a value it did not have", row.kind,
                                row.object, row.field));
    }
    (*cells_)[field] = row.after;
    entry_ = entry;
    field_ = field;
    last_ = std::move(row);
  }

  void finish() {
    if (line_ != nullptr) line_->after = thing_of(from_.database, *table_, last_.object, *cells_);
  }

  /// The fields of a thing just before the change line `number`.
  std::vector<Cell>& before(std::int64_t object, std::int64_t number) {
    const auto [found, is_new] = things_.try_emplace({table_, object}, table_->plain);
    if (!is_new) return found->second;
    Query row = from_.database.query(kEarlier);
    row.with(table_->kind, object, number);
    while (row.next()) {
      const std::string field = row.text();
      found->second[field_of(from_.database, *table_, field)] = row.cell();
    }
    return found->second;
  }

  Reading& from_;
  /// Things as they stand while their lines are read.
  std::map<std::pair<const MasterSql*, std::int64_t>, std::vector<Cell>> things_;
  const MasterSql* table_ = nullptr;
  std::vector<Cell>* cells_ = nullptr;
  domain::MasterLine* line_ = nullptr;  ///< of the draft, complete with its last change line
  EntryId entry_;
  std::size_t field_ = 0;
  ChangeRow last_;
};

void read_masters(Reading& from) { MasterReader(from).run(); }

void check_policy(const Recording&, const domain::PolicyLine& line) {
  domain::Policy{}.set(line.key, line.value);  // refuses what there is not
}

}  // namespace

const LineTable<ChangeRow>& change_table() {
  using T = ChangeRow;
  static const LineTable<T> table(
      {"change",
       {},
       {"(kind, object, field)"},
       "CHECK (added = 0 OR old IS NULL),\n  CHECK (added = 1 OR old IS NOT new)"},
      {column<T, &T::kind>("kind",
                           "IN ('rig', 'class', 'supplier', 'bin', 'meter', 'part',"
                           " 'position', 'substitute', 'safety_note')"),
       column<T, &T::object>("object"), column<T, &T::field>("field"),
       column<T, &T::added>("added"), column<T, &T::before>("old"), column<T, &T::after>("new")});
  return table;
}

std::vector<LineKind> master_kinds() {
  return {{{&change_table()}, write_masters, read_masters},
          plain_kind<policy_table, &domain::EntryDraft::policies, check_policy>()};
}

std::size_t field_of(const Database& database, const MasterSql& table, std::string_view field) {
  const auto found = std::find(table.fields.begin(), table.fields.end(), field);
  if (found == table.fields.end()) {
    throw_damaged(database.path(), fmt::format("a {} with a field {}", table.kind, field));
  }
  return static_cast<std::size_t>(found - table.fields.begin());
}

std::vector<Cell> read_cells(const Database& database, const MasterSql& table, std::int64_t id) {
  std::vector<Cell> cells;
  Query row = database.query(table.one.c_str());
  row.with(id);
  if (!row.next()) return cells;
  row.skip();
  for (std::size_t i = 0; i < table.fields.size(); ++i) cells.push_back(row.cell());
  return cells;
}

bool write_cells(const Database& database, EntryId entry, const MasterSql& table, std::int64_t id,
                 const std::vector<Cell>& cells) {
  const std::vector<Cell> before = read_cells(database, table, id);
  if (before.size() != cells.size()) throw std::logic_error("a thing that is not there is changed");
  bool changed = false;
  for (std::size_t i = 0; i < cells.size(); ++i) {
    if (before[i] == cells[i]) continue;
    changed = true;
    change_table().write(
        database, entry,
        {std::string(table.kind), id, table.fields[i], false, before[i], cells[i]});
  }
  if (!changed) return false;
  Query row = database.query(table.update.c_str());
  row.with(entry);
  for (const Cell& cell : cells) row.bind(cell);
  row.with(id);
  row.run();
  return true;
}

}  // namespace shearpin::ledger
