// Would this advice have helped: the past played again.

#include <fmt/format.h>

#include "base/text.hpp"
#include "report/display.hpp"
#include "report/phrases.hpp"
#include "report/sections.hpp"

namespace shearpin::report {
namespace {

Row period_row(const advice::ReplayPeriod& period) {
  return {{"from", period.from},
          {"to", period.to, "asked for after the one, up to and with the other"},
          {"parts", period.parts, "looked at"},
          {"demand_pieces", period.demand, "asked for"},
          {"carried_pieces", period.carried, "advised"},
          {"short_of", period.short_of, "parts that ran short under the advice"}};
}

Row rule_row(const advice::ReplayRule& rule) {
  return {{"rule", rule.name, "`the advice`, `none`, `one of each`, `as last year`"},
          {"cases", rule.cases, "a part over a period"},
          {"shortages", rule.shortages},
          {"days_without", rule.days_without, "piece-days to the end of the period"},
          {"cost_without", rule.cost_without},
          {"pieces_carried", rule.carried},
          {"pieces_not_needed", rule.for_nothing},
          {"cost_carried", rule.cost_carried, "where prices are known"}};
}

Row target_row(const advice::ReplayTarget& line) {
  return {{"severity", domain::to_text(line.severity)},
          {"target", line.target},
          {"cases", line.cases},
          {"promised", line.promised, "mean chance of no shortage told"},
          {"kept", line.kept, "cases without one"}};
}

Row calibration_row(const advice::CalibrationBin& bin) {
  return {{"chance_low", bin.low},
          {"chance_high", bin.high},
          {"cases", bin.cases},
          {"expected", bin.expected, "sum of the chances"},
          {"happened", bin.happened}};
}

double share(long part, long whole) {
  return whole == 0 ? 0 : static_cast<double>(part) / static_cast<double>(whole);
}

TextTable rules_table(const advice::ReplayAnswer& answer) {
  TextTable table;
  const auto periods = static_cast<double>(answer.periods.size());
  for (const auto& rule : answer.rules) {
    const auto mean = [&](long pieces) {
      return fmt::format("{:.1f}", static_cast<double>(pieces) / periods);
    };
    table.add({{wide("rule"), rule.name},
               {right("short"), grouped(rule.shortages)},
               {right("days without"), grouped(std::lround(rule.days_without))},
               {right("their cost"), cost_text(rule.cost_without)},
               {right("held"), mean(rule.carried)},
               {right("unused"), mean(rule.for_nothing)},
               {right("holding cost"), cost_text(rule.cost_carried)}});
  }
  return table;
}

TextTable targets_table(const advice::ReplayAnswer& answer) {
  TextTable table;
  for (const auto& line : answer.targets) {
    table.add({{left("severity"), std::string(domain::to_text(line.severity))},
               {right("cases"), grouped(line.cases)},
               {right("wanted"), short_chance(line.target)},
               {right("promised"), short_chance(line.promised)},
               {right("no shortage"), short_chance(share(line.kept, line.cases))},
               {right("ran short"), grouped(line.cases - line.kept)}});
  }
  return table;
}

TextTable calibration_table(const advice::ReplayAnswer& answer) {
  TextTable table;
  for (const auto& bin : answer.calibration) {
    if (bin.cases > 0) {
      table.add({{left("chance of a demand told"),
                  fmt::format("{:g} to {:g} %", 100 * bin.low, 100 * bin.high)},
                 {right("cases"), grouped(bin.cases)},
                 {right("expected"), fmt::format("{:.1f}", bin.expected)},
                 {right("came"), grouped(bin.happened)}});
    }
  }
  return table;
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

}  // namespace

Row replay_fields(const advice::ReplayAnswer& answer) {
  return {{"periods", each(answer.periods, period_row), "one after the other"},
          {"rules", each(answer.rules, rule_row), "the advice and plain rules on the same cases"},
          {"targets", each(answer.targets, target_row), "by severity"},
          {"calibration", each(answer.calibration, calibration_row),
           "by chance of at least one demand told"}};
}

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
  text += section("Rules side by side", rules_table(answer));
  text += wrap_text(
      "Short: times that more of a part was asked for than held. Held and unused are pieces, a "
      "mean "
      "over the periods. Every period starts with the full number and nothing to be had before its "
      "end.");
  text += section("Was the promise kept?", targets_table(answer));
  text += section("Chances told, and what came", calibration_table(answer));
  text += wrap_text(
      "What fails unseen and is never tested asks for nothing in the record, however likely it has "
      "failed.");
  const auto ran_short = short_periods(answer);
  return text +
         section("Ran short under the advice", ran_short.empty() ? wrap_text("Never.") : ran_short);
}

std::string replay_json(const advice::ReplayAnswer& answer) {
  return json_text(answer.as_of, replay_fields(answer));
}

std::string replay_csv(const advice::ReplayAnswer& answer) {
  return csv_table("from,to,parts,demand_pieces,carried_pieces,short_of", answer.periods,
                   period_row);
}

}  // namespace shearpin::report
