#pragma once
/// What stands in the way of turning an entry's state over.

#include <vector>

#include "ledger/checks.hpp"

namespace shearpin::ledger {

/// Everything that could not be if `root` (an ordinary entry) were taken back (`going`) or came
/// again. `by` is the entry directly reversed: `root` itself or a reversal of it.
std::vector<Conflict> conflicts_of_turning(const Database& database, EntryId root, EntryId by,
                                           bool going);

/// Keys of gone master data that the lines or things of `entry` refer to, as `part p5`.
std::vector<std::string> gone_references(const Database& database, EntryId entry);

}  // namespace shearpin::ledger
