#pragma once
/// One part over a stretch with no resupply: the line of `carry`, and what `explain` shows of it.

#include "advice/part_demand.hpp"

namespace shearpin::advice {

/// A carry line with the belief and demand it came from.
struct StretchCase {
  CarryLine line;
  LifeBelief belief;
  stocking::Pmf demand;
  stocking::DaysWithout days_without;  ///< expected unit-days for stock 0, 1, ...
  stocking::DaysWithout cost;          ///< expected cost of those days
  stocking::DaysWithout safety_cost;   ///< its share at safety positions
  double piece_cost = 0;               ///< of holding one piece over the stretch
  double exposure = 0;                 ///< effective, all units, over the stretch
};

/// Share of what there is to know of ln life that the own record taught: what sister parts lent was
/// known before it.
double share_learnt(const LifeBelief& belief);

/// The strictest severity among the positions that call for the part; its class's without any.
domain::Severity part_severity(const Analyst& analyst, PartId part,
                               const std::vector<Caller>& callers);

/// What each unit fitted where the part is called for has before it in `days`, at the daily
/// exposure of the window: how fine the nodes must be.
std::vector<stats::ExposureAhead> exposure_ahead(const Analyst& analyst, PartId part,
                                                 const Window& window, double days);

/// Cost of one piece of the part held for `days`; nothing where its price is unknown.
std::optional<double> holding_cost(const Analyst& analyst, const domain::Part& part, double days);

StretchCase stretch_case(const Analyst& analyst, PartId part, const Window& window);

/// The reason for a level in about six words.
std::string reason_for(const CarryLine& line);

/// As below, from the chances of no shortage with 0, 1, ... sound pieces (the last holds beyond).
double chance_of_stock(const std::vector<double>& chances, std::int64_t good, std::int64_t worn,
                       double lasts);

/// Chance of no shortage with `good` sound pieces and worn ones that each last with `lasts`.
double chance_with_stock(const stocking::Pmf& demand, std::int64_t good, std::int64_t worn,
                         double lasts);

/// Parts worth a line: called for by a position, used up, or in stock. Retired ones are left out
/// unless pieces of them are left.
std::vector<PartId> parts_of_interest(const Analyst& analyst);

}  // namespace shearpin::advice
