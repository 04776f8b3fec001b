#include "ledger/names.hpp"

#include <fmt/format.h>

#include <vector>

#include "base/text.hpp"

namespace shearpin::ledger {
namespace {

constexpr const char* kRig = "SELECT key FROM rig WHERE id = ?1 AND gone = 0";
constexpr const char* kClass = "SELECT key FROM class WHERE id = ?1 AND gone = 0";
constexpr const char* kPart = "SELECT key FROM part WHERE id = ?1 AND gone = 0";
constexpr const char* kPosition = "SELECT key FROM position WHERE id = ?1 AND gone = 0";
constexpr const char* kMeter = "SELECT key FROM meter WHERE id = ?1 AND gone = 0";
constexpr const char* kBin = "SELECT key FROM bin WHERE id = ?1 AND gone = 0";
constexpr const char* kSupplier = "SELECT key FROM supplier WHERE id = ?1 AND gone = 0";
constexpr const char* kUnits = "SELECT key, units FROM position WHERE id = ?1";
constexpr const char* kLot =
    "SELECT p.key, l.batch FROM lot AS l JOIN part AS p ON p.id = l.part WHERE l.id = ?1";
constexpr const char* kEntry = "SELECT kind, happened FROM entry WHERE id = ?1";

constexpr std::size_t kMostNames = 8;

std::optional<std::string> key(const Database& database, const char* sql, std::int64_t id) {
  Query row = database.query(sql);
  row.with(id);
  return row.next() ? std::optional(row.text()) : std::nullopt;
}

constexpr std::string_view word(RigId) { return "rig"; }
constexpr std::string_view word(ClassId) { return "class"; }
constexpr std::string_view word(PartId) { return "part"; }
constexpr std::string_view word(PositionId) { return "position"; }
constexpr std::string_view word(MeterId) { return "meter"; }
constexpr std::string_view word(BinId) { return "bin"; }
constexpr std::string_view word(SupplierId) { return "supplier"; }

}  // namespace

std::optional<std::string> find_key(const Database& d, RigId id) { return key(d, kRig, id.value); }
std::optional<std::string> find_key(const Database& d, ClassId id) {
  return key(d, kClass, id.value);
}
std::optional<std::string> find_key(const Database& d, PartId id) {
  return key(d, kPart, id.value);
}
std::optional<std::string> find_key(const Database& d, PositionId id) {
  return key(d, kPosition, id.value);
}
std::optional<std::string> find_key(const Database& d, MeterId id) {
  return key(d, kMeter, id.value);
}
std::optional<std::string> find_key(const Database& d, BinId id) { return key(d, kBin, id.value); }
std::optional<std::string> find_key(const Database& d, SupplierId id) {
  return key(d, kSupplier, id.value);
}

template <class Tag>
void require(const Database& database, Id<Tag> id) {
  if (find_key(database, id)) return;
  throw InputError(
      fmt::format("the {0} (number {1}) is not in the ledger any more: its adding was "
                  "taken back. See `{0} list`.",
                  word(id), id.value));
}
template void require(const Database&, RigId);
template void require(const Database&, ClassId);
template void require(const Database&, PartId);
template void require(const Database&, PositionId);
template void require(const Database&, MeterId);
template void require(const Database&, BinId);
template void require(const Database&, SupplierId);

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
