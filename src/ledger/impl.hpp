#pragma once
/// What an open ledger holds.

#include "ledger/database.hpp"
#include "shearpin/ledger/ledger.hpp"

namespace shearpin::ledger {

struct Ledger::Impl {
  Impl(std::filesystem::path path, Database::Access access) : database(std::move(path), access) {}
  Database database;
};

/// All master data that is not gone.
domain::Catalogue read_catalogue(const Database& database);

}  // namespace shearpin::ledger
