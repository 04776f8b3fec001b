#include <fmt/format.h>

#include <algorithm>

#include "base/quantity.hpp"
#include "base/text.hpp"
#include "report/debrief.hpp"
#include "report/display.hpp"
#include "report/json_values.hpp"
#include "report/phrases.hpp"
#include "report/text_table.hpp"

namespace shearpin::report {
namespace {

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
  TextTable table({{"date", Align::left},
                   {"place", Align::left, true},
                   {"what", Align::left},
                   {"cause", Align::left},
                   {"put right after", Align::left}});
  for (const auto& event : answer.events) {
    table.add_row({to_text(event.date), key_and_name(event.position, event.name), event.what,
                   event.cause.empty() ? std::string(kNothing) : event.cause, open_words(event)});
  }
  return table.to_text(kWidth);
}

std::string asked_text(const advice::DebriefAnswer& answer) {
  TextTable table({{"part", Align::left, true},
                   {"aboard", Align::right},
                   {"advised", Align::right},
                   {"asked for", Align::right},
                   {"short", Align::right},
                   {"days without", Align::right},
                   {"advised now", Align::right}});
  for (const auto& line : answer.lines) {
    if (line.asked > 0) {
      table.add_row({key_and_name(line.part, line.name), grouped(line.aboard),
                     grouped(line.advised), grouped(line.asked), grouped(line.short_of),
                     grouped(line.days_without), grouped(line.advised_now)});
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

std::string learnt_text(const advice::DebriefAnswer& answer) {
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

std::string debrief_text(const advice::DebriefAnswer& answer) {
  std::string text = wrap_text(fmt::format(
      "After {}: {} to {}{}.", key_and_name(answer.trip, answer.name), to_text(answer.from),
      to_text(answer.to), answer.under_way ? ", still under way" : ""));
  text += wrap_text(
      fmt::format("Chance of no shortage told at the departure, with what was aboard: {}.",
                  chance_text(answer.readiness_told)));
  text += "\n" + heading("What broke, ran out or was lost") + events_text(answer);
  text += "\n" + heading("What was asked for") + asked_text(answer);
  text +=
      "\n" +
      heading(answer.under_way ? "What has not been asked for so far" : "What came back unused") +
      unused_text(answer);
  if (!answer.counts.empty()) {
    text += "\n" + heading("Stocktakes since the departure") + notes_text(answer.counts);
  }
  text += "\n" + heading("What the advice would now be") + learnt_text(answer);
  return text + "\n" +
         wrap_text(
             "Next: `shearpin replay` plays all of the past, and `shearpin reorder` fills "
             "the boxes again.");
}

std::string debrief_json(const advice::DebriefAnswer& answer) {
  Json json = answer_head(answer.as_of);
  json["trip"] = answer.trip;
  json["name"] = answer.name;
  json["from"] = to_text(answer.from);
  json["to"] = to_text(answer.to);
  json["under_way"] = answer.under_way;
  json["chance_no_shortage_told"] = figure(answer.readiness_told);
  json["events"] = Json::array();
  for (const auto& event : answer.events) {
    json["events"].push_back({{"date", to_text(event.date)},
                              {"position", event.position},
                              {"part", text_or_null(event.part)},
                              {"what", event.what},
                              {"cause", text_or_null(event.cause)},
                              {"days_open", event.days_open},
                              {"still_open", event.still_open}});
  }
  json["parts"] = Json::array();
  for (const auto& line : answer.lines) {
    json["parts"].push_back({{"part", line.part},
                             {"severity", domain::to_text(line.severity)},
                             {"aboard", line.aboard},
                             {"advised", line.advised},
                             {"asked", line.asked},
                             {"short", line.short_of},
                             {"not_needed", line.for_nothing},
                             {"chance_no_shortage_told", figure(line.chance_told)},
                             {"days_without", line.days_without},
                             {"advised_now", line.advised_now}});
  }
  json["stocktakes"] = answer.counts;
  return written(json);
}

}  // namespace shearpin::report
