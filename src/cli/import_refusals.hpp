#pragma once
/// Lines of files that were refused, receipt.

#include <string>
#include <vector>

#include "interchange/import.hpp"

namespace shearpin::cli {

/// One paragraph a refusal, with file, line, column, value and rule; of one column of one file the
/// first 20, and how many more there are.
std::string refusal_text(const std::vector<interchange::Refusal>& refusals);

}  // namespace shearpin::cli
