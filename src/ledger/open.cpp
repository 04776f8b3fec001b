// Making and opening the file.

#include <SQLiteCpp/SQLiteCpp.h>
#include <fmt/format.h>

#include "base/new_file.hpp"
#include "ledger/impl.hpp"
#include "ledger/migrate.hpp"

namespace shearpin::ledger {
namespace {

namespace fs = std::filesystem;

constexpr const char* kJournal = "PRAGMA journal_mode = TRUNCATE";
// A long import touches pages all over the file; a short command no more than it would anyway.
constexpr const char* kWritingCache = "PRAGMA cache_size = -131072";
constexpr const char* kQueryOnly = "PRAGMA query_only = ON";
constexpr const char* kDataVersion = "PRAGMA data_version";

/// LedgerError where something stands at `path`. An empty file holds nothing: it is taken over.
void refuse_taken(const fs::path& path) {
  if (fs::exists(fs::symlink_status(path)) && !(fs::is_regular_file(path) && fs::is_empty(path))) {
    throw LedgerError(fmt::format(
        "{}: there is something here already; nothing was changed. Choose another name with "
        "--ledger.",
        path.string()));
  }
}

/// Makes the folder and those above it that are missing, so that they outlast a power cut.
void make_folders(const fs::path& folder) {
  if (fs::is_directory(folder)) return;
  make_folders(folder.parent_path());
  fs::create_directory(folder);
  sync_folder(folder.parent_path());
}

/// LedgerError unless an ordinary file stands at `path`.
void require_file(const fs::path& path) {
  std::error_code failure;
  const fs::file_status status = fs::status(path, failure);
  if (status.type() == fs::file_type::not_found) {
    throw LedgerError(
        fmt::format("{}: there is no ledger here. Make one with `shearpin init`, or name another "
                    "with --ledger.",
                    path.string()));
  }
  if (failure) {
    throw LedgerError(
        fmt::format("{}: the ledger cannot be reached: {}.", path.string(), failure.message()));
  }
  if (fs::is_directory(status)) {
    throw LedgerError(
        fmt::format("{}: this is a folder; name the ledger file in it.", path.string()));
  }
}

void use_truncated_journal(const Database& database) {
  Query row = database.query(kJournal);
  row.run();
}

/// LedgerError for a file of another program; the schema it has.
std::int64_t require_ledger(const Database& database) {
  if (application_of(database) != kApplicationId) {
    throw LedgerError(fmt::format(
        "{}: this file is not a ledger of this program. Name another with --ledger, or make one "
        "with `shearpin init`.",
        database.path().string()));
  }
  const std::int64_t schema = schema_of(database);
  if (schema > newest_schema() || schema < 1) {
    throw LedgerError(fmt::format(
        "{}: the ledger has schema {}, this program knows schemas 1 to {}. Use a newer program.",
        database.path().string(), schema, newest_schema()));
  }
  return schema;
}

}  // namespace

Ledger::Ledger(std::unique_ptr<Impl> impl) : impl_(std::move(impl)) {}
Ledger::Ledger(Ledger&&) noexcept = default;
Ledger& Ledger::operator=(Ledger&&) noexcept = default;
Ledger::~Ledger() = default;

const fs::path& Ledger::path() const { return impl_->database.path(); }

std::int64_t Ledger::data_version() const {
  return guarded(path(), "looking for changes", [&] {
    Query row = impl_->database.query(kDataVersion);
    row.next();
    return row.integer();
  });
}

Ledger Ledger::create(const fs::path& path, const Stamp& stamp,
                      const std::vector<domain::EntryDraft>& drafts) {
  guarded(path, "making the ledger", [&] {
    refuse_taken(path);
    const fs::path target = fs::absolute(path);
    make_folders(target.parent_path());
    NewFile file(target, NewFile::For::owner);
    {
      Ledger made(std::make_unique<Impl>(path, file.path()));
      made.impl_->database.script(kUnsafeButWhole);
      migrate(made.impl_->database, 0);
      if (!drafts.empty()) {
        auto transaction = made.begin(stamp);
        for (const auto& draft : drafts) {
          transaction.record(draft);
        }
        transaction.commit();
      }
    }
    if (fs::exists(target)) {
      file.replace_target();
    } else if (!file.put_at_target()) {
      throw LedgerError(
          fmt::format("{}: another program made a file here meanwhile.", path.string()));
    }
  });
  return open(path, Mode::write);
}

Ledger Ledger::open(const fs::path& path, Mode mode) {
  require_file(path);
  return guarded(path, "opening the ledger", [&] {
    // Opened for writing in both modes, so that what a crash left half written is rolled back.
    auto impl = std::make_unique<Impl>(path, path);
    const Database& database = impl->database;
    const std::int64_t schema = require_ledger(database);
    if (mode == Mode::write && database.read_only()) {
      throw LedgerError(fmt::format(
          "{}: the ledger can be read but not written. Check the permissions of the file and its "
          "folder, or copy it to a disk that can be written.",
          path.string()));
    }
    if (mode == Mode::write || schema < newest_schema()) use_truncated_journal(database);
    if (schema < newest_schema()) migrate(database, schema);
    database.script(mode == Mode::read ? kQueryOnly : kWritingCache);
    return Ledger(std::move(impl));
  });
}

}  // namespace shearpin::ledger
