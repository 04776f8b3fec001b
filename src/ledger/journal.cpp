// The list of entries.

#include <limits>

#include "ledger/impl.hpp"
#include "ledger/summary.hpp"

namespace shearpin::ledger {
namespace {

// A condition that is not asked for is NULL and passes.
constexpr const char* kEntries =
    "SELECT e.id, e.uuid, e.written, e.recorded, e.happened, e.kind, e.who, e.note, e.batch,"
    " e.reverses, (SELECT r.id FROM entry AS r WHERE r.reverses = e.id),"
    " (SELECT max(r.id) FROM entry AS r WHERE r.root = ifnull(e.root, e.id) AND r.depth > e.depth),"
    " (SELECT count(*) FROM entry AS r WHERE r.root = ifnull(e.root, e.id) AND r.depth > e.depth)"
    " % 2 = 0"
    " FROM entry AS e"
    " WHERE e.id BETWEEN ?1 AND ?2"
    " AND (?3 IS NULL OR +e.happened >= ?3) AND (?4 IS NULL OR +e.happened <= ?4)"
    " AND (?5 IS NULL OR +e.batch = ?5)"
    " AND (?6 IS NULL OR ifnull(e.root, e.id) IN ("
    "  SELECT entry FROM unit_begin WHERE position = ?6 UNION"
    "  SELECT x.entry FROM unit_end AS x JOIN unit_begin AS b ON b.id = x.unit"
    "   WHERE b.position = ?6 UNION"
    "  SELECT x.entry FROM repair AS x JOIN unit_begin AS b ON b.id = x.unit"
    "   WHERE b.position = ?6 UNION"
    "  SELECT x.entry FROM attribution AS x JOIN unit_begin AS b ON b.id = x.unit"
    "   WHERE b.position = ?6 UNION"
    "  SELECT entry FROM open_place WHERE position = ?6 UNION"
    "  SELECT entry FROM test WHERE position = ?6 UNION"
    "  SELECT entry FROM usage WHERE position = ?6 UNION"
    "  SELECT entry FROM fault WHERE position = ?6 UNION"
    "  SELECT x.entry FROM fault_close AS x JOIN fault AS f ON f.id = x.fault"
    "   WHERE f.position = ?6 UNION"
    "  SELECT entry FROM change WHERE kind = 'position' AND object = ?6))"
    " AND (?7 IS NULL OR ifnull(e.root, e.id) IN ("
    "  SELECT entry FROM lot WHERE part = ?7 UNION"
    "  SELECT m.entry FROM movement AS m JOIN lot AS l ON l.id = m.lot WHERE l.part = ?7 UNION"
    "  SELECT q.entry FROM quarantine AS q JOIN lot AS l ON l.id = q.lot WHERE l.part = ?7 UNION"
    "  SELECT entry FROM unit_begin WHERE part = ?7 UNION"
    "  SELECT x.entry FROM unit_end AS x JOIN unit_begin AS b ON b.id = x.unit"
    "   WHERE b.part = ?7 UNION"
    "  SELECT entry FROM order_line WHERE part = ?7 UNION"
    "  SELECT t.entry FROM receipt AS t JOIN order_line AS o ON o.id = t.order_line"
    "   WHERE o.part = ?7 UNION"
    "  SELECT entry FROM usage WHERE part = ?7 UNION"
    "  SELECT entry FROM change WHERE kind = 'part' AND object = ?7))"
    " ORDER BY e.id DESC LIMIT ?8";

// An even number of reversals leaves an entry in force.
constexpr const char* kNewestLive =
    "SELECT ifnull(e.root, e.id) FROM entry AS e WHERE e.depth % 2 = 0"
    " AND NOT EXISTS (SELECT 1 FROM entry AS r WHERE r.reverses = e.id)"
    " ORDER BY e.id DESC LIMIT 1";

JournalRow read_entry(Query& row) {
  JournalRow entry;
  entry.id = row.id<EntryTag>();
  entry.uuid = row.text();
  entry.written = row.text();
  entry.recorded = row.date();
  entry.happened = row.date();
  entry.kind = row.word(domain::parse_entry_kind);
  entry.who = row.text();
  entry.note = row.text();
  entry.batch = row.text();
  entry.reverses = row.maybe_id<EntryId>();
  entry.reversed_by = row.maybe_id<EntryId>();
  const auto latest = row.maybe_id<EntryId>();
  entry.live = row.flag();
  if (entry.live) entry.revived_by = latest;
  return entry;
}

}  // namespace

std::vector<JournalRow> Ledger::journal(const JournalQuery& query) const {
  const Database& database = impl_->database;
  return guarded(database.path(), "reading the journal", [&] {
    const ReadScope reading(database);
    constexpr std::int64_t kLast = std::numeric_limits<std::int64_t>::max();
    Query row = database.query(kEntries);
    row.with(query.id ? query.id->value : 0, query.id ? query.id->value : kLast, query.from,
             query.to, query.batch, query.position, query.part,
             query.limit == 0 ? std::int64_t{-1} : static_cast<std::int64_t>(query.limit));
    std::vector<JournalRow> entries;
    Summaries summaries(database);
    while (row.next()) {
      JournalRow& entry = entries.emplace_back(read_entry(row));
      entry.summary = summaries.of(entry.id, entry.kind, entry.reverses);
    }
    return entries;
  });
}

std::optional<EntryId> Ledger::newest_live() const {
  const Database& database = impl_->database;
  return guarded(database.path(), "reading the journal", [&]() -> std::optional<EntryId> {
    Query row = database.query(kNewestLive);
    return row.next() ? std::optional(row.id<EntryTag>()) : std::nullopt;
  });
}

}  // namespace shearpin::ledger
