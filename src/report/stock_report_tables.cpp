#include "report/stock_report_tables.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <string_view>

#include "report/phrases.hpp"
#include "shearpin/base/quantity.hpp"
#include "shearpin/base/text.hpp"
#include "shearpin/report/display.hpp"

namespace shearpin::report {
namespace {

std::string count_or_nothing(std::int64_t pieces) {
  return pieces > 0 ? fmt::format("{}", pieces) : std::string(kNothing);
}

std::string bin_title(const advice::PackLine& line) {
  return fmt::format("Bin {}{}", key_and_name(line.bin, line.bin_name),
                     line.aboard ? "" : " (stays behind)");
}

}  // namespace

TextTable exposure_table(const std::vector<advice::ExposureLine>& lines) {
  TextTable table({{"place", Align::left, true},
                   {"if it fails", Align::left, true},
                   {"chance", Align::right},
                   {"wants", Align::left, true},
                   {"way round", Align::left, true}});
  for (const advice::ExposureLine& line : lines) {
    table.add_row(
        {key_and_name(line.position, line.name) + (line.rig.empty() ? "" : "\non " + line.rig),
         std::string(severity_words(line.severity)), short_chance(line.chance_fails),
         line.part.empty() ? "no part number (" + line.class_key + ")" : line.part,
         line.workaround.empty() ? "none known" : line.workaround});
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

std::vector<BinList> by_bin(const std::vector<advice::PackLine>& lines) {
  std::vector<BinList> bins;
  std::map<std::string_view, std::size_t> place_of;
  for (const advice::PackLine& line : lines) {
    const auto [found, added] = place_of.try_emplace(line.bin, bins.size());
    if (added) {
      bins.push_back({bin_title(line), TextTable({{"", Align::left},
                                                  {"pieces", Align::right},
                                                  {"part", Align::left, true},
                                                  {"batch", Align::left, true},
                                                  {"remark", Align::left, true}})});
    }
    bins[found->second].table.add_row({"[ ]", fmt::format("{}", line.quantity),
                                       key_and_name(line.part, line.name), line.batch,
                                       line.remark});
  }
  return bins;
}

TextTable assumption_table(const std::vector<advice::AssumptionLine>& lines) {
  TextTable table({{"part", Align::left, true},
                   {"life, median", Align::right},
                   {"eight times in ten", Align::right},
                   {"failed", Align::right},
                   {"watched", Align::right},
                   {"own record", Align::right}});
  for (const advice::AssumptionLine& line : lines) {
    table.add_row(
        {key_and_name(line.part, line.name) +
             (line.contradicted ? "\nbelief and record do not fit together" : ""),
         amount_text(line.life_median, line.unit),
         fmt::format("{} to {}", amount_text(line.life_low, ""), amount_text(line.life_high, "")),
         fmt::format("{}", line.failures), amount_text(line.exposure, ""),
         short_chance(line.share_learnt)});
  }
  return table;
}

}  // namespace shearpin::report
