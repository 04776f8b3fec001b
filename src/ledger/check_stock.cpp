// Pieces: nothing inside falls below zero on any day, and a lot lives as long as it is used.

#include <fmt/format.h>

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

std::vector<Line> read_lines(const Question& ask, const Stash& stash) {
  std::vector<Line> lines;
  Query row = ask.database.query(stash.bin ? kInBin : kAtPosition);
  row.with(ask.but, stash.lot, stash.place);
  while (row.next()) {
    Line& line = lines.emplace_back();
    line.day = row.date();
    line.entry = row.id<EntryTag>();
    const bool in = row.flag();
    line.delta = in ? row.integer() : -row.integer();
  }
  return lines;
}

/// The balance at the end of `day`.
std::int64_t balance_on(const std::vector<Line>& lines, Date day) {
  std::int64_t sum = 0;
  for (const Line& line : lines) {
    if (line.day <= day) sum += line.delta;
  }
  return sum;
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

std::string stash_name(const Question& ask, const Stash& stash) {
  const std::string place = stash.bin ? "in " + key_of(ask.database, BinId{stash.place})
                                      : "at " + key_of(ask.database, PositionId{stash.place});
  return lot_name(ask.database, stash.lot) + " " + place;
}

Conflict shortage(const Question& ask, const Stash& stash, const Planned& planned,
                  const std::vector<Line>& lines, Date day, std::int64_t balance) {
  const bool later = day > planned.day;
  const Date from = later ? planned.day + std::chrono::days{1} : planned.day;
  const auto [entries, pieces] = takers(ask, lines, planned.taken > 0 ? from : planned.day, day);
  std::string what =
      fmt::format("{} would fall to {} on {}", stash_name(ask, stash), balance, to_text(day));
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

void check_stash(const Question& ask, const Stash& stash, const Planned& planned,
                 std::vector<Conflict>& found) {
  const std::vector<Line> lines = read_lines(ask, stash);
  std::int64_t balance = planned.brought - planned.taken;
  std::size_t i = 0;
  for (; i < lines.size() && lines[i].day <= planned.day; ++i) balance += lines[i].delta;
  if (balance < 0) {
    found.push_back(shortage(ask, stash, planned, lines, planned.day, balance));
    return;
  }
  while (i < lines.size()) {
    const Date day = lines[i].day;
    for (; i < lines.size() && lines[i].day == day; ++i) balance += lines[i].delta;
    if (balance < 0) {
      found.push_back(shortage(ask, stash, planned, lines, day, balance));
      return;
    }
  }
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
