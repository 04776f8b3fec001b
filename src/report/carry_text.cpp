#include <fmt/format.h>

#include <algorithm>

#include "base/quantity.hpp"
#include "base/text.hpp"
#include "report/carry.hpp"
#include "report/carry_sections.hpp"
#include "report/display.hpp"
#include "report/kit_text.hpp"
#include "report/phrases.hpp"
#include "report/tables.hpp"
#include "report/text_table.hpp"

namespace shearpin::report {
namespace {

std::string section(std::string_view title, const TextTable& table) {
  return table.empty() ? "" : "\n" + heading(title) + table.to_text(kWidth);
}

/// The command that follows from the answer.
std::string next_step(const advice::CarryAnswer& answer) {
  const auto lacking =
      std::find_if(answer.lines.begin(), answer.lines.end(),
                   [](const advice::CarryLine& line) { return line.short_by() > 0; });
  if (lacking == answer.lines.end()) {
    return fmt::format("Next: `shearpin report {}` prints the list to pack by.",
                       window_words(answer.window));
  }
  return fmt::format(
      "Next: `shearpin reorder {}` says what to order and by when.\n"
      "Reasons: `shearpin explain {} {}`.",
      window_words(answer.window), lacking->part, window_words(answer.window));
}

}  // namespace

std::vector<std::string> carry_totals(const advice::CarryAnswer& answer) {
  std::vector<std::string> totals;
  totals.push_back(
      fmt::format("Chance of no shortage {}: {} as it stands, {} with "
                  "what is advised aboard.",
                  answer.named ? "of what was named" : "in the whole kit",
                  chance_text(answer.readiness_aboard), chance_text(answer.readiness_carry)));
  totals.push_back(fmt::format("{} aboard now: {}, {}. With what is advised: {}, {}.",
                               answer.named ? "Of what was named" : "Spares",
                               mass_text(answer.mass_aboard_g),
                               volume_text(answer.volume_aboard_ml), mass_text(answer.mass_carry_g),
                               volume_text(answer.volume_carry_ml)));
  if (!answer.unweighed.empty()) {
    totals.push_back(fmt::format("Not in the mass or the room, because nobody knows theirs: {}.",
                                 listed(answer.unweighed)));
  }
  const bool lacking = std::any_of(answer.lines.begin(), answer.lines.end(),
                                   [](const auto& line) { return line.short_by() > 0; });
  if (lacking) {
    totals.push_back(fmt::format("What is short costs {} where prices are known.",
                                 money_text(answer.cost_to_buy)));
    if (!answer.unpriced.empty()) {
      totals.push_back(fmt::format("Without a known price: {}.", listed(answer.unpriced)));
    }
  }
  return totals;
}

std::string carry_text(const advice::CarryAnswer& answer, const Cautions& cautions) {
  std::string text = wrap_text(fmt::format("What to carry for {}, {}. Ledger as of {}.",
                                           window_text(answer.window),
                                           resupply_words(answer.window), to_text(answer.as_of)));
  if (answer.lines.empty()) {
    text += wrap_text(
        "No part is called for by a place, used up or in stock, so there is nothing to advise.");
    text += notes_text(answer.notes);
    return text + wrap_text(
                      "Next: `shearpin part add` and `shearpin position add`, or `shearpin import "
                      "FILE.csv`.");
  }
  text += section(
      answer.window.today ? "Short: buy where it can be had" : "Short: buy or load before leaving",
      lacking_table(answer));
  text += section("Enough aboard", enough_table(answer));
  text +=
      section("Not carried: too unlikely, or dearer than going without", not_wanted_table(answer));
  text += "\n" + heading("In all");
  for (const std::string& total : carry_totals(answer)) {
    text += wrap_text(total);
  }
  if (answer.kit) {
    text += "\n" + kit_text(*answer.kit);
  }
  if (const auto frontier = frontier_text(answer.frontier); !frontier.empty()) {
    text += "\n" + frontier;
  }
  if (answer.simulated) {
    text += "\n" + simulation_text(*answer.simulated);
  }
  if (!answer.notes.empty()) {
    text += "\n" + heading("Notes") + notes_text(answer.notes);
  }
  return text + "\n" + closing_cautions(cautions) + "\n" + wrap_text(next_step(answer));
}

}  // namespace shearpin::report
