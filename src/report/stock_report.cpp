// The stock report: what it holds and in which order, on whichever sheet.

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <iterator>
#include <map>
#include <string_view>

#include "base/quantity.hpp"
#include "base/text.hpp"
#include "report/display.hpp"
#include "report/phrases.hpp"
#include "report/sections.hpp"
#include "report/sheet.hpp"

namespace shearpin::report {
namespace {

Row meter_row(const advice::UseLine& line) {
  return {{"meter", line.meter},
          {"unit", line.unit},
          {"amount", line.amount},
          {"planned", line.planned, "`false`: from the usual rate"}};
}

Row report_exposure_row(const advice::ExposureLine& line) {
  Row row = exposure_row(line);
  for (Field& field : row) {
    field.key = field.key == "spares_aboard" ? "spares" : field.key;
  }
  return row;
}

Row pack_row(const advice::PackLine& line) {
  return {{"bin", or_null(line.bin)},
          {"bin_name", or_null(line.bin_name), "`null`: to be bought, no bin yet"},
          {"aboard", line.aboard},
          {"part", line.part},
          {"name", line.name},
          {"batch", or_null(line.batch), "`null`: none"},
          {"pieces", line.quantity},
          {"remark", line.remark}};
}

Row assumption_row(const advice::AssumptionLine& line) {
  return {{"part", line.part},
          {"name", line.name},
          {"unit", line.unit},
          {"life_low", line.life_low},
          {"life_median", line.life_median},
          {"life_high", line.life_high, "10, 50, 90 % points"},
          {"failures", line.failures},
          {"exposure", line.exposure},
          {"share_learnt", line.share_learnt},
          {"contradicted", line.contradicted, "class belief and record do not fit together"}};
}

Row caution_row(const Caution& caution) {
  return {{"key", caution.first}, {"text", caution.second}};
}

Row trip_leg_row(const advice::TripView::Leg& leg) {
  return {{"from", leg.from}, {"to", leg.to}, {"route", leg.route}, {"signal", leg.signal}};
}

Row trip_stop_row(const advice::TripView::Stop& stop) {
  return {{"date", stop.date},
          {"place", stop.place},
          {"parcels", stop.parcels, "taken in"},
          {"sold", or_null(stop.sold), "`null`: nothing"}};
}

Row order_by_row(const advice::TripView::OrderBy& order) {
  return {{"part", order.part},
          {"name", order.name},
          {"order_by", order.by},
          {"where", order.where, "it is sent to"},
          {"received", order.received}};
}

Row late_row(const std::pair<std::string, std::string>& late) {
  return {{"part", late.first}, {"name", late.second}};
}

Row trip_row(const advice::TripView& trip) {
  return {{"trip", trip.key, "its key"},
          {"name", trip.name},
          {"from", trip.from},
          {"to", trip.to},
          {"legs", each(trip.legs, trip_leg_row), "by day"},
          {"stops", each(trip.stops, trip_stop_row), "by day"},
          {"orders", each(trip.orders, order_by_row), "the last days to order"},
          {"late", each(trip.late, late_row), "parts whose last days are all over"}};
}

/// What one bin holds, under its own title.
struct BinList {
  std::string title;
  TextTable table;
};

std::string count_or_nothing(std::int64_t pieces) {
  return pieces > 0 ? std::to_string(pieces) : std::string(kNothing);
}

std::string bin_title(const advice::PackLine& line) {
  if (line.bin.empty()) {
    return "To buy, without a bin of its own";
  }
  return fmt::format("Bin {}{}", key_and_name(line.bin, line.bin_name),
                     line.aboard ? "" : " (stays behind)");
}

std::string workaround_words(const advice::ExposureLine& line) {
  if (!line.workaround.empty()) {
    return line.workaround;
  }
  return line.class_advice.empty() ? "none known" : "none declared; perhaps: " + line.class_advice;
}

TextTable exposure_table(const std::vector<advice::ExposureLine>& lines) {
  TextTable table;
  for (const advice::ExposureLine& line : lines) {
    table.add({{wide("place"), key_and_name(line.position, line.name)},
               {left("if it fails"), std::string(severity_words(line.severity))},
               {right("chance", "chance that it fails"), short_chance(line.chance_fails)}},
              {line.rig.empty() ? "" : "on " + line.rig, line.certain,
               line.part.empty() ? "no part number (" + line.class_key + ")" : "wants " + line.part,
               line.spares > 0 ? counted(line.spares, "spare") + " aboard" : "",
               "workaround: " + workaround_words(line)});
  }
  return table;
}

/// Parts with pieces that are out of date, run out on the way, are in quarantine or worn.
TextTable doubtful_table(const std::vector<advice::CarryLine>& lines) {
  TextTable table;
  for (const advice::CarryLine& line : lines) {
    const advice::StockView& stock = line.stock;
    if (stock.expired + stock.expiring + stock.quarantined + stock.worn > 0) {
      table.add({{wide("part"), key_and_name(line.part, line.name)},
                 {right("good"), std::to_string(stock.aboard)},
                 {right("expired"), count_or_nothing(stock.expired)},
                 {right("run out"), count_or_nothing(stock.expiring)},
                 {right("quarantine"), count_or_nothing(stock.quarantined)},
                 {right("worn"), count_or_nothing(stock.worn)},
                 {left("first end"),
                  stock.first_end ? to_text(*stock.first_end) : std::string(kNothing)}});
    }
  }
  return table;
}

TextTable use_table(const std::vector<advice::UseLine>& lines) {
  TextTable table;
  for (const advice::UseLine& line : lines) {
    table.add({{wide("meter"), line.meter},
               {right("ahead"), amount_text(line.amount, line.unit)},
               {left("from"), line.planned ? "the plan" : "the usual rate"}});
  }
  return table;
}

/// Parts that are used up rather than fitted.
TextTable consumables_table(const std::vector<advice::CarryLine>& lines) {
  TextTable table;
  for (const advice::CarryLine& line : lines) {
    if (line.demand.mean_consumed > 0) {
      table.add({{wide("part"), key_and_name(line.part, line.name)},
                 {right("used, on average"), significant(line.demand.mean_consumed, 2)},
                 {right("carry"), std::to_string(line.carry)},
                 {right("aboard"), std::to_string(line.stock.aboard)}});
    }
  }
  return table;
}

TextTable legs_table(const advice::TripView& trip) {
  TextTable table;
  for (const auto& leg : trip.legs) {
    table.add({{left("from"), to_text(leg.from)},
               {left("to"), to_text(leg.to)},
               {wide("route"), leg.route},
               {left("signal"), leg.signal ? "signal" : "no signal"}});
  }
  return table;
}

TextTable stops_table(const advice::TripView& trip) {
  TextTable table;
  for (const auto& stop : trip.stops) {
    table.add({{left("date"), to_text(stop.date)},
               {wide("place"), stop.place},
               {left("parcels"), stop.parcels ? "taken in" : "none"},
               {wide("sold there"), stop.sold.empty() ? "nothing" : stop.sold}});
  }
  return table;
}

TextTable order_by_table(const advice::TripView& trip) {
  TextTable table;
  for (const auto& order : trip.orders) {
    table.add({{wide("part"), key_and_name(order.part, order.name)},
               {left("order by"), to_text(order.by)},
               {wide("to"), order.where},
               {left("there by"), to_text(order.received)}});
  }
  return table;
}

/// Lines of one bin together, bins in the order of their first line, a box to tick before each.
std::vector<BinList> by_bin(const std::vector<advice::PackLine>& lines) {
  std::vector<BinList> bins;
  std::map<std::string_view, std::size_t> place_of;
  for (const advice::PackLine& line : lines) {
    const auto [found, added] = place_of.try_emplace(line.bin, bins.size());
    if (added) {
      bins.push_back({bin_title(line), {}});
    }
    bins[found->second].table.add({{left("", "done"), std::string(kTickBox)},
                                   {right("", "pieces"), std::to_string(line.quantity)},
                                   {wide("", "part"), key_and_name(line.part, line.name)},
                                   {wide("", "batch"), line.batch},
                                   {wide("", "remark"), line.remark}});
  }
  return bins;
}

TextTable assumption_table(const std::vector<advice::AssumptionLine>& lines) {
  // The name stands in full where the part is carried; here a line a part is worth more.
  const Column part{"part", Align::left, true, "", true};
  TextTable table;
  for (const advice::AssumptionLine& line : lines) {
    table.add(
        {{part, key_and_name(line.part, line.name)},
         {right("life", "life, median"), amount_text(line.life_median, line.unit)},
         {right("8 in 10 lie in", "eight times in ten"),
          fmt::format("{} - {}", amount_text(line.life_low, ""), amount_text(line.life_high, ""))},
         {right("failed in", "failed in, watched"),
          fmt::format("{} in {}", line.failures, amount_text(line.exposure, ""))},
         {right("own", "own record"), short_chance(line.share_learnt)}},
        {line.contradicted ? "belief and record do not fit together" : ""});
  }
  return table;
}

/// What writes one numbered section.
using Writer = void(Sheet&, const advice::StockReport&);
Writer add_orders, add_load, add_dangers, add_dates, add_doubtful, add_consumables, add_totals,
    add_packing, add_footing, add_cautions;

/// Their order gives their numbers.
constexpr std::array kNumbered{add_orders,      add_load,   add_dangers, add_dates,   add_doubtful,
                               add_consumables, add_totals, add_packing, add_footing, add_cautions};

std::ptrdiff_t number_of(Writer* section) {
  return std::find(kNumbered.begin(), kNumbered.end(), section) - kNumbered.begin() + 1;
}

void begin(Sheet& sheet, Writer* section, std::string_view title) {
  sheet.section(fmt::format("{}. {}", number_of(section), title));
}

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
                      fmt::format(" The best kit under them (section {}) and the packing list "
                                  "(section {}) go without.",
                                  number_of(add_totals), number_of(add_packing)));
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
                     : fmt::format("{} with the best kit under the limits (section {}), ",
                                   chance_text(kit->readiness), number_of(add_totals)),
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
                    join(words, "; ")));
  }
  // Last, for it is tall: printed before the tables it would leave most of the first page empty.
  sheet.figure(trip_figure(trip));
}

void add_orders(Sheet& sheet, const advice::StockReport& report) {
  begin(sheet, add_orders, "Order now");
  table_or(sheet, "Parts to order", order_table(report.reorder.lines), "Nothing to order now.");
  add_left_out(sheet, report);
  for (const std::string& total : reorder_totals(report.reorder)) {
    sheet.paragraph(total);
  }
  sheet.titled("Already on the way", open_order_table(report.now.orders));
}

void add_load(Sheet& sheet, const advice::StockReport& report) {
  begin(sheet, add_load,
        report.carry.window.today ? "Take along: short, so buy where it can be had"
                                  : "Take along: short, so buy or load before leaving");
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
  begin(sheet, add_dangers, "What would stop us: no spare and no workaround");
  table_or(sheet, "Places without a spare or a workaround", exposure_table(report.uncovered),
           "Nothing that matters is without both a spare and a workaround.");
  sheet.titled("No spare, but a workaround", exposure_table(report.worked_round));
  sheet.titled("Down, or getting by, today", down_table(report.now.down, report.as_of));
  for (const advice::FaultSign& sign : report.now.signs) {
    sheet.item(fault_warning(sign));
  }
}

void add_dates(Sheet& sheet, const advice::StockReport& report) {
  begin(sheet, add_dates, "Tests and replacements due before leaving");
  table_or(sheet, "Tests and replacements due", due_table(report.now.due), "None is due.");
}

void add_doubtful(Sheet& sheet, const advice::StockReport& report) {
  begin(sheet, add_doubtful, "Spares that run out or are in doubt");
  table_or(sheet, "Pieces that run out or are in doubt", doubtful_table(report.carry.lines),
           "None.");
}

void add_consumables(Sheet& sheet, const advice::StockReport& report) {
  begin(sheet, add_consumables, "Used up on the way");
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
  begin(sheet, add_totals, "Mass, room and cost of the kit");
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
  begin(sheet, add_packing, "Packing list by bin");
  sheet.paragraph(report.packing.empty() ? "Nothing is in any bin."
                                         : "Tick what is in its place; the numbers are pieces.");
  for (const BinList& bin : by_bin(report.packing)) {
    sheet.titled(bin.title, bin.table);
  }
}

void add_footing(Sheet& sheet, const advice::StockReport& report) {
  begin(sheet, add_footing, "What the figures rest on");
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
  begin(sheet, add_cautions, "Cautions");
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
  for (Writer* const section : kNumbered) {
    section(sheet, report);
  }
}

Row report_fields(const advice::StockReport& report) {
  return {{"title", report.title},
          {"rigs", report.rigs, "as printed"},
          {"use", each(report.use, meter_row), "exposure ahead"},
          {"carry", one(report.carry, carry_fields)},
          {"reorder", one(report.reorder, reorder_fields)},
          {"now", one(report.now, now_fields), "those answers, without `schema` and `as_of`"},
          {"uncovered", each(report.uncovered, report_exposure_row)},
          {"worked_round", each(report.worked_round, report_exposure_row),
           "places with no spare, without and with a workaround, as in `weak`; `spares` are those "
           "aboard"},
          {"packing", each(report.packing, pack_row), "the packing list"},
          {"assumptions", each(report.assumptions, assumption_row), "the lives believed"},
          {"cautions", each(report.cautions, caution_row), "each once"},
          {"trip", one(report.trip, trip_row), "`null`: only a stretch of days"},
          {"frontier", one(report.frontier, frontier_row), "as in `carry`"}};
}

std::string report_json(const advice::StockReport& report) {
  return json_text(report.as_of, report_fields(report));
}

std::string report_csv(const advice::StockReport& report) {
  std::vector<Row> rows;
  for (const advice::CarryLine& line : report.carry.lines) {
    rows.push_back(joined(carry_row(line), {{"kind", "carry"},
                                            {"pieces", line.stock.aboard},
                                            {"remark", line.reason},
                                            {"bin"},
                                            {"bin_name"},
                                            {"bin_aboard"},
                                            {"batch"}}));
  }
  for (const advice::PackLine& line : report.packing) {
    rows.push_back(joined(pack_row(line), {{"kind", "pack"},
                                           {"bin_aboard", line.aboard ? "yes" : "no"},
                                           {"carry"},
                                           {"short"},
                                           {"severity"},
                                           {"demand_mean"},
                                           {"chance_no_shortage_aboard"},
                                           {"chance_no_shortage"}}));
  }
  return csv_table(
      "kind,part,name,bin,bin_name,bin_aboard,batch,pieces,carry,short,severity,demand_mean,"
      "chance_no_shortage_aboard,chance_no_shortage,remark",
      rows);
}

}  // namespace shearpin::report
