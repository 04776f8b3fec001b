#include "ledger/dependents.hpp"

#include <array>

#include "ledger/master_columns.hpp"
#include "ledger/sql_live.hpp"
#include "ledger/users_sql.hpp"

namespace shearpin::ledger {
namespace {

constexpr const char* kHappened = "SELECT happened FROM entry WHERE id = ?1";
constexpr const char* kStashes =
    "SELECT lot, 1, to_bin FROM movement WHERE entry = ?1 AND to_bin IS NOT NULL UNION"
    " SELECT lot, 1, from_bin FROM movement WHERE entry = ?1 AND from_bin IS NOT NULL UNION"
    " SELECT lot, 0, to_position FROM movement WHERE entry = ?1 AND to_position IS NOT NULL UNION"
    " SELECT lot, 0, from_position FROM movement WHERE entry = ?1 AND from_position IS NOT NULL"
    " ORDER BY 1, 2, 3";
constexpr const char* kLots =
    "SELECT id FROM lot WHERE entry = ?1 UNION SELECT lot FROM movement WHERE entry = ?1 UNION"
    " SELECT lot FROM unit_begin WHERE entry = ?1 AND lot IS NOT NULL UNION"
    " SELECT lot FROM quarantine WHERE entry = ?1 ORDER BY 1";
constexpr const char* kPlaces =
    "SELECT position, unit FROM unit_begin WHERE entry = ?1 UNION"
    " SELECT position, unit FROM open_place WHERE entry = ?1 UNION"
    " SELECT b.position, b.unit FROM unit_end AS x JOIN unit_begin AS b ON b.id = x.unit"
    " WHERE x.entry = ?1 UNION"
    " SELECT b.position, b.unit FROM repair AS x JOIN unit_begin AS b ON b.id = x.unit"
    " WHERE x.entry = ?1 UNION"
    " SELECT b.position, b.unit FROM attribution AS x JOIN unit_begin AS b ON b.id = x.unit"
    " WHERE x.entry = ?1 ORDER BY 1, 2";
constexpr const char* kOrders =
    "SELECT id FROM order_line WHERE entry = ?1 UNION"
    " SELECT order_line FROM receipt WHERE entry = ?1 ORDER BY 1";
constexpr const char* kFaults =
    "SELECT id FROM fault WHERE entry = ?1 UNION"
    " SELECT fault FROM fault_close WHERE entry = ?1 UNION"
    " SELECT fault FROM attribution WHERE entry = ?1 UNION"
    " SELECT fault FROM unit_end WHERE entry = ?1 AND fault IS NOT NULL ORDER BY 1";
constexpr const char* kMeters = "SELECT DISTINCT meter FROM reading WHERE entry = ?1 ORDER BY 1";

constexpr const char* kTestsOfUnits =
    "SELECT DISTINCT x.entry FROM unit_begin AS b"
    " CROSS JOIN test AS x ON x.position = b.position AND x.unit = b.unit"
    " CROSS JOIN entry AS e ON e.id = x.entry"
    " WHERE b.entry = ?1 AND x.entry <> ?1 AND " SHEARPIN_SQL_LIVE_BUT
    // On one day things happened in the order they were written down.
    " AND (e.happened, x.entry) > (SELECT happened, id FROM entry WHERE id = ?1)"
    " AND NOT EXISTS (SELECT 1 FROM unit_end AS z JOIN entry AS ended ON ended.id = z.entry"
    "                 WHERE z.unit = b.id"
    "                 AND (ended.happened, z.entry) < (e.happened, x.entry))"
    " ORDER BY x.entry";
constexpr const char* kLaterChanges =
    "SELECT DISTINCT later.entry FROM change AS mine"
    " JOIN change AS later ON later.kind = mine.kind AND later.object = mine.object"
    "  AND later.field = mine.field AND later.entry > mine.entry AND later.added = 0"
    " JOIN entry AS e ON e.id = later.entry"
    " WHERE mine.entry = ?2 AND mine.added = 0 AND e.root IS NULL AND " SHEARPIN_SQL_LIVE_BUT
    " ORDER BY later.entry";
constexpr const char* kLaterPolicies =
    "SELECT DISTINCT later.entry FROM policy AS mine"
    " JOIN policy AS later ON later.key = mine.key AND later.entry > mine.entry"
    " JOIN entry AS e ON e.id = later.entry"
    " WHERE mine.entry = ?2 AND " SHEARPIN_SQL_LIVE_BUT " ORDER BY later.entry";
constexpr const char* kAdded =
    "SELECT DISTINCT kind, object FROM change WHERE entry = ?1 AND added = 1 ORDER BY kind, object";

std::vector<std::int64_t> ids(const Database& database, const char* sql, EntryId entry) {
  std::vector<std::int64_t> all;
  Query row = database.query(sql);
  row.with(entry);
  while (row.next()) all.push_back(row.integer());
  return all;
}

/// Entries of a statement whose ?1 is the entry turned over and ?2 the thing asked about.
void add_entries(const Question& ask, const char* sql, std::int64_t about, std::string what,
                 std::vector<Conflict>& found) {
  std::vector<EntryId> entries;
  Query row = ask.database.query(sql);
  row.with(ask.but, about);
  while (row.next()) entries.push_back(row.id<EntryTag>());
  if (!entries.empty()) found.push_back({std::move(what), std::move(entries)});
}

void check_stashes(const Question& ask, EntryId root, std::vector<Conflict>& found) {
  Query head = ask.database.query(kHappened);
  head.with(root);
  if (!head.next()) return;
  const Planned planned{head.date()};
  std::vector<LotLocation> stashes;
  {
    Query row = ask.database.query(kStashes);
    row.with(root);
    while (row.next()) {
      const auto lot = row.id<LotTag>();
      const bool bin = row.flag();
      stashes.push_back({lot, bin, row.integer()});
    }
  }
  for (const LotLocation& location : stashes) check_location(ask, location, planned, found);
}

void check_places(const Question& ask, EntryId root, std::vector<Conflict>& found) {
  std::vector<std::pair<PositionId, int>> places;
  {
    Query row = ask.database.query(kPlaces);
    row.with(root);
    while (row.next()) {
      const auto position = row.id<PositionTag>();
      places.emplace_back(position, row.small());
    }
  }
  for (const auto& [position, unit] : places) check_place(ask, position, unit, found);
}

void check_masters(const Question& ask, EntryId root, std::vector<Conflict>& found) {
  std::vector<std::pair<std::string, std::int64_t>> things;
  {
    Query row = ask.database.query(kAdded);
    row.with(root);
    while (row.next()) {
      const std::string kind = row.text();
      things.emplace_back(kind, row.integer());
    }
  }
  for (const auto& [kind, id] : things) {
    for (const UsersSql& users : users_of_masters()) {
      if (kind == users.kind) {
        add_entries(ask, users.sql, id, "the " + kind + " is referred to", found);
      }
    }
  }
}

}  // namespace

std::vector<Conflict> conflicts_of_turning(const Database& database, EntryId root, EntryId by,
                                           bool going) {
  const Question ask{database, root, root};
  std::vector<Conflict> found;
  check_stashes(ask, root, found);
  for (const std::int64_t id : ids(database, kLots, root)) check_lot(ask, LotId{id}, found);
  check_places(ask, root, found);
  for (const std::int64_t id : ids(database, kOrders, root)) {
    check_order(ask, OrderId{id}, found);
    check_order_number(ask, OrderId{id}, found);
  }
  for (const std::int64_t id : ids(database, kFaults, root)) check_fault(ask, FaultId{id}, found);
  Query head = database.query(kHappened);
  head.with(root);
  if (head.next()) {
    const Date day = head.date();
    for (const std::int64_t id : ids(database, kMeters, root)) {
      check_meter(ask, MeterId{id}, day, found);
    }
  }
  add_entries(ask, kLaterChanges, by.value, "the same field was changed again", found);
  if (!going) return found;  // what follows matters only when an entry goes
  std::vector<EntryId> tests;
  for (const std::int64_t id : ids(database, kTestsOfUnits, root)) tests.push_back(EntryId{id});
  if (!tests.empty()) found.push_back({"the unit it fitted was tested", std::move(tests)});
  add_entries(ask, kLaterPolicies, root.value, "the same number was changed again", found);
  check_masters(ask, root, found);
  return found;
}

std::vector<std::string> gone_references(const Database& database, EntryId entry) {
  std::vector<std::string> keys;
  Query row = database.query(kGoneReferences);
  row.with(entry);
  while (row.next()) {
    const std::string kind = row.text();
    keys.push_back(kind + " " + row.text());
  }
  return keys;
}

}  // namespace shearpin::ledger
