#pragma once
/// The pictures of the stock report, each drawn from the answer alone.

#include <optional>
#include <vector>

#include "report/sheet.hpp"
#include "shearpin/advice/answers.hpp"

namespace shearpin::report {

/// Most rows that one picture has: more would not fit a page.
inline constexpr std::size_t kMostRows = 25;

/// What is expected to be wanted beside what is aboard and what is advised, part by part: those
/// that are short or have less than 99 % chance of no shortage as things stand, worst first, at
/// most kMostRows. None where no part is.
std::optional<Figure> demand_figure(const advice::CarryAnswer& answer);

/// Readiness and days without against money and against mass, for each that has points.
std::vector<Figure> frontier_figures(const advice::Frontier& frontier);

/// Legs, stops and last days to order along the days.
Figure trip_figure(const advice::TripView& trip);

}  // namespace shearpin::report
