// Master data compared with the drafts that made and changed it.

#include <fmt/format.h>

#include <map>

#include "ledger/master_columns.hpp"
#include "ledger/record.hpp"
#include "ledger/verify.hpp"

namespace shearpin::ledger {
namespace {

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
