#include <fmt/format.h>

#include <algorithm>

#include "base/text.hpp"
#include "report/display.hpp"
#include "report/phrases.hpp"
#include "report/reorder.hpp"
#include "report/reorder_sections.hpp"
#include "report/tables.hpp"
#include "report/text_table.hpp"

namespace shearpin::report {
namespace {

long long needing_nothing(const advice::ReorderAnswer& answer) {
  return std::count_if(answer.lines.begin(), answer.lines.end(),
                       [](const auto& line) { return !line.wanted() && line.on_order == 0; });
}

std::string order_command(const advice::ReorderLine& line) {
  return fmt::format("shearpin order {} {} --supplier {}", line.part, line.order_pieces,
                     line.supplier.empty() ? "SUPPLIER" : line.supplier);
}

}  // namespace

std::vector<std::string> reorder_totals(const advice::ReorderAnswer& answer) {
  std::vector<std::string> totals;
  const bool wanted = std::any_of(answer.lines.begin(), answer.lines.end(),
                                  [](const auto& line) { return line.wanted(); });
  if (wanted) {
    totals.push_back(
        fmt::format("To order costs {} where prices are known.", money_text(answer.cost)));
    if (!answer.unpriced.empty()) {
      totals.push_back(fmt::format("Without a known price: {}.", listed(answer.unpriced)));
    }
  }
  const long long rest = needing_nothing(answer);
  if (rest > 0) {
    totals.push_back(fmt::format("{} {} nothing now.",
                                 counted(rest, wanted ? "other part" : "part"),
                                 rest == 1 ? "needs" : "need"));
  }
  return totals;
}

std::string reorder_text(const advice::ReorderAnswer& answer, const Cautions& cautions) {
  std::string about = fmt::format("What to order as of {}, looking at the shelf every {}",
                                  to_text(answer.as_of), days_text(answer.review_days));
  if (answer.window) {
    about += ", and for " + window_text(*answer.window);
  }
  std::string text = wrap_text(about + ".");
  if (answer.lines.empty()) {
    text += wrap_text("No part is called for by a place, used up or in stock: nothing to order.");
    text += notes_text(answer.notes);
    return text + wrap_text(
                      "Next: `shearpin part add` and `shearpin position add`, or `shearpin import "
                      "FILE.csv`.");
  }
  const TextTable to_order = order_table(answer.lines);
  const TextTable coming = coming_table(answer.lines);
  text += to_order.empty() ? "\nNothing to order now.\n"
                           : "\n" + heading("Order now") + to_order.to_text(kWidth);
  if (!coming.empty()) {
    text += "\n" + heading("Already on order, and enough") + coming.to_text(kWidth);
  }
  const auto totals = reorder_totals(answer);
  text += totals.empty() ? "" : "\n";
  for (const std::string& total : totals) {
    text += wrap_text(total);
  }
  if (!answer.notes.empty()) {
    text += "\n" + heading("Notes") + notes_text(answer.notes);
  }
  text += "\n" + closing_cautions(cautions) + "\n";
  const auto first = std::find_if(answer.lines.begin(), answer.lines.end(),
                                  [](const auto& line) { return line.wanted(); });
  if (first != answer.lines.end()) {
    return text + wrap_text(fmt::format("Next, once ordered: `{}`.", order_command(*first)));
  }
  return text + wrap_text(answer.window
                              ? fmt::format("Next: `shearpin carry {}` says what to take along.",
                                            window_words(*answer.window))
                              : "Next: `shearpin carry --days 14` says what a stretch without "
                                "shops would want.");
}

}  // namespace shearpin::report
