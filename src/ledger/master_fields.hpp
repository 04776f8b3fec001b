#pragma once
/// Master data as cells of a table row, and back.

#include <vector>

#include "ledger/database.hpp"
#include "shearpin/domain/draft.hpp"

namespace shearpin::ledger {

/// The fields in the order of master_tables(), without the id.
std::vector<Cell> cells_of(const domain::Master& thing);

/// Reads id and fields from the columns of a row.
void read_row(Query& row, domain::Rig& rig);
void read_row(Query& row, domain::ComponentClass& component_class);
void read_row(Query& row, domain::Part& part);
void read_row(Query& row, domain::Substitute& substitute);
void read_row(Query& row, domain::Position& position);
void read_row(Query& row, domain::Meter& meter);
void read_row(Query& row, domain::Bin& bin);
void read_row(Query& row, domain::Supplier& supplier);
void read_row(Query& row, domain::SafetyNote& note);

/// Words in one cell, a line each.
std::string lines_of(const std::vector<std::string>& words);
std::vector<std::string> words_of(const std::string& lines);

}  // namespace shearpin::ledger
