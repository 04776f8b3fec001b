#include <fmt/format.h>

#include "report/life_sections.hpp"
#include "report/phrases.hpp"
#include "shearpin/base/text.hpp"
#include "shearpin/report/display.hpp"
#include "shearpin/report/reasoning.hpp"
#include "shearpin/report/text_table.hpp"

namespace shearpin::report {

std::string rate_text(const advice::RateAnswer& answer, const Detail& detail) {
  std::string text =
      wrap_text(fmt::format("{}. How often it fails, as of {}.",
                            key_and_name(answer.part, answer.name), to_text(answer.as_of)));
  text += "\n" + constant_rate_text(answer);
  text += belief_text(answer) + "\n" + posterior_text(answer) + "\n" + learnt_text(answer);
  if (!answer.records.empty()) {
    text += "\n" + records_text(answer, detail);
  }
  if (!answer.notes.empty()) {
    text += "\n" + heading("Notes") + notes_text(answer.notes);
  }
  return text + "\n" +
         wrap_text(fmt::format("Next: `shearpin explain {}` goes on from here to how many to hold.",
                               answer.part));
}

}  // namespace shearpin::report
