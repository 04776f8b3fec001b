#pragma once
/// Turns a snapshot into beliefs and demands, part by part. Built once a run; const and safe to use
/// from several threads.

#include <map>
#include <memory>
#include <mutex>
#include <optional>
#include <utility>
#include <vector>

#include "shearpin/advice/answers.hpp"
#include "shearpin/advice/belief.hpp"
#include "shearpin/domain/exposure.hpp"
#include "shearpin/domain/life_records.hpp"
#include "shearpin/domain/snapshot.hpp"
#include "stats/class_borrowing.hpp"

namespace shearpin::advice {

/// A position that calls for a part, as demand sees it.
struct Caller {
  const domain::Position* position = nullptr;
  domain::Severity severity = domain::Severity::degraded;  ///< after the workaround step down
  double cost_of_day = 0;
  std::vector<domain::FittedNow> units;
};

/// What is left of an open order.
struct Coming {
  std::int64_t pieces = 0;
  Date planned;
  std::string to;  ///< bin or stop it goes to, as the person said it; may be empty
};

class Analyst {
 public:
  /// Keeps a reference: the snapshot must outlive it.
  explicit Analyst(const domain::Snapshot& snapshot);
  Analyst(const Analyst&) = delete;
  Analyst& operator=(const Analyst&) = delete;

  const domain::Snapshot& snapshot() const { return snapshot_; }
  const domain::Catalogue& catalogue() const { return *snapshot_.catalogue; }
  const domain::Policy& policy() const { return snapshot_.policy; }
  const domain::ExposureReader& exposure() const { return exposure_; }
  const domain::LifeReader& lives() const { return lives_; }

  /// Severity that sets targets and costs: the position's own or its class's, one step down where a
  /// workaround is declared (never for safety).
  domain::Severity severity_of(const domain::Position& position) const;

  /// Positions (not retired) that call for the part, severest first.
  std::vector<Caller> callers_of(PartId part) const;

  /// Day of the first thing recorded of the part (fitted, stocked, ordered, used), else as-of.
  Date first_record_of(PartId part) const;

  /// The class belief, moved by what the other parts of the class have seen (unless the policy's
  /// borrow is 0) and updated by the part's own records.
  /// `how` fine the nodes must be for what is asked: see PosteriorOptions::ahead.
  LifeBelief life_belief(PartId part, const stats::PosteriorOptions& how = {}) const;
  /// The same from other records of the part than the ledger's: some left out, say.
  LifeBelief life_belief_from(PartId part, std::vector<domain::AgeRecord> records,
                              const stats::PosteriorOptions& how = {}) const;
  /// The same for a class: the records of all its parts, and of units without a part number, as if
  /// they were one part.
  LifeBelief life_belief_of_class(ClassId component_class) const;
  /// The class belief alone, for a position without a part number.
  LifeBelief life_belief_of_position(const domain::Position& position) const;

  /// `severity` chooses the planning quantile: safety and stranded plan more carefully.
  LeadBelief lead_belief(PartId part, domain::Severity severity) const;

  /// Open orders by the day they are planned to come: the day promised, else that of the planning
  /// lead time, else, once that is over, the day by which they come as surely after all they have
  /// waited. Not those given up (LeadBelief::given_up_days), which stock_of leaves out likewise.
  std::vector<Coming> coming(PartId part, domain::Severity severity) const;

  /// Pieces by where they lie and whether they are good until the end of `until`.
  StockView stock_of(PartId part, Date until) const;

 private:
  bool is_given_up(const domain::Order& order) const;
  /// Of a supplier and a class of resupply, which many parts share: worked out once, then kept.
  LeadBelief shared_lead(std::optional<SupplierId> supplier, domain::Resupply resupply) const;
  LifeBelief belief_from(const domain::ComponentClass* component_class,
                         std::vector<domain::AgeRecord> records) const;
  void list_lenders();
  void borrow(PartId part, LifeBelief& belief) const;

  /// Parts of one class and what each is lent by the others; made when first asked for.
  struct Loans {
    std::mutex lock;
    std::vector<PartId> parts;
    std::vector<stats::BorrowedPrior> priors;
  };

  const domain::Snapshot& snapshot_;
  domain::ExposureReader exposure_;
  domain::LifeReader lives_;
  std::map<PartId, std::vector<const domain::Position*>> positions_;
  std::map<PartId, std::vector<const domain::StockLine*>> stock_;
  std::map<PartId, std::vector<const domain::Order*>> open_orders_;
  std::map<PartId, Date> first_record_;
  std::map<ClassId, std::unique_ptr<Loans>> loans_;  ///< of classes with two parts or more
  mutable std::mutex leads_lock_;
  mutable std::map<std::pair<std::optional<SupplierId>, domain::Resupply>, LeadBelief> leads_;
};

}  // namespace shearpin::advice
