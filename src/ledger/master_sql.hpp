#pragma once
/// The tables of master data and the statements on them, one row a kind.

#include <span>

#include "shearpin/domain/draft.hpp"

namespace shearpin::ledger {

/// Statements on one table of master data. Fields are in the order of its columns and of cells_of.
struct MasterSql {
  const char* kind;  ///< table, and the word in change lines
  std::span<const char* const> fields;
  const char* all;     ///< id and fields of every thing that is not gone
  const char* every;   ///< id, entry, gone and fields, those that are gone too
  const char* one;     ///< the same of one id
  const char* find;    ///< id by key (substitute: by part, stands_for and only_at)
  const char* insert;  ///< id or null, entry, fields
  const char* update;  ///< entry, fields, id
};

/// In the order of domain::Master, so that its index() finds the row.
std::span<const MasterSql> master_tables();

}  // namespace shearpin::ledger
