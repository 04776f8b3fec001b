// What needs doing today.

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

#include "base/quantity.hpp"
#include "base/text.hpp"
#include "report/display.hpp"
#include "report/phrases.hpp"
#include "report/sections.hpp"

namespace shearpin::report {
namespace {

using advice::DownLine;
using advice::DueLine;
using advice::OpenOrderLine;

Row down_row(const DownLine& line) {
  return {{"position", line.position},
          {"unit", line.unit},
          {"name", line.name},
          {"rig", line.rig},
          {"state", domain::to_text(line.state), "`empty`, `dead`, `workaround`, `stand-in`"},
          {"since", line.since},
          {"severity", domain::to_text(line.severity)},
          {"getting_by", or_null(line.getting_by)},
          {"class_advice", or_null(line.class_advice), "where nothing is declared"},
          {"part", or_null(line.part), "`null`: no part number"},
          {"aboard", line.aboard},
          {"ashore", line.ashore},
          {"on_order", line.on_order},
          {"safety_note", or_null(line.safety_note)}};
}

/// The word of answers, and what there is to do.
struct DueWords {
  const char *key, *to_do;
};
DueWords words_of(DueLine::Kind kind) {
  switch (kind) {
    case DueLine::Kind::test:
      return {"test", "test it"};
    case DueLine::Kind::marked_end:
      return {"marked_end", "marked end, replace it"};
    case DueLine::Kind::spare_end:
      return {"spare_end", "spare runs out"};
    case DueLine::Kind::charge:
      return {"charge", "charge it"};
  }
  throw std::logic_error("a kind of due line outside its list");
}

Row due_row(const DueLine& line) {
  return {{"kind", words_of(line.kind).key, "`test`, `marked_end`, `spare_end`, `charge`"},
          {"what", line.what, "key of the place or part"},
          {"name", line.name},
          {"due", line.due},
          {"days_over", line.days_over, "negative: days left"},
          {"detail", line.detail},
          {"safety_note", or_null(line.safety_note)}};
}

Row open_order_row(const OpenOrderLine& line) {
  return {{"number", line.number},
          {"part", line.part},
          {"name", line.name},
          {"supplier", line.supplier},
          {"pieces_to_come", line.quantity},
          {"ordered", line.ordered},
          {"days_waited", line.days_waited},
          {"chance_in_week", line.chance_in_week, "that it comes within seven more days"}};
}

std::string repair_text(const DownLine& line) {
  if (line.part.empty()) {
    return "no part number; choose one and fit it";
  }
  if (line.aboard > 0) {
    return fmt::format("{} aboard: shearpin fit {} {}", line.aboard,
                       place_text(line.position, line.unit, line.several), line.part);
  }
  if (line.ashore > 0) {
    return fmt::format("none of {} aboard, {} in {}: fetch it", line.part, line.ashore,
                       line.ashore_bin);
  }
  if (line.on_order > 0) {
    return fmt::format("none of {} aboard, {} on order", line.part, line.on_order);
  }
  return fmt::format("none of {} aboard: order it", line.part);
}

/// One sentence to be read aloud first.
std::string summary(const advice::NowAnswer& answer) {
  std::vector<std::string> parts;
  const auto add = [&parts](const auto& lines, const char* noun, const char* what) {
    if (!lines.empty()) {
      parts.push_back(counted(static_cast<long long>(lines.size()), noun) + what);
    }
  };
  add(answer.down, "place", " without a sound part");
  add(answer.signs, "sign", " of a fault");
  const auto overdue = static_cast<std::size_t>(
      std::count_if(answer.due.begin(), answer.due.end(),
                    [](const DueLine& line) { return line.days_over > 0; }));
  if (overdue > 0) {
    parts.push_back(fmt::format("{} overdue", overdue));
  }
  if (answer.due.size() > overdue) {
    parts.push_back(fmt::format("{} due soon", answer.due.size() - overdue));
  }
  add(answer.reorder, "part", " low");
  add(answer.orders, "order", " on the way");
  return join_words(parts) + ".";
}

std::string next_step(const advice::NowAnswer& answer) {
  const auto ready = std::find_if(answer.down.begin(), answer.down.end(), [](const auto& line) {
    return line.aboard > 0 && !line.part.empty();
  });
  if (ready != answer.down.end()) {
    return fmt::format("Next: fit the spare, then `shearpin fit {} {} --from BIN`.",
                       place_text(ready->position, ready->unit, ready->several), ready->part);
  }
  const auto test = std::find_if(answer.due.begin(), answer.due.end(),
                                 [](const auto& line) { return line.kind == DueLine::Kind::test; });
  if (test != answer.due.end()) {
    return fmt::format("Next: do the test, then `shearpin test {} pass` or `fail`.", test->what);
  }
  if (!answer.reorder.empty()) {
    return "Next: `shearpin reorder` says how many, from whom and by when.";
  }
  if (!answer.down.empty()) {
    return fmt::format("Next: `shearpin fits {}` says what may be fitted there.",
                       answer.down.front().position);
  }
  return "Next: `shearpin carry --days 14` says what to take on a stretch without shops.";
}

/// The columns of CSV, filled by each kind of line in its own way.
Row thing(const char* kind, const Value& key, const std::string& name, const Value& date,
          const Value& days, const Value& pieces, const Value& detail) {
  return {{"kind", kind}, {"key", key},       {"name", name},    {"date", date},
          {"days", days}, {"pieces", pieces}, {"detail", detail}};
}

}  // namespace

Row now_fields(const advice::NowAnswer& answer) {
  return {{"anything_due", answer.anything(),
           "something is down, due or low, or looks like a fault (exit code 10 with `--check`)"},
          {"down", each(answer.down, down_row), "places without a sound part"},
          {"fault_signs", each(answer.signs, sign_row),
           "failures at one place that are too many to be luck, rarest first; each as in `rate`"},
          {"due", each(answer.due, due_row), "tests and marked ends"},
          {"reorder", each(answer.reorder, reorder_row),
           "parts at or below their reorder point, as in `reorder`"},
          {"orders", each(answer.orders, open_order_row), "what is on its way"},
          {"notes", answer.notes, "sentences"}};
}

TextTable down_table(const std::vector<DownLine>& lines, Date as_of) {
  TextTable table;
  for (const DownLine& line : lines) {
    const std::string state = fmt::format("{} for {}", to_text(line.state),
                                          counted(days_between(line.since, as_of), "day"));
    table.add(
        {{wide("place"),
          cell_lines({key_and_name(place_text(line.position, line.unit, line.several), line.name),
                      line.rig.empty() ? "" : "on " + line.rig})},
         {wide("state"), cell_lines({state, std::string(severity_words(line.severity))})},
         {wide("getting by, and what to do"),
          cell_lines({line.getting_by,
                      line.class_advice.empty() ? "" : "perhaps: " + line.class_advice,
                      repair_text(line)})}});
  }
  return table;
}

TextTable due_table(const std::vector<DueLine>& lines) {
  TextTable table;
  for (const DueLine& line : lines) {
    table.add({{wide("what"), key_and_name(line.what, line.name)},
               {left("to do"), words_of(line.kind).to_do},
               {left("due"), to_text(line.due)},
               {left("", "overdue or ahead"), due_text(line.days_over)}},
              {line.detail});
  }
  return table;
}

TextTable open_order_table(const std::vector<OpenOrderLine>& lines) {
  TextTable table;
  for (const OpenOrderLine& line : lines) {
    table.add({{left("order"), line.number},
               {wide("part"), key_and_name(line.part, line.name)},
               {right("to come"), std::to_string(line.quantity)},
               {wide("from"), line.supplier},
               {right("waited"), days_text(line.days_waited)},
               {right("in a week", "chance within a week"), short_chance(line.chance_in_week)}});
  }
  return table;
}

std::string now_text(const advice::NowAnswer& answer, const Cautions& cautions) {
  std::string text =
      wrap_text(answer.anything() || !answer.orders.empty()
                    ? fmt::format("As of {}: {}", to_text(answer.as_of), summary(answer))
                    : fmt::format("As of {}: nothing is down, due, low or on the way.",
                                  to_text(answer.as_of)));
  text += section("Down, or getting by", down_table(answer.down, answer.as_of));
  text += section("Too many to be luck", signs_text(answer.signs));
  text += section("Overdue or due soon", due_table(answer.due));
  text += section("At or below the reorder point", low_table(answer.reorder));
  text += section("On the way", open_order_table(answer.orders));
  text += section("Notes", notes_text(answer.notes));
  const std::string warned = caution_text(cautions);
  text += warned.empty() ? "" : "\n" + warned;
  return text + "\n" + wrap_text(next_step(answer));
}

std::string now_json(const advice::NowAnswer& answer) {
  return json_text(answer.as_of, now_fields(answer));
}

std::string now_csv(const advice::NowAnswer& answer) {
  std::vector<Row> rows;
  for (const DownLine& line : answer.down) {
    rows.push_back(thing("down", place_text(line.position, line.unit), line.name, line.since,
                         days_between(line.since, answer.as_of), line.aboard,
                         domain::to_text(line.state)));
  }
  for (const DueLine& line : answer.due) {
    rows.push_back(thing("due", line.what, line.name, line.due, line.days_over, {}, line.detail));
  }
  for (const advice::ReorderLine& line : answer.reorder) {
    rows.push_back(thing("reorder", line.part, line.name, line.arrives_by, {}, line.order_pieces,
                         line.reason));
  }
  for (const OpenOrderLine& line : answer.orders) {
    rows.push_back(thing("order", line.number, line.name, line.ordered, line.days_waited,
                         line.quantity, line.supplier));
  }
  return csv_table("kind,key,name,date,days,pieces,detail", rows);
}

}  // namespace shearpin::report
