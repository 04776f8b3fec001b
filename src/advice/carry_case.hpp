#pragma once
/// One part over a stretch with no resupply or a trip with stops: the line of `carry`, and what
/// `explain`, kits and simulations need of it.

#include "advice/outlook.hpp"

namespace shearpin::advice {

/// A carry line with what it came from.
struct CarryCase {
  CarryLine line;
  Outlook outlook;
  stocking::DaysWithout days_without;  ///< expected unit-days for stock 0, 1, ...
  CostOfDays cost;                     ///< of those days
  std::vector<double> chances;         ///< of no shortage, for stock 0, 1, ...; the last holds on
  double piece_cost = 0;               ///< of holding one piece over the window

  double chance(std::int64_t stock) const;
};

CarryCase carry_case(const Analyst& analyst, PartId part, const Window& window);

/// Chance of no shortage with `good` sound pieces and worn ones that each last with `lasts`, from
/// the chances with 0, 1, ... sound ones (the last holds beyond).
double chance_of_stock(const std::vector<double>& chances, std::int64_t good, std::int64_t worn,
                       double lasts);

/// Share of what there is to know of ln life that the own record taught: what sister parts lent was
/// known before it.
double share_learnt(const LifeBelief& belief);

/// Cost of one piece of the part held for `days`; nothing where its price is unknown.
std::optional<double> holding_cost(const Analyst& analyst, const domain::Part& part, double days);

/// Parts worth a line: called for by a position, used up, or in stock. Retired ones are left out
/// unless pieces of them are left.
std::vector<PartId> parts_of_interest(const Analyst& analyst);

}  // namespace shearpin::advice
