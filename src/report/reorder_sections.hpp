#pragma once
/// Sentences of a reorder answer that the stock report repeats.

#include <string>
#include <vector>

#include "shearpin/advice/answers.hpp"

namespace shearpin::report {

/// Cost of what to order, what it leaves out, and how many parts need nothing.
std::vector<std::string> reorder_totals(const advice::ReorderAnswer& answer);

}  // namespace shearpin::report
