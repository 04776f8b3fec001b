#pragma once
/// The tables that a command's own text and the stock report both show.

#include <optional>
#include <vector>

#include "report/text_table.hpp"
#include "shearpin/advice/answers.hpp"

namespace shearpin::report {

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

/// Parts to order.
TextTable order_table(const std::vector<advice::ReorderLine>& lines);
/// Parts that need nothing now but are on order.
TextTable coming_table(const std::vector<advice::ReorderLine>& lines);
/// Parts at or below their reorder point, in brief.
TextTable low_table(const std::vector<advice::ReorderLine>& lines);

/// Places that hold nothing sound, and how to put that right.
TextTable down_table(const std::vector<advice::DownLine>& lines, Date as_of);
TextTable due_table(const std::vector<advice::DueLine>& lines);
TextTable open_order_table(const std::vector<advice::OpenOrderLine>& lines);

}  // namespace shearpin::report
