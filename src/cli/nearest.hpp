#pragma once
/// Names to offer for one that was mistyped.

#include <string>
#include <string_view>
#include <vector>

namespace shearpin::cli {

/// Up to three of `names` that `typed` begins or is a word of (dead of left-dead), or that lie
/// within a third of its letters (at least one edit) of it; nearest first. Empty when none is near.
std::vector<std::string> nearest_names(std::string_view typed,
                                       const std::vector<std::string>& names);

}  // namespace shearpin::cli
