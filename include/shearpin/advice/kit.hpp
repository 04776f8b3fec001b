#pragma once
/// The whole kit under limits of mass, volume, money and risk, as asked and as answered.

#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "shearpin/base/id.hpp"
#include "shearpin/domain/vocabulary.hpp"

namespace shearpin::advice {

/// Limits as a person gives them; grams, millilitres, the ledger's currency.
struct KitLimits {
  std::optional<double> max_mass_g, max_volume_ml, max_cost;  ///< of all that is aboard
  std::optional<double> add_mass_g, add_volume_ml, add_cost;  ///< of what is added; cost: bought
  /// Most chance, over the whole stretch, that a failure of this severity or worse meets neither a
  /// spare nor a workaround.
  std::vector<std::pair<domain::Severity, double>> max_risk;

  bool any() const {
    return max_mass_g || max_volume_ml || max_cost || add_mass_g || add_volume_ml || add_cost ||
           !max_risk.empty();
  }
  /// Only what is added is limited, so nothing that is aboard need stay at home.
  bool keeps_aboard() const { return !max_mass_g && !max_volume_ml && !max_cost; }
};

/// One part in the kit.
struct KitLine {
  std::string part, name;
  domain::Severity severity = domain::Severity::degraded;
  std::int64_t aboard = 0, advised = 0, kit = 0;
  std::int64_t await = 0;  ///< on order, planned to come before the departure
  std::int64_t load = 0;   ///< from ashore
  std::int64_t buy = 0;
  std::int64_t late = 0;  ///< of `buy`, what an order planned after the departure may bring in time
  double chance = 0;      ///< of no shortage with `kit`
  /// Parts that may serve where this one has run out, in order of preference; and those that this
  /// one may serve so.
  std::vector<std::string> stand_ins = {}, also_serves = {};
};

/// One limit and what the kit takes of it.
struct KitUse {
  std::string what;  ///< "mass aboard", "money spent"
  std::string unit;  ///< g, ml, money
  double most = 0, use = 0;
};

/// One risk cap and what is left.
struct KitRisk {
  domain::Severity severity = domain::Severity::stranded;
  double most = 0, chance = 0;
};

/// Why there is no kit, or what the limits leave too little of.
struct KitConflict {
  std::string what, unit;
  double most = 0;
  double needed = 0;  ///< least of any kit that keeps all the others, or of the safety parts alone
};

/// One step: more of a limit, or less.
struct KitStep {
  std::string part, name;
  std::int64_t from = 0, to = 0;
  double use = 0;                             ///< of the limit, by this step
  double days_without = 0, cost_without = 0;  ///< change; negative: better
};

/// What a little more of a limit would buy.
struct KitMore {
  std::string what, unit;
  double extra = 0;
  std::vector<KitStep> changes;
  double readiness = 0, days_without = 0, cost_without = 0;  ///< of the kit then
};

/// The best kit under the limits.
struct KitView {
  KitLimits asked;
  bool found = false;
  bool undecided = false;  ///< the work allowed ran out before a kit was found or shown impossible
  bool optimal = false;
  double gap = 0;              ///< share by which a better kit might be better, 0 where proven
  std::vector<KitLine> lines;  ///< kits that differ from what is aboard or advised first
  std::vector<KitUse> limits;
  std::vector<KitRisk> risks;
  double readiness = 0, days_without = 0, cost_without = 0, safety_cost = 0;
  std::vector<KitConflict> conflicts;     ///< without a kit
  std::vector<KitConflict> safety_short;  ///< limits below what the safety parts need by themselves
  std::vector<KitStep> leave_first;       ///< by the first limit given
  std::vector<KitMore> more;
  /// Keys of places that no risk cap sees, since they call for no part: of a severity that one
  /// caps, and with no workaround.
  std::vector<std::string> unseen;
  std::vector<std::string> notes;
};

}  // namespace shearpin::advice
