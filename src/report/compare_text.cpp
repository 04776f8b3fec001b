#include <fmt/format.h>

#include "report/life_sections.hpp"
#include "report/phrases.hpp"
#include "shearpin/base/quantity.hpp"
#include "shearpin/base/text.hpp"
#include "shearpin/report/display.hpp"
#include "shearpin/report/reasoning.hpp"
#include "shearpin/report/text_table.hpp"

namespace shearpin::report {
namespace {

std::string verdict_text(const advice::CompareAnswer& answer) {
  const auto& lives = answer.lives;
  const bool second_leads = lives.chance_first_longer < 0.5;
  const auto& leader = second_leads ? answer.second : answer.first;
  const double chance = second_leads ? 1 - lives.chance_first_longer : lives.chance_first_longer;
  const std::string name = key_and_name(leader.part, leader.name);
  if (lives.verdict == stats::LongerLife::not_proven) {
    return wrap_text(fmt::format(
        "Not proven. {} looks the longer lived, with a chance of {}; nine in ten either way would "
        "be called proven.",
        name, chance_text(chance)));
  }
  return wrap_text(fmt::format("{} lasts longer, with a chance of {}.", name, chance_text(chance)));
}

}  // namespace

std::string compare_text(const advice::CompareAnswer& answer) {
  const auto& a = answer.first;
  const auto& b = answer.second;
  std::string text = wrap_text(fmt::format("{} against {}, as of {}.", key_and_name(a.part, a.name),
                                           key_and_name(b.part, b.name), to_text(answer.as_of)));
  TextTable table({{"", Align::left}, {a.part, Align::right}, {b.part, Align::right}});
  const auto row = [&](const char* what, const auto& of) { table.add_row({what, of(a), of(b)}); };
  row("failures", [](const auto& rate) { return std::to_string(rate.life.failures); });
  row("watched", [](const auto& rate) { return amount_text(rate.life.exposure, rate.unit); });
  row("characteristic life",
      [](const auto& rate) { return life_text(rate.life.scale.median, rate.unit); });
  row("eight times in ten", [](const auto& rate) {
    return range_text(rate.life.scale.low, rate.life.scale.high, rate.unit);
  });
  row("shape", [](const auto& rate) { return significant(rate.life.shape.median, 2); });
  text += "\n" + table.to_text(kWidth) + "\n" + verdict_text(answer);
  text += wrap_text(
      fmt::format("Median life of {} over that of {}: {}, eight times in ten {} to {}.", a.part,
                  b.part, significant(answer.lives.ratio.median, 2),
                  significant(answer.lives.ratio.low, 2), significant(answer.lives.ratio.high, 2)));
  if (!answer.notes.empty()) {
    text += "\n" + heading("Notes") + notes_text(answer.notes);
  }
  return text + "\n" +
         wrap_text(fmt::format("Next: `shearpin rate {}` and `shearpin rate {}` show each record.",
                               a.part, b.part));
}

}  // namespace shearpin::report
