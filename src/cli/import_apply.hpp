#pragma once
/// Applying import rows to a ledger: each row is the command it means.

#include <map>
#include <memory>
#include <set>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "cli/session.hpp"
#include "domain/plan.hpp"
#include "interchange/import.hpp"

namespace shearpin::cli {

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
  domain::Snapshot snapshot(Date day, const ledger::Scope& scope) const {
    return ledger_.snapshot(day, std::nullopt, scope, catalogue_);
  }
  /// For rows that no history has a say in.
  domain::Snapshot catalogue_alone(Date day) const;
  void refresh_for(const interchange::ImportRow& row, interchange::Kind kind);

  ledger::Ledger& ledger_;
  ledger::Ledger::Transaction& transaction_;
  Date today_, first_day_;
  std::string batch_;
  std::shared_ptr<const domain::Catalogue> catalogue_;  ///< as it stood when last read
  interchange::Kind fresh_kind_{};                      ///< of master rows applied since
  std::set<std::string> fresh_keys_;                    ///< their keys
  /// Places by key of the things in catalogue_, by kind of thing; filled when first asked for.
  std::map<std::string_view, std::unordered_map<std::string, std::size_t>> places_;
  std::map<std::string, EntryId> by_id_;  ///< rows' own numbers, for `undoes`
  std::map<std::string, domain::TripLine> trips_;
  std::vector<std::string> trip_order_;
  std::size_t entries_ = 0;
  std::optional<std::int64_t> said_;  ///< of the row being applied, where it tells of a day
};

}  // namespace shearpin::cli
