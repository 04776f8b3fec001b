#include "ledger/names.hpp"

#include <fmt/format.h>

#include <vector>

#include "base/text.hpp"
#include "ledger/master_columns.hpp"

namespace shearpin::ledger {
namespace {

constexpr const char* kUnits = "SELECT key, units FROM position WHERE id = ?1";
constexpr const char* kLot =
    "SELECT p.key, l.batch FROM lot AS l JOIN part AS p ON p.id = l.part WHERE l.id = ?1";
constexpr const char* kEntry = "SELECT kind, happened FROM entry WHERE id = ?1";

constexpr std::size_t kMostNames = 8;

}  // namespace

std::optional<std::string> find_key(const Database& database, const char* table, std::int64_t id) {
  Query row = database.query(master_table(table)->key.c_str());
  row.with(id);
  return row.next() ? std::optional(row.text()) : std::nullopt;
}

void require_there(const Database& database, const char* table, const Cell& id) {
  const auto* number = std::get_if<std::int64_t>(&id);
  if (number == nullptr || master_table(table) == nullptr) return;
  if (find_key(database, table, *number)) return;
  throw InputError(
      fmt::format("the {0} (number {1}) is not in the ledger any more: its adding was "
                  "taken back. See `{0} list`.",
                  table, *number));
}

std::string place_name(const Database& database, PositionId position, int unit) {
  Query row = database.query(kUnits);
  row.with(position);
  if (!row.next()) return "?";
  const std::string key = row.text();
  return row.integer() > 1 ? fmt::format("{}/{}", key, unit) : key;
}

std::string lot_name(const Database& database, LotId lot) {
  Query row = database.query(kLot);
  row.with(lot);
  if (!row.next()) return "?";
  const std::string part = row.text();
  const std::string batch = row.text();
  return batch.empty() ? part : fmt::format("{} of batch {}", part, batch);
}

std::string entry_name(const Database& database, EntryId entry) {
  Query row = database.query(kEntry);
  row.with(entry);
  if (!row.next()) return fmt::format("entry {}", entry.value);
  const std::string kind = row.text();
  return fmt::format("entry {} ({}, {})", entry.value, kind, row.text());
}

std::string entry_names(const Database& database, std::span<const EntryId> entries) {
  std::vector<std::string> names;
  for (const EntryId entry : entries.first(std::min(entries.size(), kMostNames))) {
    names.push_back(entry_name(database, entry));
  }
  if (entries.size() > kMostNames) {
    names.push_back(fmt::format("{} more", entries.size() - kMostNames));
  }
  return join_words(names);
}

}  // namespace shearpin::ledger
