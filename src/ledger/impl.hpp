#pragma once
/// What an open ledger holds.

#include "ledger/database.hpp"
#include "shearpin/ledger/ledger.hpp"

namespace shearpin::ledger {

struct Ledger::Impl {
  Impl(std::filesystem::path path, const std::filesystem::path& file)
      : database(std::move(path), file) {}
  Database database;
};

/// For a file that nobody knows yet: what fails half way is thrown away, what is whole is synced
/// once, by NewFile.
inline constexpr const char* kUnsafeButWhole =
    "PRAGMA journal_mode = MEMORY; PRAGMA synchronous = OFF";

/// All master data; without `gone` what is not gone.
domain::Catalogue read_catalogue(const Database& database, bool gone = false);

}  // namespace shearpin::ledger
