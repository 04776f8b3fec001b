// Entries, their chains of reversals, and that each has lines of its kind.

#include <fmt/format.h>

#include "base/text.hpp"
#include "ledger/verify.hpp"

namespace shearpin::ledger {
namespace {

constexpr const char* kCount =
    "SELECT count(*), count(DISTINCT uuid), ifnull(sum(root IS NOT NULL), 0) FROM entry";
constexpr const char* kOddUuids =
    "SELECT id, uuid FROM entry WHERE length(uuid) <> 36 OR uuid GLOB '*[^0-9a-f-]*'"
    " OR substr(uuid, 9, 1) || substr(uuid, 14, 2) || substr(uuid, 19, 1) || substr(uuid, 24, 1)"
    "  <> '--7--' OR substr(uuid, 20, 1) NOT IN ('8', '9', 'a', 'b') ORDER BY id";
constexpr const char* kBrokenChains =
    "SELECT e.id FROM entry AS e LEFT JOIN entry AS r ON r.id = e.reverses"
    " WHERE e.reverses IS NOT NULL AND (r.id IS NULL OR e.root IS NOT ifnull(r.root, r.id)"
    "  OR e.depth <> r.depth + 1 OR e.recorded < r.recorded OR r.id >= e.id) ORDER BY e.id";
constexpr const char* kWithoutLines =
    "SELECT e.id, e.kind FROM entry AS e WHERE NOT CASE"
    " WHEN e.kind IN ('add', 'set', 'retire') THEN"
    "  EXISTS (SELECT 1 FROM change WHERE entry = e.id)"
    " WHEN e.kind = 'policy' THEN EXISTS (SELECT 1 FROM policy WHERE entry = e.id)"
    " WHEN e.kind = 'fit' THEN EXISTS (SELECT 1 FROM unit_begin WHERE entry = e.id)"
    " WHEN e.kind = 'fail' THEN EXISTS (SELECT 1 FROM unit_end WHERE entry = e.id)"
    "  OR EXISTS (SELECT 1 FROM repair WHERE entry = e.id)"
    "  OR EXISTS (SELECT 1 FROM open_place WHERE entry = e.id)"
    " WHEN e.kind = 'renew' THEN EXISTS (SELECT 1 FROM unit_end WHERE entry = e.id)"
    " WHEN e.kind = 'use' THEN EXISTS (SELECT 1 FROM usage WHERE entry = e.id)"
    " WHEN e.kind = 'lose' THEN EXISTS (SELECT 1 FROM usage WHERE entry = e.id)"
    "  OR EXISTS (SELECT 1 FROM unit_end WHERE entry = e.id)"
    " WHEN e.kind IN ('scrap', 'move') THEN EXISTS (SELECT 1 FROM movement WHERE entry = e.id)"
    " WHEN e.kind = 'receive' THEN EXISTS (SELECT 1 FROM movement WHERE entry = e.id)"
    "  OR EXISTS (SELECT 1 FROM receipt WHERE entry = e.id)"
    " WHEN e.kind = 'test' THEN EXISTS (SELECT 1 FROM test WHERE entry = e.id)"
    " WHEN e.kind = 'reading' THEN EXISTS (SELECT 1 FROM reading WHERE entry = e.id)"
    " WHEN e.kind = 'stay' THEN EXISTS (SELECT 1 FROM stay WHERE entry = e.id)"
    " WHEN e.kind = 'condition' THEN EXISTS (SELECT 1 FROM condition WHERE entry = e.id)"
    " WHEN e.kind = 'fault-open' THEN EXISTS (SELECT 1 FROM fault WHERE entry = e.id)"
    " WHEN e.kind = 'fault-close' THEN EXISTS (SELECT 1 FROM fault_close WHERE entry = e.id)"
    " WHEN e.kind = 'attribute' THEN EXISTS (SELECT 1 FROM attribution WHERE entry = e.id)"
    " WHEN e.kind = 'order' THEN EXISTS (SELECT 1 FROM order_line WHERE entry = e.id)"
    " WHEN e.kind = 'cancel-order' THEN EXISTS (SELECT 1 FROM receipt WHERE entry = e.id)"
    " WHEN e.kind = 'quarantine' THEN EXISTS (SELECT 1 FROM quarantine WHERE entry = e.id)"
    " WHEN e.kind = 'trip' THEN EXISTS (SELECT 1 FROM trip WHERE entry = e.id)"
    " WHEN e.kind = 'undo' THEN e.reverses IS NOT NULL"
    " ELSE 1 END ORDER BY e.id";
// Lines that repeat the day of their entry.
#define SHEARPIN_SQL_OTHER_DAY(table)             \
  "SELECT '" table "', x.id FROM " table          \
  " AS x JOIN entry AS e ON e.id = x.entry WHERE" \
  " x.happened <> e.happened"
constexpr const char* kOtherDay =
    SHEARPIN_SQL_OTHER_DAY("reading") " UNION ALL " SHEARPIN_SQL_OTHER_DAY("test")
    " UNION ALL " SHEARPIN_SQL_OTHER_DAY("unit_begin")
    " UNION ALL " SHEARPIN_SQL_OTHER_DAY("repair")
    " UNION ALL " SHEARPIN_SQL_OTHER_DAY("open_place")
    " UNION ALL " SHEARPIN_SQL_OTHER_DAY("movement") " ORDER BY 1, 2";
constexpr const char* kOtherPart =
    "SELECT 'movement', m.id FROM movement AS m JOIN lot AS l ON l.id = m.lot"
    " WHERE m.part <> l.part UNION ALL"
    " SELECT 'balance of lot', b.lot FROM balance AS b JOIN lot AS l ON l.id = b.lot"
    " WHERE b.part <> l.part ORDER BY 1, 2";

}  // namespace

void verify_entries(const Database& database, VerifyReport& report) {
  Query count = database.query(kCount);
  count.next();
  const std::int64_t entries = count.integer();
  if (count.integer() != entries) {
    report.findings.push_back({"entries", "two entries have the same uuid"});
  }
  Query odd = database.query(kOddUuids);
  while (odd.next()) {
    const std::int64_t id = odd.integer();
    report.findings.push_back({"entries", fmt::format("entry {} has the uuid {}, not of version 7",
                                                      id, shearpin::quoted(odd.text()))});
  }
  report.checks_done.push_back(fmt::format("{} entries have names of their own", entries));
}

void verify_chains(const Database& database, VerifyReport& report) {
  Query row = database.query(kBrokenChains);
  while (row.next()) {
    report.findings.push_back(
        {"chain", fmt::format("entry {} does not continue what it takes back", row.integer())});
  }
  Query count = database.query(kCount);
  count.next();
  count.skip();
  count.skip();
  report.checks_done.push_back(
      fmt::format("{} reversals name what they take back", count.integer()));
}

void verify_lines(const Database& database, VerifyReport& report) {
  Query row = database.query(kWithoutLines);
  while (row.next()) {
    const std::int64_t id = row.integer();
    report.findings.push_back(
        {"lines", fmt::format("entry {} ({}) has no line of its kind", id, row.text())});
  }
  Query day = database.query(kOtherDay);
  while (day.next()) {
    const std::string table = day.text();
    report.findings.push_back(
        {"lines", fmt::format("{} {} is of another day than its entry", table, day.integer())});
  }
  Query part = database.query(kOtherPart);
  while (part.next()) {
    const std::string table = part.text();
    report.findings.push_back(
        {"lines", fmt::format("{} {} is of another part than its lot", table, part.integer())});
  }
  report.checks_done.emplace_back("every entry has lines of its kind");
}

}  // namespace shearpin::ledger
