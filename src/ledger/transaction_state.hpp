#pragma once
/// The inside of a writing transaction.

#include "ledger/impl.hpp"
#include "ledger/uuid.hpp"

namespace shearpin::ledger {

struct Ledger::Transaction::State {
  State(Ledger::Impl& impl, Stamp given, const std::string& latest_uuid)
      : database(impl.database), stamp(std::move(given)), uuids(stamp.written, latest_uuid) {}

  EntryId undo(EntryId entry, const std::string& note, const std::string& batch);
  void wrote(EntryId entry) {
    newest = entry;
    ++entries;
  }

  const Database& database;
  Stamp stamp;
  UuidMaker uuids;
  Created created;
  EntryId newest{};
  std::size_t entries = 0;
  bool committed = false;
};

/// Everything since its making is undone unless kept.
class Savepoint {
 public:
  explicit Savepoint(const Database& database);
  Savepoint(const Savepoint&) = delete;
  Savepoint& operator=(const Savepoint&) = delete;
  ~Savepoint();
  void keep();

 private:
  const Database& database_;
  bool kept_ = false;
};

}  // namespace shearpin::ledger
