#pragma once
/// What the stock report is written on: pages of text, or one HTML page. The report's contents and
/// their order stand in stock_report.cpp alone, so that neither can lack what the other
/// has.

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "report/html.hpp"
#include "report/text_table.hpp"
#include "shearpin/advice/answers.hpp"

namespace shearpin::report {

/// A picture and every figure in it.
struct Figure {
  std::string id;     ///< a word, of its own on the page
  std::string title;  ///< also what the picture is called for those who do not see it
  std::string told;   ///< what it shows, in a sentence or two
  Markup picture;     ///< an <svg>
  TextTable data;     ///< what is drawn, in full
  TextTable brief;    ///< for sheets without pictures; empty where the report says it elsewhere
};

class Sheet {
 public:
  Sheet() = default;
  Sheet(const Sheet&) = delete;
  Sheet& operator=(const Sheet&) = delete;
  virtual ~Sheet() = default;

  /// Starts a section; what comes before the first one is the report's head.
  virtual void section(std::string_view title) = 0;
  virtual void paragraph(std::string_view text) = 0;
  virtual void caution(std::string_view text) = 0;
  /// One of a list; neighbours stand together.
  virtual void item(std::string_view text) = 0;
  /// The section's own table; `caption` names it where its heading alone does not.
  virtual void table(std::string_view caption, const TextTable& table) = 0;
  /// A table under a title of its own; nothing where it is empty.
  virtual void titled(std::string_view title, const TextTable& table) = 0;
  virtual void figure(const Figure& figure) = 0;
};

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

/// All of the report, in order.
void write_report(Sheet& sheet, const advice::StockReport& report);

}  // namespace shearpin::report
