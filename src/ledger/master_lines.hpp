#pragma once
/// Rows of master data as cells, changed only beside change lines.

#include <vector>

#include "ledger/database.hpp"

namespace shearpin::ledger {

/// The fields of a thing that is not gone, in the order of its table; empty when it is gone.
std::vector<Cell> read_cells(const Database& database, std::size_t table, std::int64_t id);

/// Gives the thing these fields and writes a change line for each that differs. False: none does.
bool write_cells(const Database& database, EntryId entry, std::size_t table, std::int64_t id,
                 const std::vector<Cell>& cells);

}  // namespace shearpin::ledger
