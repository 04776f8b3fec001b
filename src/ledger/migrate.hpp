#pragma once
/// Numbered schema migrations.

#include <span>

#include "ledger/database.hpp"

namespace shearpin::ledger {

/// "SHPN": what PRAGMA application_id of a ledger holds.
inline constexpr std::int64_t kApplicationId = 0x5348504e;

/// Migration n is at index n - 1.
std::span<const char* const> migrations();

/// PRAGMA user_version; the same for application_id.
std::int64_t schema_of(const Database& database);
std::int64_t application_of(const Database& database);

/// Runs the migrations after `from`, all or none, and sets user_version and application_id.
void migrate(const Database& database, std::int64_t from);

}  // namespace shearpin::ledger
