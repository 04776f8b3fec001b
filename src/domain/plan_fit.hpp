#pragma once
/// A unit is fitted, or replaced before it failed.

#include "domain/plan.hpp"

namespace shearpin::domain {

struct FitRequest {
  When when;
  PositionId position;
  std::vector<int> units;     ///< none: all that hold nothing sound (stand-ins included)
  Pick pick;                  ///< without `from`: from outside
  std::optional<double> age;  ///< effective age at the fit; none: new, or the worn lot's own
  bool age_unknown = false;
  std::optional<Date> made, ends;
  /// Where pieces without a bin come from. None: Outside::before for a place that never held a unit
  /// (what was there when the ledger began), else Outside::supplier.
  std::optional<Outside> origin;
};

/// `fit`. The part is the pick's, else the position's; it must be called for or declared as a
/// substitute, unless the position calls for none. `pick.no_part` fits something without a part
/// number. Dead, workaround and empty places are filled; a stand-in there ends as stand_in_removed.
/// A named unit that is fitted is refused. From a bin the lot's age, made date and (for dated
/// classes) end are inherited; for a dated class made + shelf life gives the end where none is
/// marked.
Plan plan_fit(const Snapshot& now, const FitRequest& request);

struct RenewRequest {
  When when;
  PositionId position;
  std::vector<int> units;  ///< none: a stand-in first, then the longest fitted, `count` of them
  int count = 1;
  Pick pick;                  ///< as for plan_fail; nothing sound aboard is refused
  std::optional<BinId> keep;  ///< the old units become worn spares here, with their age
  AgeOf age_of;               ///< needed with `keep`; may be empty: age unknown
  bool expired = false;       ///< taken off at its marked end; so anyway once that day has come
  std::string cause;
};

/// `renew`. Ends the old units as renewed, expired or stand_in_removed, and fits new ones. A place
/// that holds nothing is refused (that is `fit`). `keep` is refused for a unit without a part
/// number and for one past its marked end.
Plan plan_renew(const Snapshot& now, const RenewRequest& request);

}  // namespace shearpin::domain
