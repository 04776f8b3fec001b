#pragma once
/// Applying import rows to a ledger: each row is the command it means.

#include <map>
#include <string>
#include <vector>

#include "cli/session.hpp"
#include "shearpin/domain/plan.hpp"
#include "shearpin/interchange/import.hpp"

namespace shearpin::cli {

/// The line of master data a row means: the thing added, or changed where its key exists already.
/// InputError as `KIND add`.
domain::MasterLine master_line(const interchange::MasterRow& row, interchange::Kind kind,
                               const domain::Catalogue& catalogue);

/// One paragraph a refusal, with file, line, column, value and rule.
std::string refusal_text(const std::vector<interchange::Refusal>& refusals);

/// Applies rows one by one inside a transaction that the caller commits or drops.
class ImportApplier {
 public:
  /// `first_day`: the day on which master data counts as recorded.
  ImportApplier(ledger::Ledger& ledger, ledger::Ledger::Transaction& transaction, Date today,
                Date first_day, std::string batch);

  /// Writes what the row means. InputError where it is refused; nothing of the row stays then.
  void apply(const interchange::ImportRow& row, interchange::Kind kind);
  /// Trips have several rows: written once all are in.
  void finish();

  std::size_t entries() const { return entries_; }

 private:
  struct Visitor;
  EntryId record(const domain::EntryDraft& draft);
  void record(const domain::Plan& plan, const std::string& id);
  domain::Snapshot snapshot(Date day, const ledger::Scope& scope);

  ledger::Ledger& ledger_;
  ledger::Ledger::Transaction& transaction_;
  Date today_, first_day_;
  std::string batch_;
  domain::Catalogue catalogue_;
  std::map<std::string, EntryId> by_id_;  ///< rows' own numbers, for `undoes`
  std::map<std::string, domain::TripLine> trips_;
  std::vector<std::string> trip_order_;
  std::size_t entries_ = 0;
};

}  // namespace shearpin::cli
