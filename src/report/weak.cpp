// What would stop us.

#include <fmt/format.h>

#include <algorithm>

#include "base/text.hpp"
#include "report/display.hpp"
#include "report/phrases.hpp"
#include "report/sections.hpp"

namespace shearpin::report {
namespace {

using Lines = std::vector<advice::ExposureLine>;

constexpr std::size_t kPlacesShown = 15;

std::string cover(const advice::ExposureLine& line) {
  if (line.spares > 0) {
    return counted(line.spares, "spare");
  }
  return line.workaround.empty() ? std::string(kNothing) : line.workaround;
}

std::string places_text(const Lines& lines, bool all) {
  TextTable table;
  const std::size_t shown = all ? lines.size() : std::min(kPlacesShown, lines.size());
  for (std::size_t i = 0; i < shown; ++i) {
    const auto& line = lines[i];
    table.add({{wide("place"), key_and_name(line.position, line.name)},
               {left("a failure"), std::string(severity_words(line.severity))},
               {right("chance"), short_chance(line.chance_fails)},
               {wide("covered by"), cover(line)}},
              {line.certain});
  }
  return shown == lines.size()
             ? table.to_text(kWidth)
             : table.to_text(kWidth) +
                   wrap_text(fmt::format("{} more with less to lose; all of them: --all.",
                                         lines.size() - shown));
}

void add_rows(std::vector<Row>& rows, const char* covered, const Lines& lines) {
  for (const auto& line : lines) {
    rows.push_back(joined(exposure_row(line), {{"covered", covered}}));
  }
}

}  // namespace

Row exposure_row(const advice::ExposureLine& line) {
  return {{"position", line.position},
          {"name", line.name},
          {"rig", line.rig},
          {"severity", domain::to_text(line.severity)},
          {"chance_fails", line.chance_fails, "that at least one unit there fails"},
          {"certain", or_null(line.certain),
           "why that is sure: nothing recorded as fitted, dead today ...; `null`: it is not"},
          {"spares_aboard", line.spares, "that fit"},
          {"workaround", or_null(line.workaround)},
          {"part", or_null(line.part)},
          {"class", or_null(line.class_key)},
          {"safety_note", or_null(line.safety_note), "`null`: none, as with the three before"}};
}

Row weak_fields(const advice::WeakAnswer& answer) {
  return {{"window", one(answer.window, window_row), "the stretch or trip asked about"},
          {"uncovered", each(answer.uncovered, exposure_row), "no spare and no workaround"},
          {"worked_round", each(answer.worked_round, exposure_row), "no spare, a workaround"},
          {"spared", each(answer.spared, exposure_row), "a spare aboard"},
          {"notes", answer.notes, "sentences: places that could not be worked out, and why"}};
}

std::string weak_text(const advice::WeakAnswer& answer, bool all, const Cautions& cautions) {
  std::string text = wrap_text(fmt::format(
      "What would stop us on {}, ledger as of {}: chance that at least one unit there fails, worst "
      "first by what a day without it costs.",
      window_text(answer.window), to_text(answer.as_of)));
  text += wrap_text(
      "A place whose failure does not show counts all that may have gone since its last test: test "
      "it first (`shearpin now` lists what is due), and the chance falls to what the days ahead "
      "add.");
  text += section("Neither spare nor workaround", places_text(answer.uncovered, all));
  text += section("No spare, a workaround", places_text(answer.worked_round, all));
  text += section("A spare aboard", places_text(answer.spared, all));
  text += section("Notes", notes_text(answer.notes));
  if (answer.uncovered.empty() && answer.worked_round.empty() && answer.spared.empty()) {
    return text + wrap_text("No place is in the ledger yet: shearpin position add KEY ...");
  }
  return text + "\n" + closing_cautions(cautions) + "\n" +
         wrap_text(fmt::format("Next: `shearpin carry {}` says which spares to add.",
                               window_words(answer.window)));
}

std::string weak_json(const advice::WeakAnswer& answer) {
  return json_text(answer.as_of, weak_fields(answer));
}

std::string weak_csv(const advice::WeakAnswer& answer) {
  std::vector<Row> rows;
  add_rows(rows, "nothing", answer.uncovered);
  add_rows(rows, "workaround", answer.worked_round);
  add_rows(rows, "spare", answer.spared);
  return csv_table("covered,position,name,severity,chance_fails,spares_aboard,workaround,part",
                   rows);
}

std::vector<std::string> safety_keys(const advice::WeakAnswer& answer) {
  std::vector<std::string> keys;
  for (std::size_t i = 0; i < std::min(kPlacesShown, answer.uncovered.size()); ++i) {
    add_key(keys, answer.uncovered[i].safety_note);
  }
  return keys;
}

}  // namespace shearpin::report
