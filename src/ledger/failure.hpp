#pragma once
/// Turning failures of the file into LedgerError, with the path and what to do.

#include <filesystem>
#include <string>
#include <string_view>

#include "shearpin/base/error.hpp"

namespace shearpin::ledger {

/// Throws LedgerError for the SQLite failure being handled; call only inside a catch block. Every
/// other exception passes as it is.
[[noreturn]] void rethrow_failure(const std::filesystem::path& path, std::string_view doing);

/// The file holds what this program cannot have written.
[[noreturn]] void throw_damaged(const std::filesystem::path& path, std::string_view detail);

/// Runs `work`, naming `doing` in what it throws ("reading the stock").
template <class Work>
decltype(auto) guarded(const std::filesystem::path& path, std::string_view doing, Work&& work) {
  try {
    return work();
  } catch (...) {
    rethrow_failure(path, doing);
  }
}

}  // namespace shearpin::ledger
