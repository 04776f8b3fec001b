#pragma once
/// Tables that only the stock report shows.

#include <string>
#include <vector>

#include "report/text_table.hpp"
#include "shearpin/advice/answers.hpp"

namespace shearpin::report {

/// What one bin holds, under its own title.
struct BinList {
  std::string title;
  TextTable table;
};

TextTable exposure_table(const std::vector<advice::ExposureLine>& lines);
/// Parts with pieces that are out of date, run out on the way, are in quarantine or worn.
TextTable doubtful_table(const std::vector<advice::CarryLine>& lines);
TextTable use_table(const std::vector<advice::UseLine>& lines);
/// Parts that are used up rather than fitted.
TextTable consumables_table(const std::vector<advice::CarryLine>& lines);
TextTable legs_table(const advice::TripView& trip);
TextTable stops_table(const advice::TripView& trip);
TextTable order_by_table(const advice::TripView& trip);
/// Lines of one bin together, bins in the order of their first line, a box to tick before each.
std::vector<BinList> by_bin(const std::vector<advice::PackLine>& lines);
TextTable assumption_table(const std::vector<advice::AssumptionLine>& lines);

}  // namespace shearpin::report
