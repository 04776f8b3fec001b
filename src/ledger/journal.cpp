// The list of entries, with the drafts they were.

#include "ledger/impl.hpp"
#include "ledger/tables.hpp"

namespace shearpin::ledger {
namespace {

// A condition that is not asked for is NULL and passes.
constexpr const char* kEntries =
    "SELECT e.id, e.uuid, e.written, e.who, e.batch, e.said, e.reverses, (SELECT r.id FROM entry "
    "AS r WHERE r.reverses = e.id),"
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

// The latest entry in force that was made of such a line.
constexpr const char* kSaid =
    "SELECT e.batch, e.written FROM entry AS e WHERE e.said = ?1"
    " AND (SELECT count(*) FROM entry AS r WHERE r.root = e.id) % 2 = 0 ORDER BY e.id DESC LIMIT 1";

JournalRow read_head(Query& row) {
  JournalRow entry;
  entry.id = row.id<EntryTag>();
  entry.uuid = row.text();
  entry.written = row.text();
  entry.who = row.text();
  entry.batch = row.text();
  entry.said = row.maybe([](Query& query) { return query.integer(); });
  entry.reverses = row.maybe_id<EntryId>();
  entry.reversed_by = row.maybe_id<EntryId>();
  const auto latest = row.maybe_id<EntryId>();
  entry.live = row.flag();
  if (entry.live) entry.revived_by = latest;
  return entry;
}

/// The lines of rows that go down from one entry to the next are read at once.
void read_all_lines(const Database& database, std::vector<JournalRow>& rows) {
  for (auto first = rows.begin(); first != rows.end();) {
    auto last = first;
    while (last + 1 != rows.end() && (last + 1)->id.value == last->id.value - 1) ++last;
    auto entries = read_entries(database, last->id, first->id);
    for (; first <= last; ++first) {
      EntryLines& lines = entries[first->id];
      first->draft = std::move(lines.draft);
      first->made = std::move(lines.made);
    }
  }
}

/// The line of this number, once.
template <class Tag, class Line>
void look_up(const Database& database, const LineTable<Line>& table, Id<Tag> id,
             std::map<Id<Tag>, Line>& known) {
  if (known.count(id) != 0) return;
  auto line = table.find(database, id.value);
  if (!line)
    throw_damaged(database.path(), fmt::format("no {} of number {}", table.name(), id.value));
  known.emplace(id, std::move(*line));
}

}  // namespace

std::vector<JournalRow> Ledger::journal(const JournalQuery& query) const {
  const Database& database = impl_->database;
  return guarded(database.path(), "reading the journal", [&] {
    const ReadScope reading(database);
    Query row = database.query(kEntries);
    row.with(query.id.value_or(kFirstEntry), query.id.value_or(kLastEntry), query.from, query.to,
             query.batch, query.position, query.part,
             query.limit == 0 ? std::int64_t{-1} : static_cast<std::int64_t>(query.limit));
    std::vector<JournalRow> entries;
    while (row.next()) entries.push_back(read_head(row));
    read_all_lines(database, entries);
    return entries;
  });
}

domain::Mentioned Ledger::mentioned(std::span<const JournalRow> rows) const {
  const Database& database = impl_->database;
  return guarded(database.path(), "reading the journal", [&] {
    const ReadScope reading(database);
    domain::Mentioned known;
    known.catalogue = read_catalogue(database, true);
    const auto unit = [&](const auto& line) {
      look_up(database, unit_table(), line.unit, known.units);
    };
    const auto lot = [&](LotId id) { look_up(database, lot_table(), id, known.lots); };
    for (const JournalRow& row : rows) {
      for (const auto& line : row.draft.ends) unit(line);
      for (const auto& line : row.draft.repairs) unit(line);
      for (const auto& line : row.draft.attributions) unit(line);
      for (const auto& line : row.draft.movements) lot(resolve(row.made, line.lot));
      for (const auto& line : row.draft.quarantines) lot(line.lot);
      for (const auto& line : row.draft.receipts) {
        look_up(database, order_table(), line.order, known.orders);
      }
    }
    return known;
  });
}

std::optional<EntryId> Ledger::newest_live() const {
  const Database& database = impl_->database;
  return guarded(database.path(), "reading the journal", [&]() -> std::optional<EntryId> {
    Query row = database.query(kNewestLive);
    return row.next() ? std::optional(row.id<EntryTag>()) : std::nullopt;
  });
}

TakenBefore Ledger::taken_before(std::span<const std::int64_t> said) const {
  const Database& database = impl_->database;
  return guarded(database.path(), "reading the journal", [&] {
    const ReadScope reading(database);
    TakenBefore found;
    for (const std::int64_t words : said) {
      Query row = database.query(kSaid);
      row.with(words);
      if (!row.next()) continue;
      ++found.lines;
      std::string batch = row.text();
      std::string written = row.text();
      if (written > found.written) {
        found.batch = std::move(batch);
        found.written = std::move(written);
      }
    }
    return found;
  });
}

}  // namespace shearpin::ledger
