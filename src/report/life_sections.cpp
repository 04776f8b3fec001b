#include "report/life_sections.hpp"

#include <fmt/format.h>

#include <cmath>

#include "base/quantity.hpp"
#include "base/text.hpp"
#include "report/display.hpp"
#include "report/phrases.hpp"
#include "report/text_table.hpp"

namespace shearpin::report {
namespace {

/// Below this the belief alone would seldom have given such a record.
constexpr double kSurprising = 0.05;

/// `2 days`, `1 cycle`: one of the unit, for "per ...".
std::string one_of(std::string_view unit) {
  if (unit.size() > 1 && unit.back() == 's') {
    unit.remove_suffix(1);
  }
  return std::string(unit);
}

std::string percent(double level) { return fmt::format("{:g} %", 100 * level); }

std::string entry_text(const advice::RecordLine& line, const std::string& unit) {
  return line.entry > 0 ? amount_text(line.entry, unit) : "new";
}

std::string end_text(const advice::RecordLine& line, const std::string& unit) {
  return line.kind == "interval" ? range_text(line.lower, line.exit, unit)
                                 : amount_text(line.exit, unit);
}

}  // namespace

std::string range_text(double low, double high, const std::string& unit) {
  return fmt::format("{} to {}", amount_text(low, ""), amount_text(high, unit));
}

std::string belief_text(const advice::RateAnswer& answer) {
  const stats::WeibullPrior& prior = answer.class_prior;
  std::string text = wrap_text(fmt::format(
      "Class belief ({}): characteristic life {}, eight times in ten {}. Shape {}, give or take: "
      "below 1 early faults, 1 no ageing, above 1 wears out.",
      answer.class_key.empty() ? "no class, so a vague one" : answer.class_key,
      life_text(prior.scale_median, answer.unit),
      range_text(prior.scale_low, prior.scale_high, answer.unit),
      significant(prior.shape_median, 2)));
  // The shipped classes begin the note with the word already.
  constexpr std::string_view kSource = "source: ";
  std::string source = answer.belief_source.empty() ? "not stated." : answer.belief_source;
  if (source.rfind(kSource, 0) == 0) {
    source.erase(0, kSource.size());
  }
  return text + wrap_text("Source of the belief: " + source);
}

std::string records_text(const advice::RateAnswer& answer, const Detail& detail) {
  if (answer.records.empty()) {
    return wrap_text("No record of this part yet: nothing of it has been watched.");
  }
  TextTable table({{"place", Align::left, true},
                   {"record", Align::left},
                   {"watched from", Align::right},
                   {"to", Align::right},
                   {"remark", Align::left, true}});
  const std::size_t size = answer.records.size();
  const std::size_t first = detail.all_rows || size <= kRowsShown ? 0 : size - kRowsShown;
  for (std::size_t i = first; i < size; ++i) {
    const advice::RecordLine& line = answer.records[i];
    table.add_row({place_text(line.position, line.unit), line.kind, entry_text(line, answer.unit),
                   end_text(line, answer.unit), line.remark});
  }
  std::string text = table.to_text(kWidth);
  if (first > 0) {
    text += wrap_text(
        fmt::format("The first {} of {} records are left out here; they all count.", first, size));
  }
  return text;
}

std::string constant_rate_text(const advice::RateAnswer& answer) {
  const stats::PosteriorSummary& life = answer.life;
  if (!(life.exposure > 0)) {
    return wrap_text("Nothing has been watched yet, so the record gives no rate of its own.");
  }
  const std::string failures = counted(life.failures, "failure");
  const std::string watched = life_text(life.exposure, answer.unit);
  const double upper = answer.constant_rate.upper;
  if (!answer.constant_rate.point) {
    return wrap_text(fmt::format(
        "Record alone: no failure in {} watched. At a constant rate, {} sure: at most one "
        "failure in {} (chi-square limit, {} per {}).",
        watched, percent(answer.level), amount_text(1 / upper, answer.unit), significant(upper, 3),
        one_of(answer.unit)));
  }
  const double point = *answer.constant_rate.point;
  // Conditions that wear faster make the exposure that counts more than what was run.
  const bool bent = std::fabs(life.exposure - answer.plain_exposure) > 0.005 * life.exposure;
  const std::string as_run =
      bent ? fmt::format(" As run, without the conditions that count more: {} in {}, one in {}.",
                         failures, life_text(answer.plain_exposure, answer.unit),
                         amount_text(answer.plain_exposure / life.failures, answer.unit))
           : "";
  const double lower = answer.constant_rate.lower;
  return wrap_text(fmt::format(
      "Record alone: {} in {} watched, one in {}; r/T = {} per {}. Constant rate, {} chi-square "
      "interval {} to {} per {}, so one in {}.{}",
      failures, watched, amount_text(1 / point, answer.unit), significant(point, 3),
      one_of(answer.unit), percent(answer.level), significant(lower, 3), significant(upper, 3),
      one_of(answer.unit), range_text(1 / upper, 1 / lower, answer.unit), as_run));
}

std::string posterior_text(const advice::RateAnswer& answer) {
  const stats::PosteriorSummary& life = answer.life;
  TextTable table(
      {{"believed now", Align::left}, {"median", Align::right}, {"80 % interval", Align::right}});
  table.add_row({"characteristic life", life_text(life.scale.median, answer.unit),
                 range_text(life.scale.low, life.scale.high, answer.unit)});
  table.add_row({"mean time between failures", life_text(life.mtbf.median, answer.unit),
                 range_text(life.mtbf.low, life.mtbf.high, answer.unit)});
  table.add_row(
      {"shape", significant(life.shape.median, 2),
       fmt::format("{} to {}", significant(life.shape.low, 2), significant(life.shape.high, 2))});
  return table.to_text(kWidth);
}

std::string learnt_text(const advice::RateAnswer& answer) {
  std::string text = wrap_text(
      fmt::format("Learnt from the own record: {} of what there is to know of the life; the rest "
                  "is class belief.",
                  chance_text(answer.life.share_learnt)));
  if (answer.life.variance_grew) {
    text += wrap_text(
        "The record made the life less certain than the belief had it: the two contradict each "
        "other.");
  }
  if (answer.prior_p < kSurprising) {
    text += wrap_text(fmt::format(
        "Under the belief alone a number of failures this far off has a chance of {}: class "
        "belief and record do not fit together. Check the class, the meter and the dates, or "
        "look for a cause upstream.",
        chance_text(answer.prior_p)));
  }
  return text;
}

}  // namespace shearpin::report
