#pragma once
/// Every answer as text, JSON and CSV.
///
/// Text is 80 columns wide, ends with a line feed, the cautions before the command that comes next.
/// JSON is one object on one line, schema 1; bytes that are not UTF-8 are shown as U+FFFD;
/// std::logic_error where a figure is not finite. CSV (RFC 4180, line feeds alone) has its columns'
/// names in the first line; an unknown value is empty. Formats: docs/json.md.

#include <string>
#include <utility>
#include <vector>

#include "advice/debrief.hpp"
#include "advice/replay.hpp"
#include "shearpin/advice/answers.hpp"
#include "shearpin/advice/inquiry.hpp"
#include "shearpin/domain/catalogue.hpp"
#include "shearpin/domain/trip.hpp"

namespace shearpin::report {

/// Key of a safety note and its text, as StockReport::cautions holds them.
using Caution = std::pair<std::string, std::string>;
using Cautions = std::vector<Caution>;

/// Keys of the cautions that the lines asking for something name, each once, in order of
/// appearance: lines that are short, to order, down, due or at their reorder point; of `weak`,
/// places that nothing covers.
std::vector<std::string> safety_keys(const advice::CarryAnswer& answer);
std::vector<std::string> safety_keys(const advice::ReorderAnswer& answer);
std::vector<std::string> safety_keys(const advice::NowAnswer& answer);
std::vector<std::string> safety_keys(const advice::WeakAnswer& answer);
std::vector<std::string> safety_keys(const advice::ExplainAnswer& answer);

/// `Caution: ...`, one wrapped paragraph for each, 80 columns; the same text is shown once. Empty
/// for none. Ends with a line feed.
std::string caution_text(const Cautions& cautions);

/// What is short first, then what is enough, then the totals, notes and cautions. Says so where
/// nothing is called for.
std::string carry_text(const advice::CarryAnswer& answer, const Cautions& cautions = {});
std::string carry_json(const advice::CarryAnswer& answer);
std::string carry_csv(const advice::CarryAnswer& answer);

/// To order now with supplier, date and cost; what is on its way; a count of what needs nothing.
std::string reorder_text(const advice::ReorderAnswer& answer, const Cautions& cautions = {});
std::string reorder_json(const advice::ReorderAnswer& answer);
std::string reorder_csv(const advice::ReorderAnswer& answer);

/// Most urgent first: down, due, low, on the way, notes. With nothing to do it says so.
std::string now_text(const advice::NowAnswer& answer, const Cautions& cautions = {});
std::string now_json(const advice::NowAnswer& answer);
/// One line a thing: kind (down, due, reorder, order), key, name, date, days, pieces, detail.
std::string now_csv(const advice::NowAnswer& answer);

/// Single points first, then what a workaround covers, then what a spare does; some of each unless
/// `all`.
std::string weak_text(const advice::WeakAnswer& answer, bool all, const Cautions& cautions = {});
std::string weak_json(const advice::WeakAnswer& answer);
std::string weak_csv(const advice::WeakAnswer& answer);

/// How long tables are shown.
struct Detail {
  bool all_rows = false;  ///< every record and every row; else long tables are cut, with a count
};

/// Belief, record, what is believed now, and r/T with its interval, in a dozen lines.
std::string rate_text(const advice::RateAnswer& answer, const Detail& detail = {});
std::string rate_json(const advice::RateAnswer& answer);

/// Two parts side by side and the verdict.
std::string compare_text(const advice::CompareAnswer& answer);
std::string compare_json(const advice::CompareAnswer& answer);

/// The whole chain in numbered steps, each with its figures, up to the verdict.
std::string explain_text(const advice::ExplainAnswer& answer, const Detail& detail = {},
                         const Cautions& cautions = {});
std::string explain_json(const advice::ExplainAnswer& answer);

/// One sentence on failures that look like a fault, for the answer to `fail`.
std::string fault_warning(const advice::FaultSign& sign);

/// Rules side by side, the promise by severity, chances told against what came, the periods that
/// ran short. CSV has one line a period.
std::string replay_text(const advice::ReplayAnswer& answer);
std::string replay_json(const advice::ReplayAnswer& answer);
std::string replay_csv(const advice::ReplayAnswer& answer);

/// What broke, what was short, what came back unused, stocktake differences, what has been learnt.
std::string debrief_text(const advice::DebriefAnswer& answer);
std::string debrief_json(const advice::DebriefAnswer& answer);

/// A trip as people keep it: head, what it lacks, legs, use by leg and in total, stops with home as
/// the last, conditions and signal. A plan that is not whole is shown as far as it goes. The JSON
/// is what `trip add --file` reads (docs/import-files.md); the same plan gives the same bytes.
std::string trip_text(const domain::TripLine& trip, const domain::Catalogue& catalogue,
                      std::size_t width);
std::string trip_json(const domain::TripLine& trip, const domain::Catalogue& catalogue);

/// One line a trip: key, name, days, legs, stops, whether it is whole.
std::string trips_text(const std::vector<domain::TripLine>& trips, std::size_t width);
std::string trips_json(const std::vector<domain::TripLine>& trips);
std::string trips_csv(const std::vector<domain::TripLine>& trips);

/// A sheet that the stock report is paged for, printed at 80 columns and six lines to the inch with
/// margins.
enum class Paper { a4, letter };

/// `a4`, `letter`, any letter case; UsageError otherwise, naming the word and both.
Paper parse_paper(std::string_view word);

/// Lines on a page, its header included: 60 for A4, 56 for Letter.
std::size_t lines_of(Paper paper);

/// The pre-trip stock report, to print and pin inside a locker door. All sections in pages: each
/// page has a header (title, as-of day, page n of m), is at most lines_of(paper) long, and is
/// parted from the next by a form feed. No row of a table and no paragraph that fits a page is
/// split; a table that goes on repeats its column heads.
std::string report_text(const advice::StockReport& report, Paper paper = Paper::a4);

/// All sections as one page of HTML that needs nothing else: no script, no file, no network. Print
/// styles are for `paper`; pictures are SVG, legible without colour, each with its figures in words
/// or a table. Well-formed XML too. Every name is escaped.
std::string report_html(const advice::StockReport& report, Paper paper = Paper::a4);

/// A line `carry` for each part and a line `pack` for each line of the packing list.
std::string report_csv(const advice::StockReport& report);
std::string report_json(const advice::StockReport& report);

}  // namespace shearpin::report
