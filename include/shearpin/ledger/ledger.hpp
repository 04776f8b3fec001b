#pragma once
/// The ledger file: SQLite, append-only, durable. The only module that knows SQL.

#include <filesystem>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "shearpin/domain/draft.hpp"
#include "shearpin/domain/snapshot.hpp"

namespace shearpin::ledger {

/// Newest schema this program knows (PRAGMA user_version).
int newest_schema();

/// Which part of the history a snapshot reads; the catalogue and policy are always whole.
/// Empty lists mean everything. Writing commands name what they touch, so that logging one failure
/// costs the same on a small and a large ledger.
///
/// Of `positions`: lives, open places, tests, faults, pieces used or lost there. Of `parts`: stock,
/// orders, pieces used or lost, and all of the above for the positions that call for the part or
/// have held one.
struct Scope {
  std::vector<PositionId> positions;
  std::vector<PartId> parts;
  bool stores_only = false;  ///< of `parts` stock and orders alone, no positions drawn in
  bool exposure = true;      ///< readings of the positions' meters, and conditions
  bool meters_only = false;  ///< readings of all meters and conditions, and nothing besides
  std::vector<PartId> orders_of =
      {};  ///< besides `parts`: parts of which the orders alone are read
  /// What a new line of the day is planned from, however long the history: of each unit of the
  /// positions the newest lives back to a sound one, with its last repair and passed test, of each
  /// meter the last reading, and of orders those of `orders_of` alone. Never with everything.
  bool latest = false;
  bool everything() const {
    return positions.empty() && parts.empty() && orders_of.empty() && !meters_only;
  }
};

/// Who writes and when, the same for every entry of a command.
struct Stamp {
  std::string written;  ///< UTC instant, 2026-05-25T18:03:07.123Z
  Date today;           ///< declared day of writing where the draft gives none
  std::optional<std::string> who;
};

/// Numbers that one entry gave, each list in the order of the draft's lines.
struct Created {
  std::vector<std::int64_t> masters;  ///< of every MasterLine: its id, new or old; substitutes and
                                      ///< safety notes give the row's
  std::vector<LotId> lots;
  std::vector<UnitId> units;  ///< of FitLines
  std::vector<OrderId> orders;
  std::vector<std::string> order_numbers;
  std::vector<FaultId> faults;  ///< of FaultLines, opened or closed, then of AttributeLines
};

/// An entry read back.
struct JournalRow {
  EntryId id;
  std::string uuid, written, who, batch;
  domain::EntryDraft draft;  ///< as recorded, with the numbers the ledger gave; `recorded` is
                             ///< there. Of an undo its fields set back, as master lines
  Created made;  ///< with the uuid of the entry it names its lots, units ... in any copy
  std::optional<std::int64_t> said;
  std::optional<EntryId> reverses, reversed_by;
  std::optional<EntryId> revived_by;  ///< taken back, and brought back by this one
  bool live = true;                   ///< in force: never taken back, or brought back since
};

struct JournalQuery {
  std::optional<PositionId> position;
  std::optional<PartId> part;
  std::optional<Date> from, to;
  std::optional<EntryId> id;
  std::optional<std::string> batch;
  std::size_t limit = 0;  ///< newest rows; 0: all
};

/// How many of some imported lines are in force in the ledger, and the latest import they came
/// with.
struct TakenBefore {
  std::size_t lines = 0;
  std::string batch;
  std::string written;  ///< instant of that import
};

/// One problem that verify found.
struct Finding {
  std::string check;  ///< integrity, foreign keys, stock, units, changes, chain ...
  std::string detail;
};

struct VerifyReport {
  std::vector<Finding> findings;
  std::vector<std::string> checks_done;  ///< in words, with counts
};

/// An open ledger. Movable, not copyable; one writing transaction at a time.
/// Every failure of the file is a LedgerError that names the path and what to do.
class Ledger {
 public:
  enum class Mode { read, write };

  /// Makes a new ledger with the newest schema and these entries, whole or not at all, and opens
  /// it for writing. Refuses (LedgerError) where the file exists, unless it is empty. Missing
  /// folders are made. InputError as Transaction::record; nothing is left behind then.
  static Ledger create(const std::filesystem::path& path, const Stamp& stamp = {},
                       const std::vector<domain::EntryDraft>& drafts = {});

  /// Opens and, for writing, upgrades an older schema. LedgerError: missing file, not a ledger,
  /// newer schema (both numbers named), no permission, locked by another writer for over five
  /// seconds. Reading works on a read-only disk.
  static Ledger open(const std::filesystem::path& path, Mode mode);

  Ledger(Ledger&&) noexcept;
  Ledger& operator=(Ledger&&) noexcept;
  ~Ledger();

  const std::filesystem::path& path() const;

  /// Changes when another connection has committed since this was last asked.
  std::int64_t data_version() const;

  /// All master data (retired included; those whose adding was undone left out).
  domain::Catalogue catalogue() const;

  /// What had happened by the end of `as_of` and, with `known`, been recorded by the end of
  /// `known`. Inside an open Transaction it sees what that transaction has recorded.
  domain::Snapshot snapshot(Date as_of, std::optional<Date> known = {},
                            const Scope& scope = {}) const;
  /// As above with a catalogue already at hand (not read again).
  domain::Snapshot snapshot(Date as_of, std::optional<Date> known, const Scope& scope,
                            std::shared_ptr<const domain::Catalogue> catalogue) const;

  /// Newest first.
  std::vector<JournalRow> journal(const JournalQuery& query) const;

  /// What the numbers in these drafts stand for.
  domain::Mentioned mentioned(std::span<const JournalRow> rows) const;

  /// The entry in force that was written or brought back last; never an undo.
  std::optional<EntryId> newest_live() const;

  /// Trip plans as told; the newest live one of each key, by key, without the removed ones. They
  /// are about what lies ahead: no day bounds them.
  std::vector<domain::TripLine> trips() const;

  /// Which lines of a file, each by the number made of its words, were imported before.
  TakenBefore taken_before(std::span<const std::int64_t> said) const;

  /// Recomputes everything derived and compares; never throws for a finding.
  VerifyReport verify() const;

  /// A consistent copy by SQLite's online backup, written aside and renamed; refuses an existing
  /// file.
  void backup(const std::filesystem::path& to) const;

  class Transaction;
  /// Begins one IMMEDIATE transaction; nothing stays unless commit() is called on it.
  Transaction begin(Stamp stamp);

 private:
  friend class Transaction;
  struct Impl;
  explicit Ledger(std::unique_ptr<Impl> impl);
  std::unique_ptr<Impl> impl_;
};

/// A unit of work on the ledger: all of it or nothing.
class Ledger::Transaction {
 public:
  Transaction(Transaction&&) noexcept;
  ~Transaction();  ///< rolls back unless committed

  /// Writes one entry with its lines after checking them against the file: places do not go below
  /// zero on any day from `happened` on, lives of one place do not overlap, nothing ends twice,
  /// nothing happens before the unit was fitted or after `today`, meters do not run backwards
  /// unless declared replaced, keys are free. InputError names what is in the way (entries by
  /// number); the transaction then stands as before the call (a savepoint is rolled back), so that
  /// an import can go on collecting refusals. `batch` ties the entries of one import, and
  /// `said`, made of the words of a line, lets the same line be known again.
  EntryId record(const domain::EntryDraft& draft, const std::string& batch = {},
                 std::optional<std::int64_t> said = {});

  /// What the latest record() made.
  const Created& created() const;

  /// Takes an entry back by a new reversing entry (an undo itself can be taken back: then what it
  /// took away comes back). Refused (InputError) where later live entries depend on it, naming
  /// them, and for one already taken back.
  EntryId undo(EntryId entry, const std::string& note = {});
  /// Takes back all live entries of an import, newest first; all or none. The reversals carry the
  /// batch "undo-" + batch, by which they can be taken back together.
  std::vector<EntryId> undo_batch(const std::string& batch, const std::string& note = {});

  /// Durable when it returns. At most once. LedgerError says whether nothing was written or that
  /// it cannot tell (the disk failed at the very end).
  void commit();

 private:
  friend class Ledger;
  explicit Transaction(Ledger::Impl& impl, Stamp stamp);
  struct State;
  std::unique_ptr<State> state_;
};

}  // namespace shearpin::ledger
