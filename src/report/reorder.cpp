// What to order.

#include <fmt/format.h>

#include <algorithm>

#include "base/text.hpp"
#include "report/display.hpp"
#include "report/phrases.hpp"
#include "report/sections.hpp"

namespace shearpin::report {
namespace {

using advice::ReorderLine;

constexpr std::string_view kReorderColumns =
    "part,name,severity,order_pieces,order_packs,pack,supplier,arrives_by,cost,on_hand,on_order,"
    "owed,expiring,stock_position,reorder_point,level,stretch_level,decided_by,target,"
    "chance_no_shortage_now,lead_median_days,lead_planning_days,reason";

Row chance_row(const advice::OrderChance& chance) {
  return {{"where", chance.where, "`home`: before the departure"},
          {"order_by", chance.order_by, "last day; of a shop the day it is passed"},
          {"received", chance.received},
          {"bought_there", chance.bought, "nothing to order"},
          {"missed", chance.missed, "its last day is over"}};
}

bool to_order(const ReorderLine& line) { return line.wanted(); }

std::string packs_text(const ReorderLine& line) {
  return line.pack > 1 ? fmt::format("{} of {}", line.order_packs, line.pack) : "singly";
}

std::string supplier_text(const ReorderLine& line) {
  if (line.supplier.empty()) {
    return "no supplier named; plan " + days_text(line.lead_planning);
  }
  const std::string name = line.supplier_name.empty() ? line.supplier : line.supplier_name;
  return fmt::format("from {}: usually {}, plan {}", name, days_text(line.lead_median),
                     days_text(line.lead_planning));
}

std::string level_text(const ReorderLine& line) {
  std::string text = fmt::format("{} on hand", line.on_hand);
  const auto add = [&text](std::int64_t pieces, const char* what) {
    if (pieces > 0) {
      text += fmt::format(", {} {}", pieces, what);
    }
  };
  add(line.on_order, "on order");
  add(line.owed, "owed");
  add(line.expiring, "running out");
  if (line.level <= 0) {
    return text;
  }
  text += fmt::format("; order at {}, up to {}", line.reorder_point, line.level);
  return line.stretch_level > line.level
             ? fmt::format("{}, {} for the stretch", text, line.stretch_level)
             : text;
}

std::string chances_text(const ReorderLine& line) {
  std::vector<std::string> words;
  for (const auto& chance : line.chances) {
    if (chance.bought) {
      words.push_back(fmt::format("sold at {} on {}", chance.where, to_text(chance.received)));
    } else {
      words.push_back(fmt::format("{} on {}, {} {}", chance.where, to_text(chance.received),
                                  chance.missed ? "no longer sure since" : "order by",
                                  to_text(chance.order_by)));
    }
  }
  return words.empty() ? "" : "for the trip: " + join(words, "; ");
}

/// Parts that need nothing now but are on order.
TextTable coming_table(const std::vector<ReorderLine>& lines) {
  TextTable table;
  for (const ReorderLine& line : lines) {
    if (!line.wanted() && line.on_order > 0) {
      table.add({{wide("part"), key_and_name(line.part, line.name)},
                 {right("on order"), std::to_string(line.on_order)},
                 {right("on hand"), std::to_string(line.on_hand)},
                 {right("order at"),
                  line.level > 0 ? std::to_string(line.reorder_point) : std::string(kNothing)},
                 {right("up to"), std::to_string(line.level)}});
    }
  }
  return table;
}

std::string next_step(const advice::ReorderAnswer& answer) {
  const auto first = std::find_if(answer.lines.begin(), answer.lines.end(), to_order);
  if (first != answer.lines.end()) {
    return fmt::format("Next, once ordered: `shearpin order {} {} --supplier {}`.", first->part,
                       first->order_pieces, first->supplier.empty() ? "SUPPLIER" : first->supplier);
  }
  return answer.window ? fmt::format("Next: `shearpin carry {}` says what to take along.",
                                     window_words(*answer.window))
                       : "Next: `shearpin carry --days 14` says what a stretch without shops would "
                         "want.";
}

}  // namespace

Row reorder_row(const ReorderLine& line) {
  return {{"part", line.part},
          {"name", line.name},
          {"severity", domain::to_text(line.severity), "as in `carry`"},
          {"order_pieces", line.order_pieces},
          {"order_packs", line.order_packs},
          {"pack", line.pack, "to order now (0: nothing); the same in packs; pieces in a pack"},
          {"supplier", or_null(line.supplier)},
          {"supplier_name", or_null(line.supplier_name), "`null`: none named"},
          {"arrives_by", line.arrives_by,
           "day by which it is planned to be here; `null`: nothing to order"},
          {"cost", line.cost, "of the line; `null`: price not known or nothing to order"},
          {"on_hand", line.on_hand},
          {"on_order", line.on_order},
          {"owed", line.owed},
          {"expiring", line.expiring,
           "usable everywhere; on its way; waited for by places without a sound piece; ends before "
           "a new one could be here"},
          {"stock_position", line.position, "on hand + on order - owed - expiring"},
          {"reorder_point", line.reorder_point},
          {"level", line.level,
           "order when the stock position is at or below the one, up to the other; level 0: not "
           "stocked"},
          {"stretch_level", line.stretch_level, "what the stretch wants aboard; 0 without one"},
          {"decided_by", to_text(line.decided_by)},
          {"target", line.target},
          {"chance_no_shortage_now", line.chance_now, "as in `carry`, over review and lead time"},
          {"lead_median_days", line.lead_median},
          {"lead_planning_days", line.lead_planning,
           "lead time: half of the orders are here by then; the one planned with"},
          {"order_chances", each(line.chances, chance_row),
           "for a trip that wants more than there is, where the part can still come aboard, by "
           "day"},
          {"reason", line.reason},
          {"safety_note", or_null(line.safety_note), "as in `carry`"}};
}

Row reorder_fields(const advice::ReorderAnswer& answer) {
  return {
      {"parts", each(answer.lines, reorder_row), "one object a part, those to order first"},
      {"window", one(answer.window, window_row), "the stretch asked about; `null`: none"},
      {"review_days", answer.review_days, "how often the shelf is looked at"},
      {"cost", answer.cost},
      {"unpriced", answer.unpriced},
      {"notes", answer.notes, "of what is to order, without the parts in `unpriced`; sentences"}};
}

TextTable order_table(const std::vector<ReorderLine>& lines) {
  TextTable table;
  for (const ReorderLine& line : lines) {
    if (line.wanted()) {
      table.add(
          {{wide("part"), key_and_name(line.part, line.name)},
           {right("pieces"), std::to_string(line.order_pieces)},
           {right("packs"), packs_text(line)},
           {left("here by"), line.arrives_by ? to_text(*line.arrives_by) : "not known"},
           {right("cost"), money_text(line.cost)}},
          {supplier_text(line), level_text(line), reason_text(line.reason), chances_text(line)});
    }
  }
  return table;
}

TextTable low_table(const std::vector<ReorderLine>& lines) {
  TextTable table;
  for (const ReorderLine& line : lines) {
    table.add({{wide("part"), key_and_name(line.part, line.name)},
               {right("on hand"), std::to_string(line.on_hand)},
               {right("on order"), std::to_string(line.on_order)},
               {right("order"), std::to_string(line.order_pieces)},
               {wide("why"), line.reason}});
  }
  return table;
}

std::vector<std::string> reorder_totals(const advice::ReorderAnswer& answer) {
  std::vector<std::string> totals;
  const bool wanted = std::any_of(answer.lines.begin(), answer.lines.end(), to_order);
  if (wanted) {
    totals.push_back(
        fmt::format("To order costs {} where prices are known.", money_text(answer.cost)));
    if (!answer.unpriced.empty()) {
      totals.push_back(fmt::format("Without a known price: {}.", listed(answer.unpriced)));
    }
  }
  const auto rest = std::count_if(answer.lines.begin(), answer.lines.end(), [](const auto& line) {
    return !line.wanted() && line.on_order == 0;
  });
  if (rest > 0) {
    totals.push_back(fmt::format("{} {} nothing now.",
                                 counted(rest, wanted ? "other part" : "part"),
                                 rest == 1 ? "needs" : "need"));
  }
  return totals;
}

std::string reorder_text(const advice::ReorderAnswer& answer, const Cautions& cautions) {
  std::string text =
      wrap_text(fmt::format("What to order as of {}, looking at the shelf every {}{}.",
                            to_text(answer.as_of), days_text(answer.review_days),
                            answer.window ? ", and for " + window_text(*answer.window) : ""));
  if (answer.lines.empty()) {
    text += wrap_text("No part is called for by a place, used up or in stock: nothing to order.");
    return text + notes_text(answer.notes) + wrap_text(kHowToBegin);
  }
  const TextTable orders = order_table(answer.lines);
  text += orders.empty() ? "\nNothing to order now.\n" : section("Order now", orders);
  text += section("Already on order, and enough", coming_table(answer.lines));
  const auto totals = reorder_totals(answer);
  text += (totals.empty() ? "" : "\n") + paragraphs(totals);
  text += section("Notes", notes_text(answer.notes));
  return text + "\n" + closing_cautions(cautions) + "\n" + wrap_text(next_step(answer));
}

std::string reorder_json(const advice::ReorderAnswer& answer) {
  return json_text(answer.as_of, reorder_fields(answer));
}

std::string reorder_csv(const advice::ReorderAnswer& answer) {
  return csv_table(kReorderColumns, answer.lines, reorder_row);
}

}  // namespace shearpin::report
