#include <fmt/format.h>

#include "base/text.hpp"
#include "report/display.hpp"
#include "report/life_sections.hpp"
#include "report/phrases.hpp"
#include "report/reasoning.hpp"
#include "report/text_table.hpp"
#include "report/upkeep_sections.hpp"

namespace shearpin::report {
namespace {

std::string together_text(const advice::RateAnswer& answer) {
  if (answer.parts_together.empty()) {
    return wrap_text("No part of this class is in the ledger.");
  }
  return wrap_text(
      fmt::format("The records of {} taken as those of one part; for one alone: "
                  "shearpin rate {}",
                  fmt::join(answer.parts_together, ", "), answer.parts_together.front()));
}

}  // namespace

std::string rate_text(const advice::RateAnswer& answer, const Detail& detail) {
  std::string text = wrap_text(
      fmt::format("{}{}. How often it fails, as of {}.", answer.of_class ? "Class " : "",
                  key_and_name(answer.of_class ? answer.class_key : answer.part, answer.name),
                  to_text(answer.as_of)));
  if (answer.of_class) {
    text += together_text(answer);
  }
  if (!answer.signs.empty()) {
    text += "\n" + heading("Bad luck or a fault?") + signs_text(answer.signs);
  }
  text += "\n" + constant_rate_text(answer) + classical_text(answer);
  text += belief_text(answer) + borrowed_text(answer) + "\n" + posterior_text(answer) + "\n" +
          learnt_text(answer);
  if (!answer.factors.empty()) {
    text += "\n" + heading("Did a condition hurt?") + factors_text(answer);
  }
  if (const auto upkeep = upkeep_text(answer); !upkeep.empty()) {
    text += "\n" + heading("Before it fails") + upkeep;
  }
  if (!answer.records.empty()) {
    text += "\n" + records_text(answer, detail);
  }
  if (!answer.notes.empty()) {
    text += "\n" + heading("Notes") + notes_text(answer.notes);
  }
  if (answer.of_class) {
    return text;
  }
  return text + "\n" +
         wrap_text(fmt::format("Next: `shearpin explain {}` goes on from here to how many to hold.",
                               answer.part));
}

}  // namespace shearpin::report
