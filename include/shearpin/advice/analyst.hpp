#pragma once
/// Turns a snapshot into beliefs and demands, part by part. Built once a run; const and safe to use
/// from several threads.

#include <memory>
#include <span>
#include <vector>

#include "shearpin/advice/answers.hpp"
#include "shearpin/advice/belief.hpp"
#include "shearpin/domain/exposure.hpp"
#include "shearpin/domain/life_records.hpp"
#include "shearpin/domain/snapshot.hpp"

namespace shearpin::advice {

/// A position that calls for a part, as demand sees it.
struct Caller {
  const domain::Position* position = nullptr;
  domain::Severity severity = domain::Severity::degraded;  ///< after the workaround step down
  double cost_of_day = 0;
  std::vector<domain::FittedNow> units;
};

class Analyst {
 public:
  /// Keeps a reference: the snapshot must outlive it.
  explicit Analyst(const domain::Snapshot& snapshot);

  const domain::Snapshot& snapshot() const { return snapshot_; }
  const domain::Catalogue& catalogue() const { return snapshot_.catalogue; }
  const domain::Policy& policy() const { return snapshot_.policy; }
  const domain::ExposureReader& exposure() const { return exposure_; }

  /// Severity that sets targets and costs: the position's own or its class's, one step down where a
  /// workaround is declared (never for safety).
  domain::Severity severity_of(const domain::Position& position) const;

  /// Positions (not retired) that call for the part, severest first.
  std::vector<Caller> callers_of(PartId part) const;

  /// Present units of one position.
  std::vector<domain::FittedNow> units_of(PositionId position) const;

  /// The class belief updated by the part's own records.
  LifeBelief life_belief(PartId part) const;
  /// The class belief alone, for a position without a part number.
  LifeBelief life_belief_of_position(const domain::Position& position) const;

  LeadBelief lead_belief(PartId part, domain::Severity severity) const;

  /// Pieces by where they lie and whether they are good until `until`.
  StockView stock_of(PartId part, Date until) const;

 private:
  LifeBelief belief_from(const domain::ComponentClass* component_class,
                         std::vector<domain::AgeRecord> records) const;

  const domain::Snapshot& snapshot_;
  domain::ExposureReader exposure_;
  std::vector<domain::FittedNow> fitted_;
};

}  // namespace shearpin::advice
