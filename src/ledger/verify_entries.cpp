// Entries, their chains of reversals, that each has lines of its kind, and master data compared
// with the drafts that made and changed it.

#include <fmt/format.h>

#include <map>

#include "base/text.hpp"
#include "ledger/master_columns.hpp"
#include "ledger/tables.hpp"
#include "ledger/verify.hpp"

namespace shearpin::ledger {
namespace {

constexpr const char* kCount =
    "SELECT count(*), count(DISTINCT uuid), ifnull(sum(root IS NOT NULL), 0) FROM entry";
constexpr const char* kOddUuids = R"sql(
  SELECT id, uuid FROM entry WHERE length(uuid) <> 36 OR uuid GLOB '*[^0-9a-f-]*'
    OR uuid NOT GLOB '????????-????-7???-[89ab]???-*' ORDER BY id)sql";
constexpr const char* kBrokenChains =
    "SELECT e.id FROM entry AS e LEFT JOIN entry AS r ON r.id = e.reverses"
    " WHERE e.reverses IS NOT NULL AND (r.id IS NULL OR e.root IS NOT ifnull(r.root, r.id)"
    "  OR e.depth <> r.depth + 1 OR e.recorded < r.recorded OR r.id >= e.id) ORDER BY e.id";
constexpr const char* kOtherPart =
    "SELECT b.lot FROM balance AS b JOIN lot AS l ON l.id = b.lot WHERE b.part <> l.part"
    " ORDER BY b.lot";

constexpr const char* kTurned = "SELECT count(*) % 2 FROM entry WHERE root = ?1";

/// A thing as its change lines tell it.
struct Told {
  EntryId added_by;
  const domain::Master* now = nullptr;
};
using Things = std::map<std::int64_t, Told>;

void compare(const Database& database, const MasterSql& table, Query& row, Things& things,
             VerifyReport& report) {
  const std::int64_t object = row.integer();
  const auto entry = row.id<EntryTag>();
  const bool gone = row.flag();
  const auto tell = [&](std::string_view what) {
    report.findings.push_back({"changes", fmt::format("{} {} {}", table.kind, object, what)});
  };
  const auto found = things.find(object);
  if (found == things.end()) return tell("has no change lines");
  if (found->second.added_by != entry) tell("was added by another entry than it says");
  Query turned = database.query(kTurned);
  turned.with(entry);
  turned.next();
  if (turned.flag() != gone) {
    tell(gone ? "is gone, its adding is not taken back" : "is there, its adding taken back");
  }
  const std::vector<Cell> told = cells_of(*found->second.now);
  for (std::size_t i = 0; i < told.size(); ++i) {
    if (row.cell() == told[i]) continue;
    tell(fmt::format("has another {} than its change lines tell", table.fields[i]));
  }
  things.erase(found);
}

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
  for (const auto& [id, lines] : read_entries(database, kFirstEntry, kLastEntry)) {
    if (lines.draft.kind == domain::EntryKind::undo || has_fitting_line(lines.draft)) continue;
    report.findings.push_back({"lines", fmt::format("entry {} ({}) has no line of its kind",
                                                    id.value, to_text(lines.draft.kind))});
  }
  for (const LineKind& kind : line_kinds()) {
    for (const Table* table : kind.tables) {
      for (const auto& [what, sql] : table->strayed()) {
        Query row = database.query(sql.c_str());
        while (row.next()) {
          report.findings.push_back(
              {"lines", fmt::format("{} {} {}", table->name(), row.integer(), what)});
        }
      }
    }
  }
  Query part = database.query(kOtherPart);
  while (part.next()) {
    report.findings.push_back(
        {"lines",
         fmt::format("balance of lot {} is of another part than its lot", part.integer())});
  }
  report.checks_done.emplace_back("every entry has lines of its kind");
}

void verify_masters(const Database& database, VerifyReport& report) {
  const auto entries = read_entries(database, kFirstEntry, kLastEntry);
  std::map<std::size_t, Things> told;
  for (const auto& [id, lines] : entries) {
    for (std::size_t i = 0; i < lines.draft.masters.size(); ++i) {
      const domain::MasterLine& line = lines.draft.masters[i];
      Told& thing = told[line.after.index()][lines.made.masters[i]];
      if (!line.before) thing.added_by = id;
      thing.now = &line.after;
    }
  }
  std::size_t compared = 0;
  for (std::size_t index = 0; index < master_tables().size(); ++index) {
    const MasterSql& table = master_tables()[index];
    Query row = database.query(table.every.c_str());
    for (; row.next(); ++compared) compare(database, table, row, told[index], report);
    for (const auto& [object, thing] : told[index]) {
      report.findings.push_back(
          {"changes", fmt::format("{} {} has change lines and no row", table.kind, object)});
    }
  }
  report.checks_done.push_back(
      fmt::format("{} things of master data equal their change lines", compared));
}

}  // namespace shearpin::ledger
