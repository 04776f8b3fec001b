#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

#include "report/carry_sections.hpp"
#include "report/pager.hpp"
#include "report/phrases.hpp"
#include "report/reorder_sections.hpp"
#include "report/stock_report_tables.hpp"
#include "report/tables.hpp"
#include "shearpin/base/error.hpp"
#include "shearpin/base/quantity.hpp"
#include "shearpin/base/text.hpp"
#include "shearpin/report/display.hpp"
#include "shearpin/report/stock_report.hpp"

namespace shearpin::report {
namespace {

void table_or(Pager& pager, const TextTable& table, std::string_view without) {
  if (table.empty()) {
    pager.paragraph(without);
  } else {
    pager.table(table);
  }
}

void titled_table(Pager& pager, std::string_view title, const TextTable& table) {
  if (!table.empty()) {
    pager.heading(title);
    pager.table(table);
  }
}

/// The report's own title where the page number leaves room for all of it.
std::string page_title(const advice::StockReport& report) {
  constexpr std::size_t kRoom = 44;
  return report.title.empty() || display_width(report.title) > kRoom ? "Pre-trip stock report"
                                                                     : report.title;
}

void add_head(Pager& pager, const advice::StockReport& report) {
  pager.paragraph(fmt::format("Stretch: {}, with nothing to be had on the way.",
                              window_text(report.carry.window)));
  if (!report.rigs.empty()) {
    pager.paragraph("Rigs: " + join_words(report.rigs) + ".");
  }
  pager.paragraph(fmt::format(
      "Chance of no shortage: {} as the kit stands, {} once what is advised below is aboard.",
      chance_text(report.carry.readiness_aboard), chance_text(report.carry.readiness_carry)));
  pager.lines(hanging("Caution: ", estimate_caution()));
}

void add_orders(Pager& pager, const advice::StockReport& report) {
  pager.heading("1. Order now");
  table_or(pager, order_table(report.reorder.lines), "Nothing to order now.");
  for (const std::string& total : reorder_totals(report.reorder)) {
    pager.paragraph(total);
  }
  titled_table(pager, "Already on the way", open_order_table(report.now.orders));
}

void add_kit(Pager& pager, const advice::StockReport& report) {
  pager.heading("2. Take along: short, so buy or load before leaving");
  table_or(pager, lacking_table(report.carry), "Nothing is short.");
  titled_table(pager, "Take along: enough aboard", enough_table(report.carry));
  titled_table(pager, "Not carried: too unlikely, or dearer than going without",
               not_wanted_table(report.carry));
}

void add_dangers(Pager& pager, const advice::StockReport& report) {
  pager.heading("3. What would stop us: no spare and no way round");
  table_or(pager, exposure_table(report.uncovered),
           "Nothing that matters is without both a spare and a way round.");
  titled_table(pager, "No spare, but a way round", exposure_table(report.worked_round));
  titled_table(pager, "Down, or getting by, today", down_table(report.now.down, report.as_of));
}

void add_dates(Pager& pager, const advice::StockReport& report) {
  pager.heading("4. Tests and replacements due before leaving");
  table_or(pager, due_table(report.now.due), "None is due.");
  pager.heading("5. Spares that run out or are in doubt");
  table_or(pager, doubtful_table(report.carry.lines), "None.");
}

void add_consumables(Pager& pager, const advice::StockReport& report) {
  pager.heading("6. Used up on the way");
  if (!report.use.empty()) {
    pager.table(use_table(report.use));
  }
  table_or(pager, consumables_table(report.carry.lines), "No part that is used up is on record.");
}

void add_packing(Pager& pager, const advice::StockReport& report) {
  pager.heading("7. Mass, room and cost of the kit");
  for (const std::string& total : carry_totals(report.carry)) {
    pager.paragraph(total);
  }
  pager.heading("8. Packing list by bin");
  if (report.packing.empty()) {
    pager.paragraph("Nothing is in any bin.");
  }
  for (const BinList& bin : by_bin(report.packing)) {
    pager.heading(bin.title);
    pager.table(bin.table);
  }
}

void add_footing(Pager& pager, const advice::StockReport& report) {
  pager.heading("9. What the figures rest on");
  pager.paragraph(
      "Life: the characteristic life, about two in three have failed by then; eight times in ten "
      "it lies in the range shown. Own record: how much of it was learnt from this ledger; the "
      "rest is class belief, mostly common practice.");
  table_or(pager, assumption_table(report.assumptions), "No part is called for.");
  std::vector<std::string> notes = report.carry.notes;
  for (const auto* more : {&report.reorder.notes, &report.now.notes}) {
    std::copy_if(more->begin(), more->end(), std::back_inserter(notes),
                 [&notes](const std::string& note) {
                   return std::find(notes.begin(), notes.end(), note) == notes.end();
                 });
  }
  for (const std::string& note : notes) {
    pager.lines(bullet(note));
  }
  pager.heading("10. Cautions");
  if (report.cautions.empty()) {
    pager.paragraph(estimate_caution());
  }
  for (const Caution& caution : report.cautions) {
    pager.lines(bullet(caution.second));
  }
}

}  // namespace

Paper parse_paper(std::string_view word) {
  const std::string low = lower_case(trimmed(word));
  if (low == "a4") {
    return Paper::a4;
  }
  if (low == "letter") {
    return Paper::letter;
  }
  throw UsageError(
      fmt::format("{} is not a paper size: use a4 or letter, e.g. --paper a4", quoted(word)));
}

std::size_t lines_of(Paper paper) {
  switch (paper) {
    case Paper::a4:
      return 60;
    case Paper::letter:
      return 56;
  }
  throw std::logic_error("a paper outside its list");
}

std::string report_text(const advice::StockReport& report, Paper paper) {
  Pager pager(paper, page_title(report), to_text(report.as_of));
  add_head(pager, report);
  add_orders(pager, report);
  add_kit(pager, report);
  add_dangers(pager, report);
  add_dates(pager, report);
  add_consumables(pager, report);
  add_packing(pager, report);
  add_footing(pager, report);
  return pager.to_text();
}

}  // namespace shearpin::report
