#pragma once
/// The kit under limits, the frontier and the simulation, in words and tables.

#include <string>
#include <vector>

#include "report/text_table.hpp"
#include "shearpin/advice/answers.hpp"

namespace shearpin::report {

/// The kit, what it takes of the limits, what to leave first, what a little more would buy; or what
/// stands in its way.
std::string kit_text(const advice::KitView& kit);

/// Its parts for other sheets: the lines that ask for something, the limits, the sentence below.
TextTable kit_lines_table(const advice::KitView& kit);
TextTable kit_limits_table(const advice::KitView& kit);
std::string kit_words(const advice::KitView& kit);
/// `mass aboard: 80 kg allowed, at least 95 kg needed`, one each.
std::vector<std::string> kit_conflicts(const std::vector<advice::KitConflict>& conflicts);

/// What the limits keep out of what is advised, and places that the risk caps do not see; empty for
/// none.
std::string left_out_words(const advice::KitView& kit);
std::string unseen_words(const advice::KitView& kit);

/// `p23 2 to 4, p29 0 to 3`; none: `as it stands`.
std::string changes_words(const std::vector<advice::PieceChange>& changes);

/// What the points after `first`, up to `last`, add, a part once; of 0 what it adds itself.
std::string added_words(const std::vector<advice::FrontierPoint>& points, std::size_t first,
                        std::size_t last);

/// Readiness and days without against money and against mass, some steps of each.
std::string frontier_text(const advice::Frontier& frontier);

std::string simulation_text(const advice::SimulationView& view);

/// An amount of a limit with its unit: `80 kg`, `28 L`, `250.00`, `2 %`.
std::string limit_amount(double amount, const std::string& unit);

}  // namespace shearpin::report
