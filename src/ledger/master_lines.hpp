#pragma once
/// Rows of master data as cells, changed only beside change lines.

#include <vector>

#include "ledger/master_columns.hpp"
#include "ledger/tables.hpp"

namespace shearpin::ledger {

/// A field of a thing: its first value (added; fields left out are plain then), or its value before
/// and after.
struct ChangeRow {
  std::string kind;
  std::int64_t object = 0;
  std::string field;
  bool added = false;
  Cell before, after;
};
const LineTable<ChangeRow>& change_table();

/// The place of a field among the cells of its table; one that there is not is damage.
std::size_t field_of(const Database& database, const MasterSql& table, std::string_view field);

/// The fields of a thing that is not gone, in the order of its table; empty when it is gone.
std::vector<Cell> read_cells(const Database& database, const MasterSql& table, std::int64_t id);

/// Gives the thing these fields and writes a change line for each that differs. False: none does.
bool write_cells(const Database& database, EntryId entry, const MasterSql& table, std::int64_t id,
                 const std::vector<Cell>& cells);

}  // namespace shearpin::ledger
