#pragma once
/// The answers with an analyst at hand, so that the report works each part out once. What a line
/// says does not depend on who asks: the same to the last bit as the question asked alone.

#include <span>
#include <vector>

#include "shearpin/advice/advise.hpp"
#include "shearpin/advice/analyst.hpp"

namespace shearpin::advice {

/// The parts named, else all of interest.
std::vector<PartId> parts_asked(const Analyst& analyst, std::span<const PartId> only);

CarryAnswer carry_answer(const Analyst& analyst, const Window& window,
                         std::span<const PartId> parts);

/// Lines without a stretch, one for each of `parts` that can still be bought, in their order.
std::vector<ReorderLine> base_lines(const Analyst& analyst, std::span<const PartId> parts);

/// Orders and adds up base lines; with `carry` after raising each to the level its stretch wants.
ReorderAnswer reorder_answer(const Analyst& analyst, std::vector<ReorderLine> lines,
                             const CarryAnswer* carry);

/// `lines`: base lines of all parts of interest.
NowAnswer now_answer(const Analyst& analyst, int ahead_days, std::vector<ReorderLine> lines);

}  // namespace shearpin::advice
