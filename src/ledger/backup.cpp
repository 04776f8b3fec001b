// A consistent copy by SQLite's online backup.

#include <SQLiteCpp/Backup.h>
#include <SQLiteCpp/SQLiteCpp.h>
#include <fmt/format.h>
#include <sqlite3.h>

#include "base/new_file.hpp"
#include "ledger/impl.hpp"

namespace shearpin::ledger {
namespace {

namespace fs = std::filesystem;

[[noreturn]] void refuse_existing(const fs::path& to) {
  throw LedgerError(
      fmt::format("{}: there is something here already; nothing was written. Choose "
                  "another name for the copy.",
                  to.string()));
}

}  // namespace

void Ledger::backup(const fs::path& to) const {
  guarded(to, "copying the ledger", [&] {
    if (fs::exists(fs::symlink_status(to))) refuse_existing(to);
    NewFile file(fs::absolute(to), NewFile::For::owner);
    {
      SQLite::Database copy(file.path().string(), SQLite::OPEN_READWRITE);
      copy.exec(kUnsafeButWhole);
      SQLite::Backup work(copy, impl_->database.raw());
      if (work.executeStep(-1) != SQLITE_DONE) {
        throw LedgerError(
            fmt::format("{}: the ledger is being written by another program; try again "
                        "when that is done.",
                        path().string()));
      }
    }
    if (!file.put_at_target()) refuse_existing(to);
  });
}

}  // namespace shearpin::ledger
