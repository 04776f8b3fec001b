#include <fmt/format.h>

#include <algorithm>

#include "base/text.hpp"
#include "report/display.hpp"
#include "report/explain_steps.hpp"
#include "report/life_sections.hpp"
#include "report/phrases.hpp"
#include "report/reasoning.hpp"
#include "report/text_table.hpp"
#include "report/upkeep_sections.hpp"

namespace shearpin::report {
namespace {

std::string without_signs_text(const advice::ExplainAnswer& answer) {
  if (!answer.level_without_signs) {
    return "";
  }
  return wrap_text(fmt::format("Level at base with those failures {}, without them {}.",
                               answer.reorder.level, *answer.level_without_signs));
}

}  // namespace

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
    ++step;
    text += "\n" + heading(fmt::format("{}. {}", step, title)) + body;
  };
  add("What is believed of the class", belief_text(rate) + borrowed_text(rate));
  add("The records used",
      records_text(rate, detail) + constant_rate_text(rate) + classical_text(rate));
  add("What is believed of this part now",
      posterior_text(rate) + learnt_text(rate) + factors_text(rate));
  add("Exposure ahead", exposure_step(answer));
  add("Demand", demand_step(answer, detail));
  add("Level by the target", target_step(answer));
  add("Level by worth", worth_step(answer, detail));
  add("Lead time, and the level at base", lead_step(answer, detail));
  add("Stock position and verdict", verdict_step(answer));
  if (const auto upkeep = upkeep_text(rate); !upkeep.empty()) {
    add("Before it fails", upkeep);
  }
  if (!rate.signs.empty()) {
    add("Bad luck or a fault?", signs_text(rate.signs) + without_signs_text(answer));
  }
  if (!rate.notes.empty()) {
    text += "\n" + heading("Notes") + notes_text(rate.notes);
  }
  return text + "\n" + closing_cautions(cautions);
}

}  // namespace shearpin::report
