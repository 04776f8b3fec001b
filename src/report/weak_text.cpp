#include <fmt/format.h>

#include <algorithm>

#include "base/quantity.hpp"
#include "base/text.hpp"
#include "report/display.hpp"
#include "report/json_values.hpp"
#include "report/phrases.hpp"
#include "report/text_table.hpp"
#include "report/weak.hpp"

namespace shearpin::report {
namespace {

constexpr std::size_t kShown = 15;

std::string cover(const advice::ExposureLine& line) {
  if (line.spares > 0) {
    return counted(line.spares, "spare");
  }
  return line.workaround.empty() ? std::string(kNothing) : line.workaround;
}

std::string section(std::string_view title, const std::vector<advice::ExposureLine>& lines,
                    bool all) {
  if (lines.empty()) {
    return "";
  }
  TextTable table({{"place", Align::left, true},
                   {"a failure", Align::left},
                   {"chance", Align::right},
                   {"covered by", Align::left, true}});
  const std::size_t shown = all ? lines.size() : std::min(kShown, lines.size());
  for (std::size_t i = 0; i < shown; ++i) {
    const auto& line = lines[i];
    table.add_row(
        {key_and_name(line.position, line.name), std::string(severity_words(line.severity)),
         short_chance(line.chance_fails), cover(line)},
        {line.certain});
  }
  std::string text = "\n" + heading(title) + table.to_text(kWidth);
  if (shown < lines.size()) {
    text += wrap_text(
        fmt::format("{} more with less to lose; all of them: --all.", lines.size() - shown));
  }
  return text;
}

Json exposure_json(const advice::ExposureLine& line) {
  return {{"position", line.position},
          {"name", line.name},
          {"rig", line.rig},
          {"severity", domain::to_text(line.severity)},
          {"chance_fails", figure(line.chance_fails)},
          {"certain", text_or_null(line.certain)},
          {"spares_aboard", line.spares},
          {"workaround", text_or_null(line.workaround)},
          {"part", text_or_null(line.part)},
          {"class", text_or_null(line.class_key)},
          {"safety_note", text_or_null(line.safety_note)}};
}

Json all_json(const std::vector<advice::ExposureLine>& lines) {
  Json array = Json::array();
  for (const auto& line : lines) {
    array.push_back(exposure_json(line));
  }
  return array;
}

void add_csv(std::string& text, const char* kind, const std::vector<advice::ExposureLine>& lines) {
  for (const auto& line : lines) {
    text += csv_line({kind, line.position, line.name, std::string(domain::to_text(line.severity)),
                      plain_number(line.chance_fails), std::to_string(line.spares), line.workaround,
                      line.part});
  }
}

}  // namespace

std::string weak_text(const advice::WeakAnswer& answer, bool all, const Cautions& cautions) {
  std::string text = wrap_text(fmt::format(
      "What would stop us on {}, ledger as of {}: chance that at least one unit there fails, worst "
      "first by what a day without it costs.",
      window_text(answer.window), to_text(answer.as_of)));
  text += wrap_text(
      "A place whose failure does not show counts all that may have gone since its last test: test "
      "it first (`shearpin now` lists what is due), and the chance falls to what the days ahead "
      "add.");
  text += section("Neither spare nor workaround", answer.uncovered, all);
  text += section("No spare, a workaround", answer.worked_round, all);
  text += section("A spare aboard", answer.spared, all);
  if (!answer.notes.empty()) {
    text += "\n" + heading("Notes") + notes_text(answer.notes);
  }
  if (answer.uncovered.empty() && answer.worked_round.empty() && answer.spared.empty()) {
    return text + wrap_text("No place is in the ledger yet: shearpin position add KEY ...");
  }
  return text + "\n" + closing_cautions(cautions) + "\n" +
         wrap_text(fmt::format("Next: `shearpin carry {}` says which spares to add.",
                               window_words(answer.window)));
}

std::string weak_json(const advice::WeakAnswer& answer) {
  Json json = answer_head(answer.as_of);
  json["window"] = window_json(answer.window);
  json["uncovered"] = all_json(answer.uncovered);
  json["worked_round"] = all_json(answer.worked_round);
  json["spared"] = all_json(answer.spared);
  json["notes"] = answer.notes;
  return written(json);
}

std::string weak_csv(const advice::WeakAnswer& answer) {
  std::string text = csv_line({"covered", "position", "name", "severity", "chance_fails",
                               "spares_aboard", "workaround", "part"});
  add_csv(text, "nothing", answer.uncovered);
  add_csv(text, "workaround", answer.worked_round);
  add_csv(text, "spare", answer.spared);
  return text;
}

std::vector<std::string> safety_keys(const advice::WeakAnswer& answer) {
  std::vector<std::string> keys;
  for (std::size_t i = 0; i < std::min(kShown, answer.uncovered.size()); ++i) {
    const auto& key = answer.uncovered[i].safety_note;
    if (!key.empty() && std::find(keys.begin(), keys.end(), key) == keys.end()) {
      keys.push_back(key);
    }
  }
  return keys;
}

}  // namespace shearpin::report
