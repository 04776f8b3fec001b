// Master data played again from its change lines.

#include <fmt/format.h>

#include <map>

#include "ledger/master_lines.hpp"
#include "ledger/verify.hpp"

namespace shearpin::ledger {
namespace {

constexpr const char* kChanges =
    "SELECT object, entry, field, added, old, new FROM change WHERE kind = ?1 ORDER BY object, id";
constexpr const char* kTurned = "SELECT count(*) % 2 FROM entry WHERE root = ?1";

/// A thing as its change lines tell it.
struct Replayed {
  std::int64_t added_by = 0;
  std::vector<Cell> cells;
};

class Replay {
 public:
  Replay(const Database& database, const MasterSql& table, VerifyReport& report)
      : database_(database), table_(table), report_(report) {}

  void run() {
    read_changes();
    Query row = database_.query(table_.every.c_str());
    while (row.next()) compare(row);
    for (const auto& [object, thing] : things_) tell(object, "has change lines and no row");
  }

  std::size_t compared() const { return compared_; }

 private:
  void read_changes();
  void compare(Query& row);
  void tell(std::int64_t object, std::string_view what) {
    report_.findings.push_back({"changes", fmt::format("{} {} {}", table_.kind, object, what)});
  }

  const Database& database_;
  const MasterSql& table_;
  VerifyReport& report_;
  std::map<std::int64_t, Replayed> things_;
  std::size_t compared_ = 0;
};

void Replay::read_changes() {
  Query row = database_.query(kChanges);
  row.with(table_.kind);
  while (row.next()) {
    const std::int64_t object = row.integer();
    Replayed& thing = things_.try_emplace(object, Replayed{0, table_.plain}).first->second;
    const std::int64_t entry = row.integer();
    const std::string field = row.text();
    Cell& cell = thing.cells[field_of(database_, table_, field)];
    const bool added = row.flag();
    const Cell before = row.cell();
    if (added) {
      thing.added_by = entry;
    } else if (cell != before) {
      tell(object, fmt::format("changed {} from a value it did not have", field));
    }
    cell = row.cell();
  }
}

void Replay::compare(Query& row) {
  const std::int64_t object = row.integer();
  const std::int64_t entry = row.integer();
  const bool gone = row.flag();
  ++compared_;
  const auto found = things_.find(object);
  if (found == things_.end()) return tell(object, "has no change lines");
  if (found->second.added_by != entry) tell(object, "was added by another entry than it says");
  Query turned = database_.query(kTurned);
  turned.with(entry);
  turned.next();
  if (turned.flag() != gone) {
    tell(object,
         gone ? "is gone, its adding is not taken back" : "is there, its adding taken back");
  }
  for (std::size_t i = 0; i < table_.fields.size(); ++i) {
    if (row.cell() == found->second.cells[i]) continue;
    tell(object, fmt::format("has another {} than its change lines tell", table_.fields[i]));
  }
  things_.erase(found);
}

}  // namespace

void verify_masters(const Database& database, VerifyReport& report) {
  std::size_t things = 0;
  for (const MasterSql& table : master_tables()) {
    Replay replay(database, table, report);
    replay.run();
    things += replay.compared();
  }
  report.checks_done.push_back(
      fmt::format("{} things of master data equal their change lines", things));
}

}  // namespace shearpin::ledger
