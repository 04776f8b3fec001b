#pragma once
/// Files into the ledger: each row is the command it means.

#include <map>
#include <memory>
#include <optional>
#include <set>
#include <string>
#include <unordered_map>
#include <utility>
#include <vector>

#include "apply/resolver.hpp"
#include "interchange/import.hpp"

namespace shearpin::apply {

/// Writes rows inside a transaction that the caller commits or drops. In a file only the exact key
/// or the whole name of a thing will do: nobody is there to see a guess.
class Import : public Resolver {
 public:
  /// `batch` ties the entries.
  Import(const ledger::Ledger& ledger, ledger::Ledger::Transaction& transaction, Date today,
         std::string batch);

  /// Writes every row of the files, master data as of their first day. What the files hold that
  /// could not be read, then what could not be applied; nothing of a refused row stays.
  std::vector<interchange::Refusal> apply(const std::vector<interchange::ImportFile>& files);

  std::size_t entries() const { return entries_; }

  const domain::Catalogue& catalogue() const override { return *catalogue_; }
  Date today() const override { return today_; }
  Date on(const std::optional<std::string>& typed) const override;
  domain::Snapshot planned_from(Date day, const std::optional<ledger::Scope>& needed,
                                const std::vector<PartId>& told) const override;

 private:
  /// Places in a list of the catalogue, by key and by what names are compared by.
  struct Index {
    std::unordered_map<std::string, std::size_t> keys, forms;
    std::unordered_map<std::string, std::vector<std::size_t>> names;
  };
  std::size_t find(const std::string& typed, const std::string& what, const Names& names) override;
  void refresh_for(const interchange::ImportRow& row, interchange::Kind kind);
  void take(const interchange::ImportRow& row, interchange::Kind kind);
  void take_master(const interchange::ImportRow& row, interchange::Kind kind);
  void take_leg(const interchange::ImportRow& row);
  void take_dated(const interchange::ImportRow& row);
  domain::Plan receipt(const interchange::ImportRow& row, Arguments words);
  void undo(const interchange::ImportRow& row);
  EntryId record(const domain::EntryDraft& draft);
  void record_trips();

  const ledger::Ledger& ledger_;
  ledger::Ledger::Transaction& transaction_;
  Date today_, first_day_;
  std::string batch_;
  std::shared_ptr<const domain::Catalogue> catalogue_;  ///< as it stood when last read
  interchange::Kind fresh_kind_{};                      ///< of master rows applied since
  std::set<std::string> fresh_keys_;                    ///< their keys
  std::map<std::string, Index> indexes_;                ///< by kind of thing; of catalogue_
  std::map<std::string, EntryId> by_id_;                ///< rows' own numbers, for `undoes`
  std::vector<domain::TripLine> trips_;  ///< they have several rows: written once all are in
  std::size_t entries_ = 0;
  std::optional<std::int64_t> said_;  ///< of the row being applied, where it tells of a day
};

}  // namespace shearpin::apply
