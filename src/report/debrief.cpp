// What a trip taught.

#include <fmt/format.h>

#include <algorithm>

#include "base/quantity.hpp"
#include "base/text.hpp"
#include "report/display.hpp"
#include "report/phrases.hpp"
#include "report/sections.hpp"

namespace shearpin::report {
namespace {

Row event_row(const advice::DebriefEvent& event) {
  return {{"date", event.date},
          {"position", event.position},
          {"part", or_null(event.part)},
          {"what", event.what, "`failed`, `found failed`, `ran out`, `lost`"},
          {"cause", or_null(event.cause)},
          {"days_open", event.days_open, "without a sound unit"},
          {"still_open", event.still_open, "at the end"}};
}

Row debrief_row(const advice::DebriefLine& line) {
  return {{"part", line.part},
          {"severity", domain::to_text(line.severity)},
          {"aboard", line.aboard, "at the departure"},
          {"advised", line.advised, "then"},
          {"asked", line.asked, "for on the way"},
          {"short", line.short_of, "beyond what was aboard"},
          {"not_needed", line.for_nothing},
          {"chance_no_shortage_told", line.chance_told},
          {"days_without", line.days_without},
          {"advised_now", line.advised_now, "for the same trip"}};
}

std::string open_words(const advice::DebriefEvent& event) {
  if (event.still_open) {
    return fmt::format("{}, still open", days_text(event.days_open));
  }
  return event.days_open == 0 ? "at once" : days_text(event.days_open);
}

std::string events_text(const advice::DebriefAnswer& answer) {
  if (answer.events.empty()) {
    return wrap_text("Nothing that the ledger knows of.");
  }
  TextTable table;
  for (const auto& event : answer.events) {
    table.add({{left("date"), to_text(event.date)},
               {wide("place"), key_and_name(event.position, event.name)},
               {left("what"), event.what},
               {left("cause"), event.cause.empty() ? std::string(kNothing) : event.cause},
               {left("put right after"), open_words(event)}});
  }
  return table.to_text(kWidth);
}

std::string asked_text(const advice::DebriefAnswer& answer) {
  TextTable table;
  for (const auto& line : answer.lines) {
    if (line.asked > 0) {
      table.add({{wide("part"), key_and_name(line.part, line.name)},
                 {right("aboard"), grouped(line.aboard)},
                 {right("advised"), grouped(line.advised)},
                 {right("asked for"), grouped(line.asked)},
                 {right("short"), grouped(line.short_of)},
                 {right("days without"), grouped(line.days_without)},
                 {right("advised now"), grouped(line.advised_now)}});
    }
  }
  return table.empty() ? wrap_text("No part was asked for.") : table.to_text(kWidth);
}

std::string unused_text(const advice::DebriefAnswer& answer) {
  std::vector<std::string> words;
  std::int64_t pieces = 0;
  for (const auto& line : answer.lines) {
    pieces += line.for_nothing;
    if (line.for_nothing > 0) {
      words.push_back(fmt::format("{} x {}", line.for_nothing, line.part));
    }
  }
  if (words.empty()) {
    return wrap_text("Nothing: all that was aboard was asked for.");
  }
  return wrap_text(
      fmt::format("{}: {}. A spare that stayed in its box did its work if going "
                  "without would have cost more.",
                  counted(pieces, "piece"), listed(words, 12)));
}

std::string changed_text(const advice::DebriefAnswer& answer) {
  std::string text;
  for (const auto& line : answer.lines) {
    if (line.advised_now != line.advised) {
      text += bullet(fmt::format("{}: {} then, {} now", key_and_name(line.part, line.name),
                                 line.advised, line.advised_now));
    }
  }
  return text.empty() ? wrap_text("For the same trip the same pieces would be advised again.")
                      : text;
}

}  // namespace

Row debrief_fields(const advice::DebriefAnswer& answer) {
  return {{"trip", answer.trip},
          {"name", answer.name},
          {"from", answer.from},
          {"to", answer.to, "of the trip; its days that are over"},
          {"under_way", answer.under_way, "it is not over yet"},
          {"chance_no_shortage_told", answer.readiness_told,
           "of the whole kit, by what was known on the eve, with what was aboard then"},
          {"events", each(answer.events, event_row),
           "failures, losses and marked ends on the way, by day"},
          {"parts", each(answer.lines, debrief_row), "what was carried or asked for"},
          {"stocktakes", answer.counts, "differences posted since the departure, in words"}};
}

std::string debrief_text(const advice::DebriefAnswer& answer) {
  std::string text = wrap_text(fmt::format(
      "After {}: {} to {}{}.", key_and_name(answer.trip, answer.name), to_text(answer.from),
      to_text(answer.to), answer.under_way ? ", still under way" : ""));
  text += wrap_text(
      fmt::format("Chance of no shortage told at the departure, with what was aboard: {}.",
                  chance_text(answer.readiness_told)));
  text += section("What broke, ran out or was lost", events_text(answer));
  text += section("What was asked for", asked_text(answer));
  text += section(answer.under_way ? "What has not been asked for so far" : "What came back unused",
                  unused_text(answer));
  text += section("Stocktakes since the departure", notes_text(answer.counts));
  text += section("What the advice would now be", changed_text(answer));
  return text + "\n" +
         wrap_text(
             "Next: `shearpin replay` plays all of the past, and `shearpin reorder` fills "
             "the boxes again.");
}

std::string debrief_json(const advice::DebriefAnswer& answer) {
  return json_text(answer.as_of, debrief_fields(answer));
}

}  // namespace shearpin::report
