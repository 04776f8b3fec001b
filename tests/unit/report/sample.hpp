#pragma once
/// Answers made by hand, so that texts are tested without any computing, and the checks that hold
/// for every text.

#include <string>
#include <vector>

#include "shearpin/advice/answers.hpp"
#include "shearpin/advice/inquiry.hpp"

namespace shearpin::report::sample {

/// 2026-05-25, the day of every sample.
Date day();

/// A name of 90 columns with wide and combining letters.
std::string long_name();

/// A blade fuse: 1 aboard of 4 wanted, 2 in the shed, none of them dear.
advice::CarryLine fuse();
/// A pump, enough aboard.
advice::CarryLine pump();
/// An axle, neither carried nor aboard.
advice::CarryLine axle();
/// The three above over 14 days.
advice::CarryAnswer carry();
/// Nothing at all over 14 days.
advice::CarryAnswer no_carry();

/// Two fuses to order in a pack of 5.
advice::ReorderLine fuse_order();
/// One filter on its way and enough.
advice::ReorderLine filter_coming();
advice::ReorderAnswer reorder();

advice::NowAnswer now();

advice::RateAnswer rate();
advice::ExplainAnswer explain();

/// `parts` parts in every section.
advice::StockReport report(int parts);

/// Two legs, one without signal; two stops, one taking parcels; one order for it.
advice::TripView trip();
/// Four kits by money, three by mass.
advice::Frontier frontier();

std::vector<std::string> lines_of(const std::string& text);

/// Fails the running test for each line over 80 columns, with trailing space, or with a control
/// character other than a form feed at its start.
void check_lines(const std::string& text);

/// Text with every run of white space made one space: wrapping does not matter.
std::string flat(const std::string& text);

/// True where the flattened text holds `words`.
bool says(const std::string& text, const std::string& words);

}  // namespace shearpin::report::sample
