#pragma once
/// The answers with an analyst at hand, so that the report works each part out once. What a line
/// says does not depend on who asks: the same to the last bit as the question asked alone.

#include <span>
#include <vector>

#include "advice/analyst.hpp"
#include "advice/kit_view.hpp"
#include "shearpin/advice/advise.hpp"

namespace shearpin::advice {

/// Which of two levels is advised: the larger, the target where they are equal.
inline DecidedBy decided_by(long target, long worth) {
  return worth > target ? DecidedBy::worth : DecidedBy::target;
}

/// The parts named, else all of interest.
std::vector<PartId> parts_asked(const Analyst& analyst, std::span<const PartId> only);

/// An answer with what kits and simulations need besides: nothing else is kept, since the nodes and
/// the tails of a thousand parts are a great deal of memory.
struct CarryWork {
  CarryAnswer answer;
  std::vector<KitTable> tables;  ///< one a part
  std::vector<CarryCase> trips;  ///< one a part, of a trip that shall be simulated
};

/// `keep_inputs`: fill `trips`. `named`: the person asked for these parts alone.
CarryWork carry_work(const Analyst& analyst, const Window& window, std::span<const PartId> parts,
                     bool keep_inputs, bool named = false);
CarryAnswer carry_answer(const Analyst& analyst, const Window& window,
                         std::span<const PartId> parts);
/// With kit, frontier and simulation as asked.
CarryAnswer carry_answer_with(const Analyst& analyst, const Window& window,
                              std::span<const PartId> parts, const CarryOptions& options,
                              bool named = false);

/// All positions by what covers them, worst first. `least`: only this severity or worse.
WeakAnswer weak_answer(const Analyst& analyst, const Window& window,
                       domain::Severity least = domain::Severity::nuisance);

/// Lines without a stretch, and sentences on those that could not be worked out.
struct BaseLines {
  std::vector<ReorderLine> lines;
  std::vector<std::string> notes;
};

/// One line for each of `parts` that can still be bought, in their order.
BaseLines base_lines(const Analyst& analyst, std::span<const PartId> parts);

/// Orders and adds up base lines; with `carry` after raising each to the level its stretch wants.
ReorderAnswer reorder_answer(const Analyst& analyst, BaseLines base, const CarryAnswer* carry);

/// `base`: of all parts of interest.
NowAnswer now_answer(const Analyst& analyst, int ahead_days, BaseLines base);

}  // namespace shearpin::advice
