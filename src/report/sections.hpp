#pragma once
/// Rows, tables and sentences that several answers show.

#include <functional>
#include <string>
#include <vector>

#include "report/answers.hpp"
#include "report/rows.hpp"
#include "report/text_table.hpp"

namespace shearpin::report {

/// Everything in each answer but its head.
Row carry_fields(const advice::CarryAnswer& answer);
Row reorder_fields(const advice::ReorderAnswer& answer);
Row now_fields(const advice::NowAnswer& answer);
Row weak_fields(const advice::WeakAnswer& answer);
Row rate_fields(const advice::RateAnswer& answer);
Row compare_fields(const advice::CompareAnswer& answer);
Row explain_fields(const advice::ExplainAnswer& answer);
Row replay_fields(const advice::ReplayAnswer& answer);
Row debrief_fields(const advice::DebriefAnswer& answer);
Row trip_fields(const domain::TripLine& trip, const domain::Catalogue& catalogue);
Row trips_fields(const std::vector<domain::TripLine>& trips);
Row report_fields(const advice::StockReport& report);

Row window_row(const advice::Window& window);
Row carry_row(const advice::CarryLine& line);
Row reorder_row(const advice::ReorderLine& line);
Row exposure_row(const advice::ExposureLine& line);
Row sign_row(const advice::FaultSign& sign);
Row quantiles_row(const stats::Quantiles& values);
Row kit_row(const advice::KitView& kit);
Row frontier_row(const advice::Frontier& frontier);
Row simulation_row(const advice::SimulationView& view);

/// Where a part stands in an answer about a stretch.
enum class CarryGroup {
  lacking,    ///< less aboard than advised
  enough,     ///< as many aboard as advised, or more, and at least one of either
  not_wanted  ///< none advised and none aboard
};
CarryGroup group_of(const advice::CarryLine& line);

/// The lines of each group; an empty table for none. What is short has the step to take and both
/// chances; what is not wanted only the chance and the reason.
TextTable lacking_table(const advice::CarryAnswer& answer);
TextTable enough_table(const advice::CarryAnswer& answer);
TextTable not_wanted_table(const advice::CarryAnswer& answer);

/// `do: load 2 from shed, buy 1`: how to fill what a line is short; empty where nothing is.
std::string step_text(const advice::CarryLine& line);

/// Readiness, mass and room, cost of what is short, and what those figures leave out.
std::vector<std::string> carry_totals(const advice::CarryAnswer& answer);

/// The kit, what it takes of the limits, what to leave first, what a little more would buy; or what
/// stands in its way.
std::string kit_text(const advice::KitView& kit);
/// Its parts: the lines that ask for something, the limits, the sentence below.
TextTable kit_lines_table(const advice::KitView& kit);
TextTable kit_limits_table(const advice::KitView& kit);
std::string kit_words(const advice::KitView& kit);
/// `mass aboard: 80 kg allowed, at least 95 kg needed`, one each.
std::vector<std::string> kit_conflicts(const std::vector<advice::KitConflict>& conflicts);
/// What the limits keep out of what is advised, and places that the risk caps do not see; empty for
/// none.
std::string left_out_words(const advice::KitView& kit);
std::string unseen_words(const advice::KitView& kit);
/// How a table of kits along a limit is headed and worded.
struct FrontierColumns {
  Column amount, chance, days;
  std::function<std::string(double)> amount_text, days_text;
};
/// At most `most` of the kits, evenly, with the first and the last, and what each adds to the row
/// above.
TextTable frontier_table(const std::vector<advice::FrontierPoint>& points, std::size_t most,
                         const FrontierColumns& columns);
/// Readiness and days without against money and against mass, some steps of each.
std::string frontier_text(const advice::Frontier& frontier);
std::string simulation_text(const advice::SimulationView& view);

/// Parts to order, and parts at or below their reorder point in brief.
TextTable order_table(const std::vector<advice::ReorderLine>& lines);
TextTable low_table(const std::vector<advice::ReorderLine>& lines);
/// Cost of what to order, what it leaves out, and how many parts need nothing.
std::vector<std::string> reorder_totals(const advice::ReorderAnswer& answer);

/// Places that hold nothing sound, and how to put that right.
TextTable down_table(const std::vector<advice::DownLine>& lines, Date as_of);
TextTable due_table(const std::vector<advice::DueLine>& lines);
TextTable open_order_table(const std::vector<advice::OpenOrderLine>& lines);

/// Rows of a long table shown unless all are asked for.
inline constexpr std::size_t kRowsShown = 12;

/// The class belief: median, 80 % range, shape, source; and what the other parts of the class lent.
std::string belief_text(const advice::RateAnswer& answer);
/// Table of the life records, cut after kRowsShown with a count, oldest left out.
std::string records_text(const advice::RateAnswer& answer, const Detail& detail);
/// Failures, exposure, r/T and its chi-square interval, or words where nothing failed or was
/// watched; maximum likelihood where there is a fit.
std::string own_record_text(const advice::RateAnswer& answer);
/// Life, mean time between failures and shape as believed now, with 80 % intervals.
std::string posterior_text(const advice::RateAnswer& answer);
/// Share learnt, and a warning where record and belief do not fit together.
std::string learnt_text(const advice::RateAnswer& answer);
/// Replacement age and test interval; empty where neither applies.
std::string upkeep_text(const advice::RateAnswer& answer);
/// Table of condition factors; empty without any.
std::string factors_text(const advice::RateAnswer& answer);
/// `low to high`, the unit once.
std::string range_text(double low, double high, const std::string& unit);
/// A bullet a sign: what was seen, how likely by luck, what to do first.
std::string signs_text(const std::vector<advice::FaultSign>& signs);

}  // namespace shearpin::report
