// Why that many: the whole chain in numbered steps.

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <stdexcept>

#include "base/quantity.hpp"
#include "base/text.hpp"
#include "report/display.hpp"
#include "report/phrases.hpp"
#include "report/sections.hpp"

namespace shearpin::report {
namespace {

Row lead_row(const advice::LeadBelief& lead) {
  return {{"supplier", or_null(lead.supplier_key), "`null`: none"},
          {"resupply", domain::to_text(lead.resupply)},
          {"belief_low_days", lead.prior.low_days},
          {"belief_median_days", lead.prior.median_days},
          {"belief_high_days", lead.prior.high_days},
          {"completed_days", lead.completed},
          {"open_days", lead.open},
          {"mean_days", lead.mean_days},
          {"planning_days", lead.planning_days},
          {"planning_quantile", lead.planning_quantile}};
}

Row worth_row(const advice::WorthRow& row) {
  return {{"pieces", row.n},
          {"chance_no_shortage", row.chance},
          {"days_without", row.days_without},
          {"cost_of_days", row.cost_of_days},
          {"cost_of_holding", row.cost_of_holding},
          {"cost_total", row.total()}};
}

/// Cumulative chance past which further rows say nothing new to two figures.
constexpr double kNearlySure = 0.9995;

/// Words beside rows of a table, by row number.
using Marks = std::map<std::int64_t, std::string>;

void mark(Marks& marks, std::int64_t row, const std::string& word) {
  std::string& text = marks[row];
  text += text.empty() ? word : ", " + word;
}

std::string hidden_text(std::size_t rows) {
  return rows == 0 ? ""
                   : wrap_text(fmt::format("{} not shown.",
                                           counted(static_cast<long long>(rows), "row")));
}

/// k, P(= k), P(<= k) down to the last marked row and until nearly sure.
std::string demand_rows(const std::vector<double>& demand, const Marks& marks,
                        const Detail& detail) {
  TextTable table;
  const auto last_marked =
      marks.empty() ? std::size_t{0} : static_cast<std::size_t>(marks.rbegin()->first);
  double sum = 0;
  std::size_t shown = 0;
  std::size_t skipped = 0;
  for (std::size_t k = 0; k < demand.size(); ++k) {
    const bool sure_before = sum >= kNearlySure;
    sum += demand[k];
    const auto found = marks.find(static_cast<std::int64_t>(k));
    const bool marked = found != marks.end();
    if (!detail.all_rows && !marked && (shown >= kRowsShown || (sure_before && k > last_marked))) {
      ++skipped;
      continue;
    }
    ++shown;
    table.add({{right("k"), grouped(static_cast<long long>(k))},
               {right("P(= k)"), chance_text(demand[k])},
               {right("P(<= k)"), chance_text(std::min(sum, 1.0))},
               {left(""), marked ? "<- " + found->second : ""}});
  }
  return table.to_text(kWidth, 2) + hidden_text(skipped);
}

/// The part can be received before home.
bool received_on_way(const advice::CarryLine& line) {
  return line.trip && line.trip->receipts.size() > 1;
}

std::string receipt_words(const domain::Receipt& receipt) {
  const std::string at = fmt::format("{} {}", receipt.place, to_text(receipt.day));
  std::vector<std::string> more;
  if (receipt.how == domain::Receipt::How::parcel) {
    more.push_back("order by " + to_text(receipt.cutoff));
  }
  if (receipt.waiting > 0) {
    more.push_back(fmt::format("{} on order wait there", receipt.waiting));
  }
  return more.empty() ? at : fmt::format("{} ({})", at, join(more, "; "));
}

/// What fails after the last day to order for one stop has to be met from the shelf until the next.
std::string on_the_way_text(const advice::CarryLine& line, const advice::Window& window) {
  if (!received_on_way(line)) {
    return "";
  }
  std::string text = wrap_text(
      "What fails after the last day to order for one stop waits for the next one, so the shelf "
      "has "
      "to last:");
  std::string from = "the departure " + to_text(window.start);
  for (std::size_t k = 0; k < line.trip->receipts.size(); ++k) {
    const auto& receipt = line.trip->receipts[k];
    const auto& demand = line.trip->intervals.at(k);
    double mean = 0;
    for (std::size_t m = 0; m < demand.size(); ++m) {
      mean += static_cast<double>(m) * demand[m];
    }
    text += bullet(fmt::format("from {} to {}: {} wanted on average, none {}", from,
                               receipt_words(receipt), significant(mean, 2),
                               chance_text(demand.front())));
    if (receipt.how == domain::Receipt::How::waits) {
      continue;  // nothing is made good there: the count goes on
    }
    from = receipt.how == domain::Receipt::How::parcel ? "the order on " + to_text(receipt.cutoff)
                                                       : to_text(receipt.day);
  }
  return text;
}

std::string_view decided_words(advice::DecidedBy decided) {
  switch (decided) {
    case advice::DecidedBy::target:
      return "the target decides";
    case advice::DecidedBy::worth:
      return "worth decides";
  }
  throw std::logic_error("a rule outside its list");
}

std::string waits_text(const std::vector<double>& waits) {
  constexpr std::size_t kMost = 12;
  std::vector<std::string> texts;
  const std::size_t first = waits.size() > kMost ? waits.size() - kMost : 0;
  for (std::size_t i = first; i < waits.size(); ++i) {
    texts.push_back(amount_text(waits[i], ""));
  }
  return first > 0 ? fmt::format("{} earlier ones, then {}", first, join(texts, ", "))
                   : join(texts, ", ");
}

std::string carry_verdict(const advice::CarryLine& line) {
  std::string text =
      wrap_text(fmt::format("Carry {}: the larger of {} by target and {} by worth; {}.", line.carry,
                            line.level_target, line.level_worth, decided_words(line.decided_by)));
  text += wrap_text(fmt::format(
      "Aboard and good throughout: {}. Chance of no shortage {} with them, {} with {}. Expected "
      "days standing without: {}, then {}.",
      line.stock.aboard, chance_text(line.chance_aboard), chance_text(line.chance_carry),
      line.carry, days_text(line.days_without_aboard), days_text(line.days_without_carry)));
  if (2 * line.carry_at_median < line.carry) {
    text += wrap_text(fmt::format(
        "Were the median life certain, {} would do: it is the width of the class belief about "
        "the life that asks for {}, and a longer record would narrow it.",
        line.carry_at_median, line.carry));
  }
  const std::string step = step_text(line);
  return text + (step.empty() ? "" : wrap_text("To " + step + "."));
}

std::string order_verdict(const advice::ReorderLine& line) {
  std::string text = wrap_text(fmt::format(
      "Stock position {}: {} on hand, and {} on order, less {} owed to open places and {} that "
      "run out before a new one could be here.",
      line.position, line.on_hand, line.on_order, line.owed, line.expiring));
  if (!line.wanted()) {
    return text + wrap_text(line.level > 0
                                ? fmt::format("Above the reorder point of {}: order nothing.",
                                              line.reorder_point)
                                : std::string("Not to be stocked: order nothing."));
  }
  text += wrap_text(fmt::format(
      "Order {}{}, cost {}.", counted(line.order_pieces, "piece"),
      line.pack > 1 ? fmt::format(" ({} of {})", counted(line.order_packs, "pack"), line.pack) : "",
      money_text(line.cost)));
  return text;
}

std::string exposure_step(const advice::ExplainAnswer& answer) {
  const std::string over =
      answer.window ? counted(answer.window->days, "day")
                    : fmt::format("the review of {} and a mean lead time of {}",
                                  days_text(answer.review_days), days_text(answer.lead.mean_days));
  std::string text =
      wrap_text(fmt::format("{} of effective exposure over {}, all places together.",
                            amount_text(answer.exposure_ahead, answer.rate.unit), over));
  for (const std::string& condition : answer.conditions) {
    text += bullet(condition);
  }
  if (answer.carry) {
    const advice::DemandView& demand = answer.carry->demand;
    text += wrap_text(answer.carry->positions.empty()
                          ? "No place calls for it."
                          : fmt::format("{} at: {}.", counted(demand.units, "unit place"),
                                        listed(answer.carry->positions)));
    if (demand.down > 0) {
      text += wrap_text(fmt::format(
          "{} of them hold no sound part now: each a certain demand at the start.", demand.down));
    }
    if (demand.assumed_exposure) {
      text += wrap_text("Some of the exposure is assumed: no meter or rate of its own was given.");
    }
  }
  return text;
}

/// Demand over the window, else over review and lead time, with the levels marked.
std::string demand_step(const advice::ExplainAnswer& answer, const Detail& detail) {
  if (!answer.carry) {
    Marks marks;
    mark(marks, answer.reorder.level, "up to level");
    return wrap_text("Pieces wanted over the review period and one lead time:") +
           demand_rows(answer.protection_demand, marks, detail);
  }
  const advice::CarryLine& line = *answer.carry;
  Marks marks;
  mark(marks, line.stock.aboard, "aboard");
  mark(marks, line.level_target, "target level");
  mark(marks, line.carry, "carry");
  std::string text = wrap_text(fmt::format(
      "Pieces wanted over the stretch: {} on average ({} by failures of what is fitted, {} used "
      "up, {} lost).",
      significant(line.demand.mean, 2), significant(line.demand.mean_fitted, 2),
      significant(line.demand.mean_consumed, 2), significant(line.demand.mean_losses, 2)));
  return text + demand_rows(line.demand.total, marks, detail) +
         on_the_way_text(line, *answer.window);
}

/// "t23 is uninhabitable, but gets by with jugs: one step down, degraded. "
std::string eased_text(const advice::ExplainAnswer& answer) {
  std::string text;
  for (const advice::Eased& one : answer.eased) {
    text += fmt::format("{} is {}, but gets by with {}: one step down, {}. ", one.position,
                        to_text(one.own), one.workaround, to_text(one.after));
  }
  return text;
}

std::string target_step(const advice::ExplainAnswer& answer) {
  const auto severity = answer.carry ? answer.carry->severity : answer.reorder.severity;
  const double target = answer.carry ? answer.carry->target : answer.reorder.target;
  const std::string wanted = fmt::format(
      "{}Severity {} ({}), so the wanted chance of no shortage is {}.", eased_text(answer),
      to_text(severity), severity_words(severity), plain_number(target));
  if (!answer.carry) {
    return wrap_text(wanted +
                     " It is read off the table above: the first k with P(<= k) at least "
                     "that.");
  }
  if (received_on_way(*answer.carry)) {
    return wrap_text(fmt::format(
        "{} The least stock that is enough between all chances to receive it, each with the chance "
        "told above, is {}.",
        wanted, answer.carry->level_target));
  }
  return wrap_text(fmt::format("{} The first k with P(<= k) at least that is {}.", wanted,
                               answer.carry->level_target));
}

std::string worth_step(const advice::ExplainAnswer& answer, const Detail& detail) {
  std::string text = wrap_text(
      fmt::format("A day without costs {}; one piece costs {} to hold for the time aboard. The "
                  "least total is the level by worth.",
                  cost_text(answer.cost_of_day), cost_text(answer.holding_of_one)));
  if (answer.worth.empty()) {
    return text + wrap_text("No stock is worth weighing here.");
  }
  const auto least = std::min_element(
      answer.worth.begin(), answer.worth.end(),
      [](const auto& one, const auto& other) { return one.total() < other.total(); });
  TextTable table;
  const auto last_wanted = static_cast<std::size_t>(least - answer.worth.begin()) + 3;
  std::size_t shown = answer.worth.size();
  if (!detail.all_rows) {
    shown = std::min(shown, std::max(last_wanted, std::size_t{4}));
  }
  std::size_t first = !detail.all_rows && shown > kRowsShown ? shown - kRowsShown : 0;
  for (std::size_t i = first; i < shown; ++i) {
    const advice::WorthRow& row = answer.worth[i];
    const bool is_least = i == static_cast<std::size_t>(least - answer.worth.begin());
    table.add({{right("n"), grouped(row.n)},
               {right("no shortage"), chance_text(row.chance)},
               {right("days without"), days_text(row.days_without)},
               {right("their cost"), cost_text(row.cost_of_days)},
               {right("holding"), cost_text(row.cost_of_holding)},
               {right("total"), cost_text(row.total())},
               {left(""), is_least ? "<- least" : ""}});
  }
  text += table.to_text(kWidth, 2);
  return text + hidden_text(answer.worth.size() - (shown - first));
}

std::string lead_step(const advice::ExplainAnswer& answer, const Detail& detail) {
  const advice::LeadBelief& lead = answer.lead;
  std::string text = wrap_text(fmt::format(
      "Belief for {}: {}, eight times in ten {}. Supplier: {}.", to_text(lead.resupply),
      days_text(lead.prior.median_days),
      range_text(lead.prior.low_days, lead.prior.high_days, "days"),
      lead.supplier_key.empty() ? std::string("none named, belief alone") : lead.supplier_key));
  text +=
      wrap_text(lead.completed.empty()
                    ? std::string("No order completed yet.")
                    : fmt::format("{} completed, days taken: {}.",
                                  counted(static_cast<long long>(lead.completed.size()), "order"),
                                  waits_text(lead.completed)));
  if (!lead.open.empty()) {
    text += wrap_text(fmt::format("Still open, days waited so far: {}.", waits_text(lead.open)));
  }
  text += wrap_text(
      fmt::format("So now: median {}, mean {}, planned with {} ({} of orders are here by then).",
                  days_text(answer.reorder.lead_median), days_text(lead.mean_days),
                  days_text(lead.planning_days), chance_text(lead.planning_quantile)));
  text +=
      wrap_text("Pieces wanted in one lead time:") + demand_rows(answer.lead_demand, {}, detail);
  if (answer.lead_demand_bounded) {
    text += wrap_text(
        "Part of the average over the lead time did not settle; a bound is used there: rather too "
        "many pieces than too few.");
  }
  const advice::ReorderLine& line = answer.reorder;
  if (line.level <= 0) {
    return text + wrap_text("Level S = 0: not worth stocking at base. " + line.reason);
  }
  return text + wrap_text(fmt::format(
                    "Reviewed every {}: order up to S = {}, when the stock position is at or "
                    "below R = {}; {}.",
                    days_text(answer.review_days), line.level, line.reorder_point,
                    decided_words(line.decided_by)));
}

std::string verdict_step(const advice::ExplainAnswer& answer) {
  std::string text;
  if (answer.carry) {
    text += carry_verdict(*answer.carry);
  }
  text += order_verdict(answer.reorder);
  const std::string& reason = answer.carry ? answer.carry->reason : answer.reorder.reason;
  return reason.empty() ? text : text + wrap_text("In short: " + reason);
}

std::string without_signs_text(const advice::ExplainAnswer& answer) {
  if (!answer.level_without_signs) {
    return "";
  }
  return wrap_text(fmt::format("Level at base with those failures {}, without them {}.",
                               answer.reorder.level, *answer.level_without_signs));
}

}  // namespace

Row explain_fields(const advice::ExplainAnswer& answer) {
  return {
      {"part", answer.rate.part},
      {"rate", one(answer.rate, rate_fields), "key; everything `rate` says"},
      {"window", one(answer.window, window_row), "the stretch; `null` without one, as is `carry`"},
      {"exposure_ahead", answer.exposure_ahead},
      {"conditions", answer.conditions,
       "effective, over all units, in the unit of `rate`; factors that count, in words"},
      {"carry", one(answer.carry, carry_row), "the part as in `carry`"},
      {"worth", each(answer.worth, worth_row), "for each stock"},
      {"cost_of_day", answer.cost_of_day},
      {"holding_of_one", answer.holding_of_one,
       "of the severest place; of one piece for the time aboard"},
      {"review_days", answer.review_days},
      {"lead", one(answer.lead, lead_row), "how often the shelf is looked at; the lead time"},
      {"lead_demand", answer.lead_demand},
      {"protection_demand", answer.protection_demand,
       "chance of 0, 1, 2 ... pieces wanted in a lead time, and in review and lead time"},
      {"lead_demand_bounded", answer.lead_demand_bounded,
       "`true`: part of these did not settle and is a bound, rather too many pieces than too "
       "few"},
      {"reorder", one(answer.reorder, reorder_row), "the part as in `reorder`"},
      {"level_without_fault_signs", answer.level_without_signs,
       "the level at base without the failures of `fault_signs`; `null`: no signs"}};
}

std::string explain_text(const advice::ExplainAnswer& answer, const Detail& detail,
                         const Cautions& cautions) {
  const advice::RateAnswer& rate = answer.rate;
  std::string about = fmt::format("{}. Why that many, as of {}", key_and_name(rate.part, rate.name),
                                  to_text(rate.as_of));
  about += answer.window ? ", for " + window_text(*answer.window) + "."
                         : ", at base with the post in reach.";
  std::string text = wrap_text(about);
  int step = 0;
  const auto add = [&text, &step](std::string_view title, const std::string& body) {
    step += body.empty() ? 0 : 1;
    text += section(fmt::format("{}. {}", step, title), body);
  };
  add("What is believed of the class", belief_text(rate));
  add("The records used", records_text(rate, detail) + own_record_text(rate));
  add("What is believed of this part now",
      posterior_text(rate) + learnt_text(rate) + factors_text(rate));
  add("Exposure ahead", exposure_step(answer));
  add("Demand", demand_step(answer, detail));
  add("Level by the target", target_step(answer));
  add("Level by worth", worth_step(answer, detail));
  add("Lead time, and the level at base", lead_step(answer, detail));
  add("Stock position and verdict", verdict_step(answer));
  add("Before it fails", upkeep_text(rate));
  if (!rate.signs.empty()) {
    add("Bad luck or a fault?", signs_text(rate.signs) + without_signs_text(answer));
  }
  text += section("Notes", notes_text(rate.notes));
  return text + "\n" + closing_cautions(cautions);
}

std::string explain_json(const advice::ExplainAnswer& answer) {
  return json_text(answer.rate.as_of, explain_fields(answer));
}

}  // namespace shearpin::report
