#include <fmt/format.h>

#include "base/text.hpp"
#include "report/display.hpp"
#include "report/json_values.hpp"
#include "report/phrases.hpp"
#include "report/replay.hpp"
#include "report/text_table.hpp"

namespace shearpin::report {
namespace {

double share(long part, long whole) {
  return whole == 0 ? 0 : static_cast<double>(part) / static_cast<double>(whole);
}

std::string rules_table(const advice::ReplayAnswer& answer) {
  TextTable table({{"rule", Align::left, true},
                   {"short", Align::right},
                   {"days without", Align::right},
                   {"their cost", Align::right},
                   {"held", Align::right},
                   {"unused", Align::right},
                   {"holding cost", Align::right}});
  const auto periods = static_cast<double>(answer.periods.size());
  for (const auto& rule : answer.rules) {
    table.add_row({rule.name, grouped(rule.shortages), grouped(std::lround(rule.days_without)),
                   cost_text(rule.cost_without),
                   fmt::format("{:.1f}", static_cast<double>(rule.carried) / periods),
                   fmt::format("{:.1f}", static_cast<double>(rule.for_nothing) / periods),
                   cost_text(rule.cost_carried)});
  }
  return table.to_text(kWidth);
}

std::string targets_table(const advice::ReplayAnswer& answer) {
  TextTable table({{"severity", Align::left},
                   {"cases", Align::right},
                   {"wanted", Align::right},
                   {"promised", Align::right},
                   {"no shortage", Align::right},
                   {"ran short", Align::right}});
  for (const auto& line : answer.targets) {
    table.add_row({std::string(domain::to_text(line.severity)), grouped(line.cases),
                   short_chance(line.target), short_chance(line.promised),
                   short_chance(share(line.kept, line.cases)), grouped(line.cases - line.kept)});
  }
  return table.to_text(kWidth);
}

std::string calibration_table(const advice::ReplayAnswer& answer) {
  TextTable table({{"chance of a demand told", Align::left},
                   {"cases", Align::right},
                   {"expected", Align::right},
                   {"came", Align::right}});
  for (const auto& bin : answer.calibration) {
    if (bin.cases > 0) {
      table.add_row({fmt::format("{:g} to {:g} %", 100 * bin.low, 100 * bin.high),
                     grouped(bin.cases), fmt::format("{:.1f}", bin.expected),
                     grouped(bin.happened)});
    }
  }
  return table.to_text(kWidth);
}

std::string short_periods(const advice::ReplayAnswer& answer) {
  std::string text;
  for (const auto& period : answer.periods) {
    if (!period.short_of.empty()) {
      text += bullet(fmt::format("{} to {}: {}", to_text(period.from), to_text(period.to),
                                 listed(period.short_of)));
    }
  }
  return text;
}

Json rule_json(const advice::ReplayRule& rule) {
  return {{"rule", rule.name},
          {"cases", rule.cases},
          {"shortages", rule.shortages},
          {"days_without", figure(rule.days_without)},
          {"cost_without", figure(rule.cost_without)},
          {"pieces_carried", rule.carried},
          {"pieces_not_needed", rule.for_nothing},
          {"cost_carried", figure(rule.cost_carried)}};
}

}  // namespace

std::string replay_text(const advice::ReplayAnswer& answer) {
  if (answer.periods.empty()) {
    return wrap_text("The record is shorter than one period: there is nothing to play again yet.");
  }
  const auto& first = answer.periods.front();
  std::string text = wrap_text(fmt::format(
      "The past played again from {} to {}, {} of {} days: what would have been carried by what "
      "was known on each first day, against what was asked for until the next.",
      to_text(first.from), to_text(answer.periods.back().to),
      counted(static_cast<long long>(answer.periods.size()), "period"),
      days_between(first.from, first.to)));
  text +=
      "\n" + heading("Rules side by side") + rules_table(answer) +
      wrap_text(
          "Short: times that more of a part was asked for than held. Held and unused are pieces, "
          "a mean over the periods. Every period starts with the full number and nothing to be "
          "had before its end.");
  text += "\n" + heading("Was the promise kept?") + targets_table(answer);
  text += "\n" + heading("Chances told, and what came") + calibration_table(answer) +
          wrap_text(
              "What fails unseen and is never tested asks for nothing in the record, however "
              "likely it has failed.");
  const auto ran_short = short_periods(answer);
  text += "\n" + heading("Ran short under the advice") +
          (ran_short.empty() ? wrap_text("Never.") : ran_short);
  return text;
}

std::string replay_json(const advice::ReplayAnswer& answer) {
  Json json = answer_head(answer.as_of);
  json["periods"] = Json::array();
  for (const auto& period : answer.periods) {
    json["periods"].push_back({{"from", to_text(period.from)},
                               {"to", to_text(period.to)},
                               {"parts", period.parts},
                               {"demand_pieces", period.demand},
                               {"carried_pieces", period.carried},
                               {"short_of", period.short_of}});
  }
  json["rules"] = Json::array();
  for (const auto& rule : answer.rules) {
    json["rules"].push_back(rule_json(rule));
  }
  json["targets"] = Json::array();
  for (const auto& line : answer.targets) {
    json["targets"].push_back({{"severity", domain::to_text(line.severity)},
                               {"target", figure(line.target)},
                               {"cases", line.cases},
                               {"promised", figure(line.promised)},
                               {"kept", line.kept}});
  }
  json["calibration"] = Json::array();
  for (const auto& bin : answer.calibration) {
    json["calibration"].push_back({{"chance_low", figure(bin.low)},
                                   {"chance_high", figure(bin.high)},
                                   {"cases", bin.cases},
                                   {"expected", figure(bin.expected)},
                                   {"happened", bin.happened}});
  }
  return written(json);
}

std::string replay_csv(const advice::ReplayAnswer& answer) {
  std::string text =
      csv_line({"from", "to", "parts", "demand_pieces", "carried_pieces", "short_of"});
  for (const auto& period : answer.periods) {
    text += csv_line({to_text(period.from), to_text(period.to), std::to_string(period.parts),
                      std::to_string(period.demand), std::to_string(period.carried),
                      fmt::format("{}", fmt::join(period.short_of, ";"))});
  }
  return text;
}

}  // namespace shearpin::report
