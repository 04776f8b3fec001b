#pragma once
/// Sentences of a carry answer that the stock report repeats.

#include <string>
#include <vector>

#include "shearpin/advice/answers.hpp"

namespace shearpin::report {

/// Readiness, mass and room, cost of what is short, and what those figures leave out.
std::vector<std::string> carry_totals(const advice::CarryAnswer& answer);

}  // namespace shearpin::report
