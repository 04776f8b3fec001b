#pragma once
/// Upstream causes and the failures attributed to them.

#include "domain/plan_fit.hpp"

namespace shearpin::domain {

struct FaultOpenRequest {
  When when;
  std::string key;
  PositionId position;
  std::optional<Date> since;  ///< failures of the position from this day on are attributed
};

/// `fault open`. A second entry attributes the failures since that day that have no fault yet.
Plan plan_fault_open(const Snapshot& now, const FaultOpenRequest& request);

struct FaultCloseRequest {
  When when;
  FaultId fault;
  std::optional<RenewRequest> renew;  ///< a fresh unit fitted with the repair: its own entry
};

/// `fault close`. The snapshot holds the fault.
Plan plan_fault_close(const Snapshot& now, const FaultCloseRequest& request);

struct AttributeRequest {
  When when;
  FaultId fault;
  PositionId position;
  Date since;
  std::optional<Date> until;  ///< none: the day of the request
};

/// Failures of a position between two days are attributed to a fault. None found is refused.
Plan plan_attribute(const Snapshot& now, const AttributeRequest& request);

}  // namespace shearpin::domain
