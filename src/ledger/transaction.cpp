// One writing transaction: entries one by one, each whole or not at all.

#include <SQLiteCpp/SQLiteCpp.h>
#include <fmt/format.h>
#include <sqlite3.h>

#include "base/text.hpp"
#include "ledger/impl.hpp"
#include "ledger/record.hpp"
#include "ledger/transaction_state.hpp"

namespace shearpin::ledger {
namespace {

constexpr const char* kBegin = "BEGIN IMMEDIATE";
constexpr const char* kCommit = "COMMIT";
constexpr const char* kRollback = "ROLLBACK";
constexpr const char* kSavepoint = "SAVEPOINT one";
constexpr const char* kBackToSavepoint = "ROLLBACK TO one";
constexpr const char* kRelease = "RELEASE one";
constexpr const char* kLatestUuid = "SELECT ifnull(max(uuid), '') FROM entry";

std::string latest_uuid(const Database& database) {
  Query row = database.query(kLatestUuid);
  row.next();
  return row.text();
}

void check_days(const domain::EntryDraft& draft, Date recorded, Date today) {
  if (draft.happened > today) {
    throw InputError(
        fmt::format("{} is after today ({}); nothing is logged ahead of its day. Example:"
                    " --on {}.",
                    to_text(draft.happened), to_text(today), to_text(today)));
  }
  if (recorded > today) {
    throw InputError(
        fmt::format("recorded on {}, after today ({}).", to_text(recorded), to_text(today)));
  }
  if (recorded < draft.happened) {
    throw InputError(fmt::format("recorded on {}, before it happened on {}.", to_text(recorded),
                                 to_text(draft.happened)));
  }
}

}  // namespace

Savepoint::Savepoint(const Database& database) : database_(database) {
  database_.query(kSavepoint).run();
}

void Savepoint::keep() {
  database_.query(kRelease).run();
  kept_ = true;
}

// A full disk may already have ended the whole transaction.
Savepoint::~Savepoint() {
  if (kept_ || !database_.in_transaction()) return;
  database_.raw().tryExec(kBackToSavepoint);
  database_.raw().tryExec(kRelease);
}

Ledger::Transaction Ledger::begin(Stamp stamp) {
  return guarded(impl_->database.path(), "beginning to write",
                 [&] { return Transaction(*impl_, std::move(stamp)); });
}

Ledger::Transaction::Transaction(Ledger::Impl& impl, Stamp stamp) {
  check_text(stamp.who.value_or(""), "who");
  impl.database.script(kBegin);
  try {
    state_ = std::make_unique<State>(impl, std::move(stamp), latest_uuid(impl.database));
  } catch (...) {
    impl.database.raw().tryExec(kRollback);
    throw;
  }
}

Ledger::Transaction::Transaction(Transaction&&) noexcept = default;

Ledger::Transaction::~Transaction() {
  if (state_ && !state_->committed && state_->database.in_transaction()) {
    state_->database.raw().tryExec(kRollback);
  }
}

const Created& Ledger::Transaction::created() const { return state_->created; }

EntryId Ledger::Transaction::record(const domain::EntryDraft& draft, const std::string& batch,
                                    std::optional<std::int64_t> said) {
  const Database& database = state_->database;
  return guarded(database.path(), fmt::format("writing the entry ({})", to_text(draft.kind)), [&] {
    if (!has_fitting_line(draft)) {
      throw std::logic_error(fmt::format("an entry ({}) without its lines", to_text(draft.kind)));
    }
    const Stamp& stamp = state_->stamp;
    const Date recorded = draft.recorded.value_or(stamp.today);
    check_days(draft, recorded, stamp.today);
    domain::check_texts(draft);
    Savepoint savepoint(database);
    EntryHead head;
    head.uuid = state_->uuids.next();
    head.written = stamp.written;
    head.recorded = recorded;
    head.happened = draft.happened;
    head.kind = to_text(draft.kind);
    head.who = stamp.who.value_or("");
    head.note = draft.note;
    head.batch = batch;
    head.said = said;
    const EntryId entry = insert_entry(database, head);
    Created created;
    Recording to{database, draft, entry, created};
    write_lines(to);
    savepoint.keep();
    state_->created = std::move(created);
    state_->wrote(entry);
    return entry;
  });
}

void Ledger::Transaction::commit() {
  const Database& database = state_->database;
  if (state_->committed) throw std::logic_error("a transaction is committed twice");
  guarded(database.path(), "committing", [&] {
    try {
      database.script(kCommit);
    } catch (const SQLite::Exception& failure) {
      // The journal is emptied and then synced: between the two the entry is written already.
      if ((failure.getErrorCode() & 0xff) != SQLITE_IOERR) throw;
      throw LedgerError(fmt::format(
          "{}: the disk failed at the very end ({}): cannot tell whether {} kept. `shearpin "
          "journal` shows it; check the disk.",
          database.path().string(), failure.what(),
          state_->entries == 1 ? fmt::format("entry {} was", state_->newest.value)
                               : fmt::format("the entries up to {} were", state_->newest.value)));
    }
  });
  state_->committed = true;
}

}  // namespace shearpin::ledger
