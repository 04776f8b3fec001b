#pragma once
/// Writing the lines of one entry, and reading entries back as the drafts they were. Each kind of
/// line is written and read in one file (lines_*.cpp).

#include <limits>
#include <map>
#include <set>
#include <string>
#include <vector>

#include "ledger/checks.hpp"
#include "ledger/uuid.hpp"
#include "shearpin/domain/draft.hpp"
#include "shearpin/ledger/ledger.hpp"

namespace shearpin::ledger {

class Table;

/// The head of an entry.
struct EntryHead {
  std::string uuid, written;
  Date recorded, happened;
  std::string kind, who, note, batch;
  std::optional<EntryId> reverses, root;
  std::int64_t depth = 0;
  std::optional<std::int64_t> said;
};
EntryId insert_entry(const Database& database, const EntryHead& head);

/// An entry being written.
struct Recording {
  const Database& database;
  const domain::EntryDraft& draft;
  EntryId entry;
  Created& created;

  Question ask() const { return {database, EntryId{0}, entry}; }
};

/// An entry read back.
struct EntryLines {
  domain::EntryDraft draft;
  Created made;
};

/// Entries `low` to `high` being read back.
struct Reading {
  const Database& database;
  EntryId low, high;
  std::map<EntryId, EntryLines> entries = {};
};

/// One kind of line: its tables, and how the lines of a draft are written and read back.
struct LineKind {
  std::vector<const Table*> tables;
  void (*write)(Recording&);
  void (*read)(Reading&);
};

/// All of them, in the order in which the lines of an entry are written.
const std::vector<LineKind>& line_kinds();
std::vector<LineKind> master_kinds();  // lines_master.cpp
std::vector<LineKind> field_kinds();   // lines_field.cpp
std::vector<LineKind> lot_kinds();     // lines_stores.cpp
std::vector<LineKind> unit_kinds();    // lines_units.cpp
std::vector<LineKind> store_kinds();   // lines_stores.cpp

/// Writes the lines of a draft under an entry that is in the file already, then asks the rules that
/// span entries. InputError when one refuses; the caller rolls back.
void write_lines(Recording& to);

inline constexpr EntryId kFirstEntry{0}, kLastEntry{std::numeric_limits<std::int64_t>::max()};

/// The entries from `low` to `high`, by number. The draft of an undo holds the fields it set back.
std::map<EntryId, EntryLines> read_entries(const Database& database, EntryId low, EntryId high);
inline EntryLines read_entry(const Database& database, EntryId entry) {
  return read_entries(database, entry, entry)[entry];
}

/// True when the draft has a line of the sort its kind is about.
bool has_fitting_line(const domain::EntryDraft& draft);

/// What the lines of an entry touch, for the rules that span entries.
struct Touched {
  std::set<LotLocation> locations;
  std::set<LotId> lots;
  std::set<std::pair<PositionId, int>> places;
  std::set<OrderId> orders;
  std::set<FaultId> faults;
  std::set<MeterId> meters;
};
Touched touched_by(const Database& database, const domain::EntryDraft& draft, const Created& made);
void check_places(const Question& ask, const Touched& touched, std::vector<Conflict>& found);
/// The rules about lots, orders, faults and meters.
void check_others(const Question& ask, const Touched& touched, Date day,
                  std::vector<Conflict>& found);
void refuse_first(const std::vector<Conflict>& found);

// What several kinds of lines ask.

LotId resolve(const Created& made, const domain::LotRef& lot);
/// InputError for a lot that there is not.
LotId resolve_known(const Recording& to, const domain::LotRef& lot);
/// The lot of a line read back, as the draft named it; the lots of the entry are read by then.
domain::LotRef as_drafted(const EntryLines& lines, const domain::LotRef& lot);
/// InputError for a unit that there is not.
domain::FitLine unit_of(const Database& database, UnitId unit);
/// The line that opened it.
domain::FaultLine fault_of(const Database& database, FaultId fault);
FaultId require_fault(const Database& database, const std::string& key);
void require_fault(const Database& database, FaultId fault);
void require_unit_number(const Database& database, PositionId position, int unit);

}  // namespace shearpin::ledger
