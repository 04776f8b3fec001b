#pragma once
/// The pieces a snapshot is read in.

#include <cstdint>
#include <limits>
#include <span>
#include <vector>

#include "ledger/database.hpp"
#include "shearpin/domain/snapshot.hpp"

namespace shearpin::ledger {

/// What counts as history: what had happened and been recorded by these days.
struct View {
  Date as_of;
  Date known;
};

/// Ids from `low` to `high`. One statement serves "everything" and "this one" alike.
struct Range {
  static constexpr std::int64_t kLast = std::numeric_limits<std::int64_t>::max();
  std::int64_t low = 0;
  std::int64_t high = kLast;
  bool everything() const { return low == 0 && high == kLast; }
};
using Ranges = std::span<const Range>;

/// A position with the number of its units.
struct PlaceUnits {
  PositionId id;
  int units = 1;
};

/// Lives, and the places that hold nothing sound. `positions` ascending and disjoint.
void read_lives(const Database& database, const View& view, Ranges positions,
                domain::Snapshot& into);

/// Of each unit of the positions the newest lives, back to a sound unit of a known part.
void read_latest_lives(const Database& database, const View& view,
                       std::span<const PlaceUnits> positions, domain::Snapshot& into);

/// Stock with its lots.
void read_stock(const Database& database, const View& view, Ranges parts, domain::Snapshot& into);
/// The same of one part, from what lies in bins now and the movements after the day: used-up lots
/// are not read. Right only where all that was recorded counts.
void read_stock_of_part(const Database& database, const View& view, PartId part,
                        domain::Snapshot& into);
void read_orders(const Database& database, const View& view, Ranges parts, domain::Snapshot& into);
/// Usages and losses of the parts or at the positions.
void read_usage(const Database& database, const View& view, Ranges parts, Ranges positions,
                domain::Snapshot& into);

void read_tests(const Database& database, const View& view, Ranges positions,
                domain::Snapshot& into);
/// The last passed tests of each unit of the positions, and those that ended the lives in `into`.
void read_latest_tests(const Database& database, const View& view,
                       std::span<const PlaceUnits> positions, domain::Snapshot& into);
void read_faults(const Database& database, const View& view, Ranges positions,
                 domain::Snapshot& into);
void read_readings(const Database& database, const View& view, Ranges meters,
                   domain::Snapshot& into);
/// The last reading of each meter of the catalogue given.
void read_latest_readings(const Database& database, const View& view,
                          const std::vector<domain::Meter>& meters, domain::Snapshot& into);
void read_conditions(const Database& database, const View& view, domain::Snapshot& into);
void read_policy(const Database& database, domain::Policy& into);
/// Earliest day of a live entry, at most `as_of`.
Date read_first_day(const Database& database, const View& view);

}  // namespace shearpin::ledger
