#include "ledger/failure.hpp"

#include <SQLiteCpp/Exception.h>
#include <fmt/format.h>
#include <sqlite3.h>

namespace shearpin::ledger {
namespace {

std::string_view advice_for(int code, int extended) {
  switch (code) {
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
      return "Another program is writing to it; try again when that is done.";
    case SQLITE_READONLY:
      return extended == SQLITE_READONLY_ROLLBACK
                 ? "It was left half written and can only be repaired where it may be written: "
                   "copy "
                   "it and its -journal file to a disk that can be written."
                 : "It can only be read: check the permissions of the file and its folder, or copy "
                   "it to a disk that can be written.";
    case SQLITE_CANTOPEN:
    case SQLITE_PERM:
    case SQLITE_AUTH:
      return "Check that the file and its folder exist and may be read and written.";
    case SQLITE_FULL:
      return "The disk is full; free some room and repeat the command. Nothing was written.";
    case SQLITE_IOERR:
      return "The disk failed or is full; check it and repeat the command. Nothing was written.";
    case SQLITE_NOTADB:
      return "It is not a ledger of this program; name another with --ledger.";
    case SQLITE_CORRUPT:
      return "The file is damaged; keep it, and go on with the latest backup.";
    case SQLITE_CONSTRAINT:
      return "The file refused the change, which should have been refused before; nothing was "
             "written. `verify` may show why.";
    case SQLITE_NOMEM:
    case SQLITE_TOOBIG:
      return "There is not enough memory for it.";
    default:
      return "Run `verify`; keep a copy of the file.";
  }
}

}  // namespace

void rethrow_failure(const std::filesystem::path& path, std::string_view doing) {
  try {
    throw;
  } catch (const SQLite::Exception& failure) {
    throw LedgerError(
        fmt::format("{}: {} failed: {} (SQLite code {}). {}", path.string(), doing, failure.what(),
                    failure.getExtendedErrorCode(),
                    advice_for(failure.getErrorCode() & 0xff, failure.getExtendedErrorCode())));
  } catch (const std::filesystem::filesystem_error& failure) {
    throw LedgerError(
        fmt::format("{}: {} failed: {}. Check that the folder exists and may be used.",
                    path.string(), doing, failure.code().message()));
  }
}

void throw_damaged(const std::filesystem::path& path, std::string_view detail) {
  throw LedgerError(
      fmt::format("{}: the file is damaged: {}. Keep it, run `verify`, and go on with "
                  "the latest backup.",
                  path.string(), detail));
}

}  // namespace shearpin::ledger
