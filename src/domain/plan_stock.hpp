#pragma once
/// Pieces used up, lost, thrown away, moved between bins and counted.

#include "domain/plan.hpp"

namespace shearpin::domain {

/// Pieces of one part. Without a bin: from aboard.
struct PiecesRequest {
  When when;
  PartId part;
  std::int64_t pieces = 1;
  std::optional<BinId> from;
  std::string batch;                   ///< only this batch
  std::optional<PositionId> position;  ///< what a use was for
  std::string cause;                   ///< of scrapping: expired, wet, spoiled in fitting
};

/// `use`: consumed, with a UsageLine. Sound pieces first to expire; from a named bin also doubtful
/// ones, last and with a note.
Plan plan_use(const Snapshot& now, const PiecesRequest& request);

/// `lose` for pieces in a bin: left behind or stolen. Any piece can be lost; the order is as for
/// use.
Plan plan_lose_pieces(const Snapshot& now, const PiecesRequest& request);

/// `scrap`: thrown away, no demand. Expired pieces first, then quarantined, then the rest. With
/// cause "expired" only expired ones. Without a bin aboard first, then ashore. The cause stands
/// before the entry's note.
Plan plan_scrap(const Snapshot& now, const PiecesRequest& request);

struct LoseUnitRequest {
  When when;
  PositionId position;
  std::vector<int> units;  ///< none: the longest fitted, `count` of them
  int count = 1;
  bool refit = false;  ///< a spare is fitted at once, by the rule of plan_fail; none aboard: dead
  Pick pick;
  std::string cause;  ///< lost, stolen, left behind
};

/// `lose` for fitted units: life ends as lost (no failure), with a UsageLine marked lost where the
/// unit has a part number; the place is left dead unless refitted.
Plan plan_lose_unit(const Snapshot& now, const LoseUnitRequest& request);

struct MoveRequest {
  When when;
  PartId part;
  std::int64_t pieces = 1;
  BinId from, to;
  std::string batch;
};

/// `move`. Sound pieces first, by the order of taken_before.
Plan plan_move(const Snapshot& now, const MoveRequest& request);

struct CountRequest {
  When when;
  PartId part;
  std::int64_t pieces = 0;  ///< in the bin, all lots
  BinId in;
  std::string why;
};

/// `count`. The difference to the book is posted: a shortage from the oldest lots, a surplus as a
/// new lot. A count that agrees is an entry without lines. `outcome.book` and `counted` hold both.
Plan plan_count(const Snapshot& now, const CountRequest& request);

}  // namespace shearpin::domain
