#pragma once
/// Who refers to master data: one statement a kind.

#include <span>
#include <string_view>

namespace shearpin::ledger {

/// Entries that use a thing: live lines, things that are not gone, and its later changes.
struct UsersSql {
  std::string_view kind;
  const char* sql;  ///< ?1 the entry being turned over (it added the thing), ?2 the thing
};
std::span<const UsersSql> users_of_masters();

/// Kind and key of gone things that entry ?1 refers to.
extern const char* const kGoneReferences;

}  // namespace shearpin::ledger
