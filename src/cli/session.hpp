#pragma once
/// One command's hold on the ledger: names to ids, snapshots, and writing as one transaction.

#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "apply/resolver.hpp"
#include "cli/context.hpp"
#include "domain/name_lookup.hpp"
#include "shearpin/domain/draft.hpp"
#include "shearpin/domain/snapshot.hpp"
#include "shearpin/ledger/ledger.hpp"

namespace shearpin::cli {

/// The ledger of the context. LedgerError says how to `init` where there is none.
ledger::Ledger open_ledger(const Context& context, ledger::Ledger::Mode mode);

/// Names as people type them (find_name in domain). One hit is taken; when it is not the exact key
/// it is echoed (see `echoes`). Several: InputError listing keys and names, or on a terminal a
/// numbered choice. None: InputError with the nearest three.
class Session : public apply::Resolver {
 public:
  /// As open_ledger. For writing, a transaction is begun before anything is read: what is planned
  /// from is what is written on, whoever else writes at the same time.
  Session(Context& context, ledger::Ledger::Mode mode);

  Context& context() { return context_; }
  ledger::Ledger& ledger() { return ledger_; }
  /// What a command for writing writes with; nothing stays without commit().
  ledger::Ledger::Transaction& transaction() { return *transaction_; }
  const domain::Catalogue& catalogue() const override { return *catalogue_; }

  /// The plan as it stands, in order. Trips are no master data: they are read when asked for.
  domain::TripLine trip(const std::string& typed);

  /// How exactly a word names a part or a position, for commands that take either; nothing is
  /// asked or echoed. Steps are ordered from the most exact to none.
  domain::MatchStep part_match(const std::string& typed) const {
    return match<domain::Part>(typed);
  }
  domain::MatchStep class_match(const std::string& typed) const {
    return match<domain::ComponentClass>(typed);
  }
  domain::MatchStep position_match(const std::string& typed) const {
    return match<domain::Position>(typed);
  }

  /// "frige fuse" -> l21 Sample fridge fuse 15 A: lines for the top of the answer.
  const std::vector<std::string>& echoes() const { return echoes_; }

  /// The ledger on a day, all of it or the part a command touches.
  domain::Snapshot snapshot(Date day, const ledger::Scope& scope = {}) const {
    return ledger_.snapshot(day, context_.known, scope, catalogue_);
  }
  domain::Snapshot planned_from(Date day, const std::optional<ledger::Scope>& needed,
                                const std::vector<PartId>& told) const override;

  /// All of it as it was on a day, with what had been recorded by then.
  domain::Snapshot known_on(Date day) const { return ledger_.snapshot(day, day); }
  std::vector<ledger::JournalRow> journal(const ledger::JournalQuery& query) const {
    return ledger_.journal(query);
  }
  /// What each entry did, in words.
  std::vector<std::string> texts_of(std::span<const ledger::JournalRow> rows) const;

  /// Checks and writes the drafts; they stay once commit() is called. The entries' numbers.
  std::vector<EntryId> stage(const std::vector<domain::EntryDraft>& drafts);
  /// Ends the transaction: under --dry-run nothing stays, else `entries` do, and the context says
  /// so to whatever fails afterwards.
  void commit(const std::vector<EntryId>& entries);
  /// Both.
  std::vector<EntryId> record(const std::vector<domain::EntryDraft>& drafts);

  /// Goes on only with a yes: asked for on a terminal, given beforehand by `given`. InputError with
  /// `doubt` and `how` to say yes otherwise.
  void require_yes(const std::string& doubt, const std::string& how, bool given = false);

  Date today() const override { return context_.today; }
  bool dry_run() const { return context_.dry_run; }
  Date day() const { return context_.day(); }

  /// --on, default today; refuses a day after today.
  Date on(const std::optional<std::string>& typed) const override;

 private:
  void begin();
  /// Lets others write while a person thinks: InputError where one did.
  void unlocked(const std::function<void()>& ask);
  /// Which of several is meant; an empty answer means none of them.
  std::optional<std::size_t> ask_which(const std::vector<domain::NameEntry>& entries,
                                       std::span<const std::size_t> hits, const std::string& typed);
  std::size_t find(const std::string& typed, const std::string& what, const Names& names) override;
  template <class T>
  domain::MatchStep match(const std::string& typed) const {
    return domain::find_name(typed, apply::names_of_all<T>(*catalogue_)).step;
  }

  Context& context_;
  ledger::Ledger ledger_;
  std::optional<ledger::Ledger::Transaction> transaction_;
  std::shared_ptr<const domain::Catalogue> catalogue_;
  std::vector<std::string> echoes_;
};

}  // namespace shearpin::cli
