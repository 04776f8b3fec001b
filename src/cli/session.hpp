#pragma once
/// One command's hold on the ledger: names to ids, snapshots, and writing as one transaction.

#include <functional>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "cli/context.hpp"
#include "shearpin/domain/draft.hpp"
#include "shearpin/domain/name_lookup.hpp"
#include "shearpin/domain/snapshot.hpp"
#include "shearpin/ledger/ledger.hpp"

namespace shearpin::cli {

/// A position as typed, `l05/3` meaning its third unit.
struct PositionWord {
  PositionId position;
  std::optional<int> unit;
};

/// The ledger of the context. LedgerError says how to `init` where there is none.
ledger::Ledger open_ledger(const Context& context, ledger::Ledger::Mode mode);

class Session {
 public:
  /// As open_ledger.
  Session(Context& context, ledger::Ledger::Mode mode);

  Context& context() { return context_; }
  ledger::Ledger& ledger() { return ledger_; }
  const domain::Catalogue& catalogue() const { return catalogue_; }

  /// Names as people type them (find_name in domain). One hit is taken; when it is not the
  /// exact key it is echoed (see `echoes`). Several: InputError listing keys and names, or on a
  /// terminal a numbered choice. None: InputError with the nearest three.
  PositionWord position(const std::string& typed);
  PartId part(const std::string& typed);
  BinId bin(const std::string& typed);
  SupplierId supplier(const std::string& typed);
  MeterId meter(const std::string& typed);
  RigId rig(const std::string& typed);
  ClassId component_class(const std::string& typed);
  /// The plan as it stands, in order. Trips are no master data: they are read when asked for.
  domain::TripLine trip(const std::string& typed);

  /// How exactly a word names a part or a position, for commands that take either; nothing is
  /// asked or echoed. Steps are ordered from the most exact to none.
  domain::MatchStep part_match(const std::string& typed) const;
  domain::MatchStep class_match(const std::string& typed) const;
  domain::MatchStep position_match(const std::string& typed) const;

  /// "frige fuse" -> l21 Sample fridge fuse 15 A: lines for the top of the answer.
  const std::vector<std::string>& echoes() const { return echoes_; }

  /// The ledger on a day, all of it or the part a command touches.
  domain::Snapshot snapshot(Date day, const ledger::Scope& scope = {}) const;

  /// All of it as it was on a day, with what had been recorded by then.
  domain::Snapshot known_on(Date day) const { return ledger_.snapshot(day, day); }
  std::vector<ledger::JournalRow> journal(const ledger::JournalQuery& query) const {
    return ledger_.journal(query);
  }

  /// Writes the drafts in one transaction and commits; under --dry-run everything is checked and
  /// nothing stays. Returns the entries' numbers (those they would have had, under --dry-run).
  std::vector<EntryId> record(const std::vector<domain::EntryDraft>& drafts);

  Date today() const { return context_.today; }
  bool dry_run() const { return context_.dry_run; }
  Date day() const { return context_.day(); }

  /// --on, default today; refuses a day after today.
  Date on(const std::optional<std::string>& typed) const;

 private:
  Context& context_;
  ledger::Ledger ledger_;
  domain::Catalogue catalogue_;
  std::vector<std::string> echoes_;
};

}  // namespace shearpin::cli
