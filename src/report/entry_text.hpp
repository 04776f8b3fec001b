#pragma once
/// What an entry of the journal did, in words.

#include <optional>
#include <string>

#include "shearpin/domain/draft.hpp"

namespace shearpin::report {

/// `failed: Sample fridge fuse 15 A (l21) unit 1; 1 x p13 from b1 to l21`. Empty for a count that
/// agreed. `reverses`: what an undo took back.
std::string entry_text(const domain::EntryDraft& draft, std::optional<EntryId> reverses,
                       const domain::Mentioned& mentioned);

}  // namespace shearpin::report
