// A consistent copy by SQLite's online backup.

#include <SQLiteCpp/Backup.h>
#include <SQLiteCpp/SQLiteCpp.h>
#include <fcntl.h>
#include <fmt/format.h>
#include <sqlite3.h>
#include <unistd.h>

#include "ledger/impl.hpp"

namespace shearpin::ledger {
namespace {

namespace fs = std::filesystem;

void refuse_existing(const fs::path& to) {
  if (!fs::exists(fs::symlink_status(to))) return;
  throw LedgerError(
      fmt::format("{}: there is something here already; nothing was written. Choose "
                  "another name for the copy.",
                  to.string()));
}

/// Makes a new name of the folder outlast a power cut. Where the system cannot, the copy stays.
void sync_folder(const fs::path& folder) {
  const int handle = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (handle < 0) return;
  (void)::fsync(handle);
  ::close(handle);
}

}  // namespace

void Ledger::backup(const fs::path& to) const {
  refuse_existing(to);
  const fs::path target = fs::absolute(to);
  const fs::path aside = target.string() + fmt::format(".{}.part", ::getpid());
  refuse_existing(aside);
  try {
    guarded(to, "copying the ledger", [&] {
      SQLite::Database copy(aside.string(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
      SQLite::Backup work(copy, impl_->database.raw());
      if (work.executeStep(-1) != SQLITE_DONE) {
        throw LedgerError(
            fmt::format("{}: the ledger is being written by another program; try again "
                        "when that is done.",
                        path().string()));
      }
    });
    guarded(to, "naming the copy", [&] {
      refuse_existing(to);
      fs::rename(aside, target);
    });
  } catch (...) {
    std::error_code ignored;
    fs::remove(aside, ignored);
    fs::remove(aside.string() + "-journal", ignored);
    throw;
  }
  sync_folder(target.parent_path());
}

}  // namespace shearpin::ledger
