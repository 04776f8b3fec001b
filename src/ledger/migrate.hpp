#pragma once
/// The schema of a new ledger, and bringing older ledgers to it.

#include <string>

#include "ledger/database.hpp"

namespace shearpin::ledger {

/// "SHPN": what PRAGMA application_id of a ledger holds.
inline constexpr std::int64_t kApplicationId = 0x5348504e;

/// All of the newest schema, made from the columns of the tables.
std::string schema();

/// PRAGMA user_version; the same for application_id.
std::int64_t schema_of(const Database& database);
std::int64_t application_of(const Database& database);

/// Gives an empty file the schema, or brings a ledger of schema `from` to it; all or nothing. Sets
/// user_version and application_id.
void migrate(const Database& database, std::int64_t from);

}  // namespace shearpin::ledger
