#include "report/stock_report_tables.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <string_view>

#include "base/quantity.hpp"
#include "base/text.hpp"
#include "report/display.hpp"
#include "report/phrases.hpp"

namespace shearpin::report {
namespace {

std::string count_or_nothing(std::int64_t pieces) {
  return pieces > 0 ? fmt::format("{}", pieces) : std::string(kNothing);
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

}  // namespace

TextTable exposure_table(const std::vector<advice::ExposureLine>& lines) {
  TextTable table({{"place", Align::left, true},
                   {"if it fails", Align::left},
                   {"chance", Align::right, false, "chance that it fails"}});
  for (const advice::ExposureLine& line : lines) {
    table.add_row(
        {key_and_name(line.position, line.name), std::string(severity_words(line.severity)),
         short_chance(line.chance_fails)},
        {line.rig.empty() ? "" : "on " + line.rig, line.certain,
         line.part.empty() ? "no part number (" + line.class_key + ")" : "wants " + line.part,
         line.spares > 0 ? counted(line.spares, "spare") + " aboard" : "",
         "workaround: " + workaround_words(line)});
  }
  return table;
}

TextTable doubtful_table(const std::vector<advice::CarryLine>& lines) {
  TextTable table({{"part", Align::left, true},
                   {"good", Align::right},
                   {"expired", Align::right},
                   {"run out", Align::right},
                   {"quarantine", Align::right},
                   {"worn", Align::right},
                   {"first end", Align::left}});
  for (const advice::CarryLine& line : lines) {
    const advice::StockView& stock = line.stock;
    if (stock.expired + stock.expiring + stock.quarantined + stock.worn > 0) {
      table.add_row({key_and_name(line.part, line.name), fmt::format("{}", stock.aboard),
                     count_or_nothing(stock.expired), count_or_nothing(stock.expiring),
                     count_or_nothing(stock.quarantined), count_or_nothing(stock.worn),
                     stock.first_end ? to_text(*stock.first_end) : std::string(kNothing)});
    }
  }
  return table;
}

TextTable use_table(const std::vector<advice::UseLine>& lines) {
  TextTable table({{"meter", Align::left, true}, {"ahead", Align::right}, {"from", Align::left}});
  for (const advice::UseLine& line : lines) {
    table.add_row({line.meter, amount_text(line.amount, line.unit),
                   line.planned ? "the plan" : "the usual rate"});
  }
  return table;
}

TextTable consumables_table(const std::vector<advice::CarryLine>& lines) {
  TextTable table({{"part", Align::left, true},
                   {"used, on average", Align::right},
                   {"carry", Align::right},
                   {"aboard", Align::right}});
  for (const advice::CarryLine& line : lines) {
    if (line.demand.mean_consumed > 0) {
      table.add_row({key_and_name(line.part, line.name), significant(line.demand.mean_consumed, 2),
                     fmt::format("{}", line.carry), fmt::format("{}", line.stock.aboard)});
    }
  }
  return table;
}

TextTable legs_table(const advice::TripView& trip) {
  TextTable table({{"from", Align::left},
                   {"to", Align::left},
                   {"route", Align::left, true},
                   {"signal", Align::left}});
  for (const auto& leg : trip.legs) {
    table.add_row(
        {to_text(leg.from), to_text(leg.to), leg.route, leg.signal ? "signal" : "no signal"});
  }
  return table;
}

TextTable stops_table(const advice::TripView& trip) {
  TextTable table({{"date", Align::left},
                   {"place", Align::left, true},
                   {"parcels", Align::left},
                   {"sold there", Align::left, true}});
  for (const auto& stop : trip.stops) {
    table.add_row({to_text(stop.date), stop.place, stop.parcels ? "taken in" : "none",
                   stop.sold.empty() ? "nothing" : stop.sold});
  }
  return table;
}

TextTable order_by_table(const advice::TripView& trip) {
  TextTable table({{"part", Align::left, true},
                   {"order by", Align::left},
                   {"to", Align::left, true},
                   {"there by", Align::left}});
  for (const auto& order : trip.orders) {
    table.add_row({key_and_name(order.part, order.name), to_text(order.by), order.where,
                   to_text(order.received)});
  }
  return table;
}

std::vector<BinList> by_bin(const std::vector<advice::PackLine>& lines) {
  std::vector<BinList> bins;
  std::map<std::string_view, std::size_t> place_of;
  for (const advice::PackLine& line : lines) {
    const auto [found, added] = place_of.try_emplace(line.bin, bins.size());
    if (added) {
      bins.push_back({bin_title(line), TextTable({{"", Align::left, false, "done"},
                                                  {"", Align::right, false, "pieces"},
                                                  {"", Align::left, true, "part"},
                                                  {"", Align::left, true, "batch"},
                                                  {"", Align::left, true, "remark"}})});
    }
    bins[found->second].table.add_row({std::string(kTickBox), fmt::format("{}", line.quantity),
                                       key_and_name(line.part, line.name), line.batch,
                                       line.remark});
  }
  return bins;
}

TextTable assumption_table(const std::vector<advice::AssumptionLine>& lines) {
  // The name stands in full where the part is carried; here a line a part is worth more.
  TextTable table({{"part", Align::left, true, "", true},
                   {"life", Align::right, false, "life, median"},
                   {"8 in 10 lie in", Align::right, false, "eight times in ten"},
                   {"failed in", Align::right, false, "failed in, watched"},
                   {"own", Align::right, false, "own record"}});
  for (const advice::AssumptionLine& line : lines) {
    table.add_row(
        {key_and_name(line.part, line.name), amount_text(line.life_median, line.unit),
         fmt::format("{} - {}", amount_text(line.life_low, ""), amount_text(line.life_high, "")),
         fmt::format("{} in {}", line.failures, amount_text(line.exposure, "")),
         short_chance(line.share_learnt)},
        {line.contradicted ? "belief and record do not fit together" : ""});
  }
  return table;
}

}  // namespace shearpin::report
