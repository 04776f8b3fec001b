#pragma once
/// Writing the lines of one entry.

#include <set>
#include <string>
#include <vector>

#include "ledger/checks.hpp"
#include "ledger/uuid.hpp"
#include "shearpin/domain/draft.hpp"
#include "shearpin/ledger/ledger.hpp"

namespace shearpin::ledger {

/// The head of an entry.
struct EntryHead {
  std::string uuid, written;
  Date recorded, happened;
  std::string kind, who, note, batch;
  std::optional<EntryId> reverses, root;
  std::int64_t depth = 0;
  std::optional<std::int64_t> said;
};
EntryId insert_entry(const Database& database, const EntryHead& head);

/// Writes the lines of `draft` under an entry that is in the file already, then asks the rules that
/// span entries. InputError when one refuses; the caller rolls back.
class Recorder {
 public:
  Recorder(const Database& database, const domain::EntryDraft& draft, EntryId entry,
           Created& created)
      : database_(database), draft_(draft), entry_(entry), created_(created) {}
  void write();

 private:
  // record_master.cpp
  void write_masters();
  void write_policies();
  // record_stores.cpp
  void write_lots();
  void write_movements();
  void write_orders();
  void write_receipts();
  void write_usages();
  void write_quarantines();
  // record_units.cpp
  void write_ends();
  void write_fits();
  void write_repairs();
  void write_opens();
  void write_attributions();
  // record_field.cpp
  void write_tests();
  void write_readings();
  void write_stays();
  void write_conditions();
  void write_faults();
  void write_trips();

  LotId resolve(const domain::LotRef& lot);
  std::optional<LotId> resolve(const std::optional<domain::LotRef>& lot);
  FaultId require_fault(const std::string& key) const;
  void require_fault(FaultId fault) const;
  void require_unit_number(PositionId position, int unit) const;
  void touch_unit(UnitId unit);
  void refuse_first(const std::vector<Conflict>& found) const;
  void check_touched();

  const Database& database_;
  const domain::EntryDraft& draft_;
  EntryId entry_;
  Created& created_;
  std::set<std::pair<PositionId, int>> places_;
  std::set<OrderId> orders_;
  std::set<LotId> lots_;
  std::set<FaultId> faults_;
  std::set<MeterId> meters_;
};

/// True when the draft has a line of the sort its kind is about.
bool has_fitting_line(const domain::EntryDraft& draft);

}  // namespace shearpin::ledger
