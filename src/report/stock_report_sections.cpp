#include <fmt/format.h>

#include <algorithm>
#include <iterator>

#include "base/quantity.hpp"
#include "base/text.hpp"
#include "report/carry_sections.hpp"
#include "report/display.hpp"
#include "report/figures.hpp"
#include "report/kit_text.hpp"
#include "report/phrases.hpp"
#include "report/reasoning.hpp"
#include "report/reorder_sections.hpp"
#include "report/sheet.hpp"
#include "report/stock_report_tables.hpp"
#include "report/tables.hpp"

namespace shearpin::report {
namespace {

/// The ledger's own words about what estimates are worth; they stand in the head, and once.
constexpr std::string_view kLimits = "estimate-limits";

void table_or(Sheet& sheet, std::string_view caption, const TextTable& table,
              std::string_view without) {
  if (table.empty()) {
    sheet.paragraph(without);
  } else {
    sheet.table(caption, table);
  }
}

/// The kit under limits, where some were given and one was found.
const advice::KitView* kit_of(const advice::StockReport& report) {
  return report.carry.kit && report.carry.kit->found ? &*report.carry.kit : nullptr;
}

/// Lists that look at no limit say what these would leave out.
void add_left_out(Sheet& sheet, const advice::StockReport& report) {
  if (const auto* kit = kit_of(report)) {
    if (const std::string words = left_out_words(*kit); !words.empty()) {
      sheet.paragraph(words +
                      " The best kit under them (section 7) and the packing list "
                      "(section 8) go without.");
    }
  }
}

void add_head(Sheet& sheet, const advice::StockReport& report) {
  sheet.paragraph(fmt::format("Stretch: {}, {}.", window_text(report.carry.window),
                              resupply_words(report.carry.window)));
  if (!report.rigs.empty()) {
    sheet.paragraph("Rigs: " + join_words(report.rigs) + ".");
  }
  const auto* kit = kit_of(report);
  sheet.paragraph(fmt::format(
      "Chance of no shortage: {} as the kit stands, {}{} once what is advised below is aboard.",
      chance_text(report.carry.readiness_aboard),
      kit == nullptr ? ""
                     : fmt::format("{} with the best kit under the limits (section 7), ",
                                   chance_text(kit->readiness)),
      chance_text(report.carry.readiness_carry)));
  const auto own = std::find_if(report.cautions.begin(), report.cautions.end(),
                                [](const Caution& caution) { return caution.first == kLimits; });
  sheet.caution(own == report.cautions.end() ? estimate_caution() : own->second);
}

void add_trip(Sheet& sheet, const advice::TripView& trip) {
  const std::string name = trip.name.empty() ? trip.key : trip.name;
  sheet.section(name.empty() ? "The trip" : "The trip: " + name);
  sheet.titled("Legs", legs_table(trip));
  sheet.titled("Stops", stops_table(trip));
  sheet.titled("Last days to order", order_by_table(trip));
  if (!trip.late.empty()) {
    std::vector<std::string> words;
    for (const auto& [part, part_name] : trip.late) {
      words.push_back(key_and_name(part, part_name));
    }
    sheet.paragraph(
        fmt::format("Past their last day, so no longer sure to come in time; order today or buy on "
                    "the spot: {}.",
                    fmt::format("{}", fmt::join(words, "; "))));
  }
  // Last, for it is tall: printed before the tables it would leave most of the first page empty.
  sheet.figure(trip_figure(trip));
}

void add_orders(Sheet& sheet, const advice::StockReport& report) {
  sheet.section("1. Order now");
  table_or(sheet, "Parts to order", order_table(report.reorder.lines), "Nothing to order now.");
  add_left_out(sheet, report);
  for (const std::string& total : reorder_totals(report.reorder)) {
    sheet.paragraph(total);
  }
  sheet.titled("Already on the way", open_order_table(report.now.orders));
}

void add_kit(Sheet& sheet, const advice::StockReport& report) {
  sheet.section(report.carry.window.today ? "2. Take along: short, so buy where it can be had"
                                          : "2. Take along: short, so buy or load before leaving");
  table_or(sheet, "Parts of which too few are aboard", lacking_table(report.carry),
           "Nothing is short.");
  add_left_out(sheet, report);
  if (const auto figure = demand_figure(report.carry)) {
    sheet.figure(*figure);
  }
  sheet.titled("Take along: enough aboard", enough_table(report.carry));
  sheet.titled("Not carried: too unlikely, or dearer than going without",
               not_wanted_table(report.carry));
}

void add_dangers(Sheet& sheet, const advice::StockReport& report) {
  sheet.section("3. What would stop us: no spare and no workaround");
  table_or(sheet, "Places without a spare or a workaround", exposure_table(report.uncovered),
           "Nothing that matters is without both a spare and a workaround.");
  sheet.titled("No spare, but a workaround", exposure_table(report.worked_round));
  sheet.titled("Down, or getting by, today", down_table(report.now.down, report.as_of));
  for (const advice::FaultSign& sign : report.now.signs) {
    sheet.item(fault_warning(sign));
  }
}

void add_dates(Sheet& sheet, const advice::StockReport& report) {
  sheet.section("4. Tests and replacements due before leaving");
  table_or(sheet, "Tests and replacements due", due_table(report.now.due), "None is due.");
  sheet.section("5. Spares that run out or are in doubt");
  table_or(sheet, "Pieces that run out or are in doubt", doubtful_table(report.carry.lines),
           "None.");
}

void add_consumables(Sheet& sheet, const advice::StockReport& report) {
  sheet.section("6. Used up on the way");
  if (!report.use.empty()) {
    sheet.table("Days, nights, hours and distance ahead", use_table(report.use));
  }
  table_or(sheet, "Parts that are used up", consumables_table(report.carry.lines),
           "No part that is used up is on record.");
}

void add_kit(Sheet& sheet, const advice::KitView& kit) {
  if (!kit.found) {
    sheet.paragraph(kit.undecided ? "No kit was found within the limits, and none shown impossible."
                                  : "No kit keeps all of the limits. Something has to give way:");
    for (const auto& conflict : kit_conflicts(kit.conflicts)) {
      sheet.item(conflict);
    }
    return;
  }
  sheet.titled("The best kit under the limits", kit_lines_table(kit));
  sheet.titled("The limits, and what it takes of them", kit_limits_table(kit));
  sheet.paragraph(kit_words(kit));
  if (const std::string unseen = unseen_words(kit); !unseen.empty()) {
    sheet.paragraph(unseen);
  }
}

void add_totals(Sheet& sheet, const advice::StockReport& report) {
  sheet.section("7. Mass, room and cost of the kit");
  for (const std::string& total : carry_totals(report.carry)) {
    sheet.paragraph(total);
  }
  if (report.carry.kit) {
    add_kit(sheet, *report.carry.kit);
  }
  for (const Figure& figure : frontier_figures(report.frontier)) {
    sheet.figure(figure);
  }
}

void add_packing(Sheet& sheet, const advice::StockReport& report) {
  sheet.section("8. Packing list by bin");
  sheet.paragraph(report.packing.empty() ? "Nothing is in any bin."
                                         : "Tick what is in its place; the numbers are pieces.");
  for (const BinList& bin : by_bin(report.packing)) {
    sheet.titled(bin.title, bin.table);
  }
}

void add_footing(Sheet& sheet, const advice::StockReport& report) {
  sheet.section("9. What the figures rest on");
  sheet.paragraph(
      "Life: the characteristic life, about two in three have failed by then; eight times in ten "
      "it lies in the range shown. Own record: how much of it was learnt from this ledger; the "
      "rest is class belief, mostly common practice.");
  table_or(sheet, "Lives believed", assumption_table(report.assumptions), "No part is called for.");
  std::vector<std::string> notes = report.carry.notes;
  for (const auto* more : {&report.reorder.notes, &report.now.notes}) {
    std::copy_if(more->begin(), more->end(), std::back_inserter(notes),
                 [&notes](const std::string& note) {
                   return std::find(notes.begin(), notes.end(), note) == notes.end();
                 });
  }
  for (const std::string& note : notes) {
    sheet.item(note);
  }
}

void add_cautions(Sheet& sheet, const advice::StockReport& report) {
  sheet.section("10. Cautions");
  std::vector<std::string_view> shown;
  for (const Caution& caution : report.cautions) {
    const bool again = std::find(shown.begin(), shown.end(), caution.second) != shown.end();
    if (caution.first != kLimits && !again) {
      shown.emplace_back(caution.second);
      sheet.item(caution.second);
    }
  }
  if (shown.empty()) {
    sheet.paragraph("None beside the one at the head.");
  }
}

}  // namespace

void write_report(Sheet& sheet, const advice::StockReport& report) {
  add_head(sheet, report);
  if (report.trip) {
    add_trip(sheet, *report.trip);
  }
  add_orders(sheet, report);
  add_kit(sheet, report);
  add_dangers(sheet, report);
  add_dates(sheet, report);
  add_consumables(sheet, report);
  add_totals(sheet, report);
  add_packing(sheet, report);
  add_footing(sheet, report);
  add_cautions(sheet, report);
}

}  // namespace shearpin::report
