// Which of two parts lasts longer.

#include <fmt/format.h>

#include <cmath>
#include <stdexcept>

#include "base/quantity.hpp"
#include "base/text.hpp"
#include "report/display.hpp"
#include "report/phrases.hpp"
#include "report/sections.hpp"

namespace shearpin::report {
namespace {

Row common_belief_row(const advice::CompareAnswer& answer) {
  return {{"life_low", answer.prior.scale_low},
          {"life_median", answer.prior.scale_median},
          {"life_high", answer.prior.scale_high},
          {"shape_median", answer.prior.shape_median},
          {"shape_log_sd", answer.prior.shape_log_sd},
          {"one_class", answer.one_class, "`false`: half of either class's"}};
}

Row compared_row(const stats::PosteriorSummary& life) {
  return {{"failures", life.failures},
          {"exposure", life.exposure},
          {"life", one(life.scale, quantiles_row)},
          {"mtbf", one(life.mtbf, quantiles_row)},
          {"shape", one(life.shape, quantiles_row)}};
}

std::string_view verdict_word(stats::LongerLife verdict) {
  switch (verdict) {
    case stats::LongerLife::first:
      return "first";
    case stats::LongerLife::second:
      return "second";
    case stats::LongerLife::not_proven:
      return "not_proven";
  }
  throw std::logic_error("a verdict outside its list");
}

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
  const double wrong = 1 - chance;
  const std::string odds = wrong > 0.001
                               ? fmt::format(": of such verdicts about one in {} is wrong",
                                             grouped(std::lround(1 / wrong)))
                               : "";
  return wrap_text(
      fmt::format("{} lasts longer, with a chance of {}{}.", name, chance_text(chance), odds));
}

std::string belief_words(const advice::CompareAnswer& answer) {
  const std::string& unit = answer.first.unit;
  return wrap_text(fmt::format(
      "Both are judged from one belief, {}: characteristic life {}, eight times in ten {}, shape "
      "{}. Neither has heard of the other, so only the records differ.",
      answer.one_class ? "that of their class" : "half of either class's",
      life_text(answer.prior.scale_median, unit),
      range_text(answer.prior.scale_low, answer.prior.scale_high, unit),
      significant(answer.prior.shape_median, 2)));
}

}  // namespace

Row compare_fields(const advice::CompareAnswer& answer) {
  return {{"chance_first_longer", answer.lives.chance_first_longer,
           "that the median life of the first part is the longer one"},
          {"median_life_ratio", one(answer.lives.ratio, quantiles_row), "first over second"},
          {"verdict", verdict_word(answer.lives.verdict),
           "`first`, `second`, or `not_proven` (the chance is between 0.1 and 0.9)"},
          {"belief", one(answer, common_belief_row), "the one belief both were judged from"},
          {"first_life", one(answer.first_life, compared_row)},
          {"second_life", one(answer.second_life, compared_row),
           "from that belief and the part's own record"},
          {"first", one(answer.first, rate_fields)},
          {"second", one(answer.second, rate_fields),
           "everything `rate` says of each, from its own class's belief"},
          {"notes", answer.notes, "sentences"}};
}

std::string compare_text(const advice::CompareAnswer& answer) {
  const auto& a = answer.first;
  const auto& b = answer.second;
  std::string text = wrap_text(fmt::format("{} against {}, as of {}.", key_and_name(a.part, a.name),
                                           key_and_name(b.part, b.name), to_text(answer.as_of)));
  TextTable table({left(""), right(a.part), right(b.part)});
  const auto row = [&](const char* what, const auto& of) {
    table.add_row({what, of(answer.first_life), of(answer.second_life)});
  };
  const std::string& unit = a.unit;
  row("failures", [](const auto& life) { return std::to_string(life.failures); });
  row("watched", [&](const auto& life) { return amount_text(life.exposure, unit); });
  row("characteristic life", [&](const auto& life) { return life_text(life.scale.median, unit); });
  row("eight times in ten",
      [&](const auto& life) { return range_text(life.scale.low, life.scale.high, unit); });
  row("shape", [](const auto& life) { return significant(life.shape.median, 2); });
  text += "\n" + table.to_text(kWidth) + "\n" + verdict_text(answer);
  text += wrap_text(
      fmt::format("Median life of {} over that of {}: {}, eight times in ten {} to {}.", a.part,
                  b.part, significant(answer.lives.ratio.median, 2),
                  significant(answer.lives.ratio.low, 2), significant(answer.lives.ratio.high, 2)));
  text += belief_words(answer);
  text += section("Notes", notes_text(answer.notes));
  return text + "\n" +
         wrap_text(fmt::format("Next: `shearpin rate {}` and `shearpin rate {}` show each record.",
                               a.part, b.part));
}

std::string compare_json(const advice::CompareAnswer& answer) {
  return json_text(answer.as_of, compare_fields(answer));
}

}  // namespace shearpin::report
