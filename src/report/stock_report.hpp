#pragma once
/// The pre-trip stock report, to print and pin inside a locker door: as paged text, one HTML
/// page, JSON and CSV.

#include <cstddef>
#include <string>
#include <string_view>

#include "shearpin/advice/answers.hpp"

namespace shearpin::report {

/// A sheet that the text is paged for, printed at 80 columns and six lines to the inch with
/// margins.
enum class Paper { a4, letter };

/// `a4`, `letter`, any letter case; UsageError otherwise, naming the word and both.
Paper parse_paper(std::string_view word);

/// Lines on a page, its header included: 60 for A4, 56 for Letter.
std::size_t lines_of(Paper paper);

/// All sections in pages: each page has a header (title, as-of day, page n of m), is at most
/// lines_of(paper) long, and is parted from the next by a form feed. No row of a table and no
/// paragraph that fits a page is split; a table that goes on repeats its column heads.
std::string report_text(const advice::StockReport& report, Paper paper = Paper::a4);

/// All sections as one page of HTML that needs nothing else: no script, no file, no network. Print
/// styles are for `paper`; pictures are SVG, legible without colour, each with its figures in words
/// or a table. Well-formed XML too. Every name is escaped; bytes that are not UTF-8 are shown as
/// U+FFFD.
std::string report_html(const advice::StockReport& report, Paper paper = Paper::a4);

/// One table: a line `carry` for each part and a line `pack` for each line of the packing list; see
/// docs/json.md.
std::string report_csv(const advice::StockReport& report);

/// Schema 1; see docs/json.md.
std::string report_json(const advice::StockReport& report);

}  // namespace shearpin::report
