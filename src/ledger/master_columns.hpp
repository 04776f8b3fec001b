#pragma once
/// The tables of master data: their columns, declared once, the statements on them, and rows as
/// things and back.

#include <span>
#include <string>
#include <vector>

#include "ledger/database.hpp"
#include "shearpin/domain/draft.hpp"

namespace shearpin::ledger {

/// Statements on one table of master data. Fields are its columns in the order of cells_of.
struct MasterSql {
  const char* kind;  ///< table, and the word in change lines
  std::vector<const char*> fields;
  std::string all;     ///< id and fields of every thing that is not gone
  std::string every;   ///< id, entry, gone and fields, those that are gone too
  std::string one;     ///< the same of one id
  std::string find;    ///< id by key (substitute: by part, stands_for and only_at)
  std::string insert;  ///< id or null, entry, fields
  std::string update;  ///< entry, fields, id
};

/// In the order of domain::Master, so that its index() finds the row. The same objects at every
/// call: statements are cached by the address of their text.
std::span<const MasterSql> master_tables();

/// The fields in the order of the table, without the id.
std::vector<Cell> cells_of(const domain::Master& thing);

/// Reads id and fields from the columns of a row. For every kind of domain::Master.
template <class Thing>
void read_row(Query& row, Thing& thing);

/// Words in one cell, a line each.
std::string lines_of(const std::vector<std::string>& words);
std::vector<std::string> words_of(const std::string& lines);

}  // namespace shearpin::ledger
