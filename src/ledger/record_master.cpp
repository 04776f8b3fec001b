// Master data and policy: the row of the table and its change lines.

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

#include "ledger/master_columns.hpp"
#include "ledger/master_lines.hpp"
#include "ledger/names.hpp"
#include "ledger/record.hpp"

namespace shearpin::ledger {
namespace {

constexpr const char* kInsertChange =
    "INSERT INTO change (entry, kind, object, field, added, old, new)"
    " VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)";
constexpr const char* kInsertPolicy = "INSERT INTO policy (entry, key, value) VALUES (?1, ?2, ?3)";
constexpr const char* kKnownNote = "SELECT 1 FROM safety_note WHERE key = ?1 AND gone = 0";

/// NULL, empty text and nought: what a field has when no change line says otherwise.
bool is_plain(const Cell& cell) {
  return cell == Cell{} || cell == Cell{std::string()} || cell == Cell{std::int64_t{0}} ||
         cell == Cell{0.0};
}

void insert_change(const Database& database, EntryId entry, const char* kind, std::int64_t object,
                   const char* field, bool added, const Cell& before, const Cell& after) {
  database.query(kInsertChange).with(entry, kind, object, field, added, before, after).run();
}

template <class IdType>
void require_if(const Database& database, const std::optional<IdType>& id) {
  if (id) require(database, *id);
}

void require_references(const Database&, const domain::Rig&) {}
void require_references(const Database&, const domain::Supplier&) {}
void require_references(const Database&, const domain::SafetyNote&) {}
void require_references(const Database& database, const domain::ComponentClass& c) {
  if (c.safety_note.empty()) return;
  Query row = database.query(kKnownNote);
  row.with(c.safety_note);
  if (!row.next()) {
    throw InputError(
        fmt::format("class {}: there is no safety note \"{}\". Add it first, or leave "
                    "it out.",
                    c.key, c.safety_note));
  }
}
void require_references(const Database& database, const domain::Part& part) {
  require_if(database, part.component_class);
  require_if(database, part.supplier);
  require_if(database, part.home_bin);
}
void require_references(const Database& database, const domain::Substitute& substitute) {
  require(database, substitute.part);
  require(database, substitute.stands_for);
  require_if(database, substitute.only);
}
void require_references(const Database& database, const domain::Position& position) {
  require(database, position.rig);
  require_if(database, position.part);
  require_if(database, position.component_class);
  require_if(database, position.meter);
  require_if(database, position.usual_meter);
}
void require_references(const Database& database, const domain::Meter& meter) {
  require(database, meter.rig);
}
void require_references(const Database& database, const domain::Bin& bin) {
  require_if(database, bin.rig);
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

void refuse_taken_key(const Database& database, const domain::Master& thing, const char* kind) {
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
    if (i > 0 && is_plain(cells[i])) continue;
    insert_change(database, entry, table.kind, id, table.fields[i], true, {}, cells[i]);
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
  if (read_cells(database, after.index(), *id) != cells_of(before)) {
    throw InputError(
        fmt::format("{} {} was changed by somebody else meanwhile. Look at it with "
                    "`{} show` and repeat the command.",
                    table.kind, title(database, before), table.kind));
  }
  if (!write_cells(database, entry, after.index(), *id, cells_of(after))) {
    throw InputError(fmt::format("{} {} has these values already; nothing was changed.", table.kind,
                                 title(database, before)));
  }
  return *id;
}

}  // namespace

std::vector<Cell> read_cells(const Database& database, std::size_t table, std::int64_t id) {
  std::vector<Cell> cells;
  Query row = database.query(master_tables()[table].one.c_str());
  row.with(id);
  if (!row.next()) return cells;
  row.skip();
  for (std::size_t i = 0; i < master_tables()[table].fields.size(); ++i)
    cells.push_back(row.cell());
  return cells;
}

bool write_cells(const Database& database, EntryId entry, std::size_t table, std::int64_t id,
                 const std::vector<Cell>& cells) {
  const MasterSql& sql = master_tables()[table];
  const std::vector<Cell> before = read_cells(database, table, id);
  if (before.size() != cells.size()) throw std::logic_error("a thing that is not there is changed");
  bool changed = false;
  for (std::size_t i = 0; i < cells.size(); ++i) {
    if (before[i] == cells[i]) continue;
    changed = true;
    insert_change(database, entry, sql.kind, id, sql.fields[i], false, before[i], cells[i]);
  }
  if (!changed) return false;
  Query row = database.query(sql.update.c_str());
  row.with(entry);
  for (const Cell& cell : cells) row.bind(cell);
  row.with(id);
  row.run();
  return true;
}

void Recorder::write_masters() {
  for (const domain::MasterLine& line : draft_.masters) {
    std::visit([this](const auto& value) { require_references(database_, value); }, line.after);
    created_.masters.push_back(line.before ? set_master(database_, entry_, *line.before, line.after)
                                           : add_master(database_, entry_, line.after));
  }
}

void Recorder::write_policies() {
  for (const domain::PolicyLine& line : draft_.policies) {
    domain::Policy{}.set(line.key, line.value);  // refuses what there is not
    database_.query(kInsertPolicy).with(entry_, line.key, line.value).run();
  }
}

}  // namespace shearpin::ledger
