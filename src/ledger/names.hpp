#pragma once
/// Names of things for messages, and whether they are still there.

#include <optional>
#include <span>
#include <string>

#include "ledger/columns.hpp"

namespace shearpin::ledger {

/// The key of a thing that is not gone; none otherwise.
std::optional<std::string> find_key(const Database& database, const char* table, std::int64_t id);

/// InputError unless the thing is there and not gone. Lines of entries are never gone, and a number
/// that is missing is not asked about.
void require_there(const Database& database, const char* table, const Cell& id);

/// The key, or `?` where there is none.
template <class Tag>
std::string key_of(const Database& database, Id<Tag> id) {
  return find_key(database, table_of(id), id.value).value_or("?");
}

/// `l21`, or `l05/3` where the position has several units.
std::string place_name(const Database& database, PositionId position, int unit);

/// `p25 of batch VB-07`, or the part alone.
std::string lot_name(const Database& database, LotId lot);

/// `entry 214 (use, 2024-06-11)`.
std::string entry_name(const Database& database, EntryId entry);
/// Several of them, at most eight spelt out.
std::string entry_names(const Database& database, std::span<const EntryId> entries);

}  // namespace shearpin::ledger
