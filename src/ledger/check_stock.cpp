// Pieces: nothing inside falls below zero on any day, and a lot lives as long as it is used.

#include <fmt/format.h>

#include <algorithm>
#include <span>

#include "ledger/checks.hpp"
#include "ledger/names.hpp"
#include "ledger/sql_live.hpp"

namespace shearpin::ledger {
namespace {

constexpr const char* kInBin =
    "SELECT e.happened, m.entry, ifnull(m.to_bin = ?3, 0), m.quantity"
    " FROM movement AS m CROSS JOIN entry AS e ON e.id = m.entry"
    " WHERE m.lot = ?2 AND (m.to_bin = ?3 OR m.from_bin = ?3) AND " SHEARPIN_SQL_LIVE_BUT
    " ORDER BY e.happened, m.id";
constexpr const char* kAtPosition =
    "SELECT e.happened, m.entry, ifnull(m.to_position = ?3, 0), m.quantity"
    " FROM movement AS m CROSS JOIN entry AS e ON e.id = m.entry"
    " WHERE m.lot = ?2 AND (m.to_position = ?3 OR m.from_position = ?3)"
    " AND " SHEARPIN_SQL_LIVE_BUT " ORDER BY e.happened, m.id";
constexpr const char* kBalance =
    "SELECT quantity FROM balance WHERE lot = ?1 AND kind = iif(?2, 'bin', 'position')"
    " AND place = ?3";
constexpr const char* kLater =
    "SELECT m.happened, m.entry, ifnull(iif(?4, m.to_bin, m.to_position) = ?3, 0), m.quantity"
    " FROM movement AS m CROSS JOIN entry AS e ON e.id = m.entry"
    " WHERE m.lot = ?2 AND m.happened > ?5"
    " AND ?3 IN (iif(?4, m.to_bin, m.to_position), iif(?4, m.from_bin, m.from_position))"
    " AND " SHEARPIN_SQL_LIVE_BUT " ORDER BY m.happened, m.id";
constexpr const char* kLotBy = "SELECT e.id, " SHEARPIN_SQL_LIVE_BUT
                               " FROM lot AS l JOIN entry AS e ON e.id = l.entry WHERE l.id = ?2";
constexpr const char* kLotUsers =
    "SELECT e.id FROM entry AS e WHERE e.id IN ("
    " SELECT entry FROM movement WHERE lot = ?2 UNION"
    " SELECT entry FROM unit_begin WHERE lot = ?2 UNION"
    " SELECT entry FROM quarantine WHERE lot = ?2) AND e.id <> ?3 AND " SHEARPIN_SQL_LIVE_BUT
    " ORDER BY e.id";

struct Line {
  Date day;
  EntryId entry;
  std::int64_t delta = 0;
};

std::vector<Line> read_lines(Query& row) {
  std::vector<Line> lines;
  while (row.next()) {
    Line& line = lines.emplace_back();
    line.day = row.date();
    line.entry = row.id<EntryTag>();
    const bool in = row.flag();
    line.delta = in ? row.integer() : -row.integer();
  }
  return lines;
}

std::vector<Line> read_lines(const Question& ask, const LotLocation& location) {
  Query row = ask.database.query(location.bin ? kInBin : kAtPosition);
  row.with(ask.but, location.lot, location.place);
  return read_lines(row);
}

std::int64_t sum(std::span<const Line> lines) {
  std::int64_t pieces = 0;
  for (const Line& line : lines) pieces += line.delta;
  return pieces;
}

std::size_t first_after(std::span<const Line> lines, Date day) {
  const auto later =
      std::find_if(lines.begin(), lines.end(), [day](const Line& line) { return line.day > day; });
  return static_cast<std::size_t>(later - lines.begin());
}

/// The balance at the end of `day`.
std::int64_t balance_on(std::span<const Line> lines, Date day) {
  return sum(lines.first(first_after(lines, day)));
}

/// The first day that ends below zero, and with what: `day` with its balance, or one that `later`
/// lines lead to.
std::optional<std::pair<Date, std::int64_t>> first_below(std::span<const Line> later, Date day,
                                                         std::int64_t balance) {
  while (balance >= 0) {
    if (later.empty()) return std::nullopt;
    day = later.front().day;
    const std::size_t next = first_after(later, day);
    balance += sum(later.first(next));
    later = later.subspan(next);
  }
  return std::pair(day, balance);
}

/// Whether an entry being written leaves the location above zero, by the balance of today and what
/// lies after its day: without reading all that went before. False where an entry is turned over,
/// which the balance does not know of.
bool holds(const Question& ask, const LotLocation& location, const Planned& planned) {
  if (ask.but.value != 0) return false;
  Query now = ask.database.query(kBalance);
  now.with(location.lot, location.bin, location.place);
  const std::int64_t balance = now.next() ? now.integer() : 0;
  Query row = ask.database.query(kLater);
  row.with(ask.but, location.lot, location.place, location.bin, planned.day);
  const std::vector<Line> later = read_lines(row);
  return !first_below(later, planned.day, balance - sum(later) + planned.brought - planned.taken);
}

/// Entries that take pieces after `from` up to `until`, and how many.
std::pair<std::vector<EntryId>, std::int64_t> takers(const Question& ask,
                                                     const std::vector<Line>& lines, Date from,
                                                     Date until) {
  std::vector<EntryId> entries;
  std::int64_t pieces = 0;
  for (const Line& line : lines) {
    if (line.delta >= 0 || line.day < from || line.day > until || line.entry == ask.self) continue;
    if (entries.empty() || entries.back() != line.entry) entries.push_back(line.entry);
    pieces -= line.delta;
  }
  return {entries, pieces};
}

std::string location_name(const Question& ask, const LotLocation& location) {
  const std::string place = location.bin ? "in " + key_of(ask.database, BinId{location.place})
                                         : "at " + key_of(ask.database, PositionId{location.place});
  return lot_name(ask.database, location.lot) + " " + place;
}

Conflict shortage(const Question& ask, const LotLocation& location, const Planned& planned,
                  const std::vector<Line>& lines, Date day, std::int64_t balance) {
  const bool later = day > planned.day;
  const Date from = later ? planned.day + std::chrono::days{1} : planned.day;
  const auto [entries, pieces] = takers(ask, lines, planned.taken > 0 ? from : planned.day, day);
  std::string what =
      fmt::format("{} would fall to {} on {}", location_name(ask, location), balance, to_text(day));
  if (planned.taken > 0) {
    what += fmt::format(": {} there{}, {} asked", balance_on(lines, planned.day),
                        later ? " on " + to_text(planned.day) : "", planned.taken);
  }
  if (!entries.empty() && (later || planned.taken == 0)) {
    what += fmt::format("; {} {} {} of them", entry_names(ask.database, entries),
                        entries.size() == 1 ? "takes" : "take", pieces);
  }
  return {what + ". Count first, or name another bin.", entries};
}

}  // namespace

std::optional<LotLocation> location_of(LotId lot, const domain::Place& place) {
  if (const auto* bin = std::get_if<BinId>(&place)) return LotLocation{lot, true, bin->value};
  if (const auto* at = std::get_if<PositionId>(&place)) return LotLocation{lot, false, at->value};
  return std::nullopt;
}

void check_location(const Question& ask, const LotLocation& location, const Planned& planned,
                    std::vector<Conflict>& found) {
  if (holds(ask, location, planned)) return;
  const std::vector<Line> lines = read_lines(ask, location);
  const std::size_t next = first_after(lines, planned.day);
  const std::int64_t balance = planned.brought - planned.taken + sum(std::span(lines).first(next));
  const auto below = first_below(std::span(lines).subspan(next), planned.day, balance);
  if (below) found.push_back(shortage(ask, location, planned, lines, below->first, below->second));
}

void check_lot(const Question& ask, LotId lot, std::vector<Conflict>& found) {
  Query row = ask.database.query(kLotBy);
  row.with(ask.but, lot);
  if (!row.next()) throw std::logic_error("a lot that the ledger does not hold");
  const EntryId maker = row.id<EntryTag>();
  if (row.flag()) return;
  Query user = ask.database.query(kLotUsers);
  user.with(ask.but, lot, maker);
  std::vector<EntryId> entries;
  while (user.next()) entries.push_back(user.id<EntryTag>());
  if (entries.empty()) return;
  found.push_back({fmt::format("{} came with {}, which is taken back", lot_name(ask.database, lot),
                               entry_name(ask.database, maker)),
                   entries});
}

}  // namespace shearpin::ledger
