#pragma once
/// The tables of master data, made from the columns of each kind: schema, statements, and rows as
/// things and back.

#include <span>
#include <string>
#include <vector>

#include "ledger/columns.hpp"

namespace shearpin::ledger {

/// One table of master data. `entry` added a thing, `changed_by` changed it last; `gone` is 1 while
/// the adding is undone. Fields are the other columns, in the order of cells_of.
struct MasterSql {
  std::string_view kind;  ///< table, and the word in change lines
  std::vector<const char*> fields;
  std::vector<Cell> plain;  ///< what each field holds where no change line says otherwise
  std::vector<Reference> references;
  std::string own_key;                      ///< what tells the things that are not gone apart
  std::string (*schema)(const MasterSql&);  ///< table, index and triggers
  std::string all;     ///< id and fields of every thing of which gone is at most ?1
  std::string every;   ///< id, entry, gone and fields, those that are gone too
  std::string one;     ///< the same of one id
  std::string key;     ///< of one id that is not gone
  std::string values;  ///< fields and id, as a row of one
  std::string find;    ///< id by key (substitute: by part, stands_for and only_at)
  std::string insert;  ///< id or null, entry, fields
  std::string update;  ///< entry, fields, id
};

/// In the order of domain::Master, so that its index() finds the row. The same objects at every
/// call: statements are cached by the address of their text.
std::span<const MasterSql> master_tables();
/// nullptr for a table of something else.
const MasterSql* master_table(std::string_view kind);

/// The fields in the order of the table, without the id.
std::vector<Cell> cells_of(const domain::Master& thing);
domain::Master thing_of(const Database& database, const MasterSql& table, std::int64_t id,
                        const std::vector<Cell>& cells);

/// Reads id and fields from the columns of a row. For every kind of domain::Master.
template <class Thing>
void read_row(Query& row, Thing& thing);

}  // namespace shearpin::ledger
