#pragma once
/// Rules that span several entries, asked of the file as it is or as it would be with one entry's
/// state turned over. Each check appends what it finds wrong; none throws for a finding.

#include <string>
#include <vector>

#include "ledger/database.hpp"
#include "shearpin/domain/draft.hpp"

namespace shearpin::ledger {

/// Something that cannot be, in words, and the entries that stand in the way.
struct Conflict {
  std::string what;
  std::vector<EntryId> entries;
};

/// The file under one assumption.
struct Question {
  const Database& database;
  EntryId but{0};   ///< its state taken as the opposite: live as taken back and the other way
  EntryId self{0};  ///< the entry being written or turned over, never named as in the way
};

/// A place inside that holds pieces of one lot.
struct LotLocation {
  LotId lot;
  bool bin = true;  ///< a bin, else a position
  std::int64_t place = 0;
  friend auto operator<=>(const LotLocation&, const LotLocation&) = default;
};

/// None for a place outside.
std::optional<LotLocation> location_of(LotId lot, const domain::Place& place);

/// What one entry would do to a location on a day.
struct Planned {
  Date day;
  std::int64_t taken = 0, brought = 0;
};

/// No day from `planned.day` on ends below zero.
void check_location(const Question& ask, const LotLocation& location, const Planned& planned,
                    std::vector<Conflict>& found);

/// Pieces of a lot are used by live entries only while the lot's own entry is live.
void check_lot(const Question& ask, LotId lot, std::vector<Conflict>& found);

/// Lives of one place: each ends at most once and not before its fit, none overlap; repairs and
/// declared states lie where they can; attributions name a failure.
void check_place(const Question& ask, PositionId position, int unit, std::vector<Conflict>& found);

/// Receipts: not before the order, not more than ordered, none after it is cancelled.
void check_order(const Question& ask, OrderId order, std::vector<Conflict>& found);
/// No two live orders of one number.
void check_order_number(const Question& ask, OrderId order, std::vector<Conflict>& found);

/// The readings of a meter round `day` do not run backwards.
void check_meter(const Question& ask, MeterId meter, Date day, std::vector<Conflict>& found);

/// A fault is live while live entries close it or name it, closed at most once and not before it
/// was opened; its key is its own among live faults.
void check_fault(const Question& ask, FaultId fault, std::vector<Conflict>& found);

}  // namespace shearpin::ledger
