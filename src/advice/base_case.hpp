#pragma once
/// One part at base, with the post in reach: level, reorder point, stock position.

#include "advice/carry_case.hpp"

namespace shearpin::advice {

/// A reorder line with the numbers it rests on.
struct BaseCase {
  ReorderLine line;
  LeadBelief lead;
  stocking::Pmf lead_demand;        ///< D(L)
  stocking::Pmf protection_demand;  ///< D(review + L)
  bool bounded = false;             ///< some of these demands are bounds from above
  stocking::DaysWithout cost;       ///< expected cost of days without for stock 0, 1, ...
  stocking::DaysWithout days_without;
  double piece_cost = 0;
  double exposure = 0;  ///< effective, all units, over review and mean lead time
};

/// `records`: those of the part's lives that shall count, where not all of them shall.
BaseCase base_case(const Analyst& analyst, PartId part, const CarryLine* stretch = nullptr,
                   const std::vector<domain::AgeRecord>* records = nullptr);

/// What to order: what life at base wants, or what a stretch (nullptr: none) lacks, whichever is
/// more. A stretch has its own count: its level holds the open places and its pieces last it.
void set_order(const Analyst& analyst, const CarryLine* stretch, ReorderLine& line);

}  // namespace shearpin::advice
