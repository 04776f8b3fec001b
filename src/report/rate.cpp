// How often a part fails: what its class is believed to do, what its record says, what is believed
// now, and what follows for its upkeep.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/quantity.hpp"
#include "base/text.hpp"
#include "report/display.hpp"
#include "report/phrases.hpp"
#include "report/sections.hpp"

namespace shearpin::report {
namespace {

Row lender_row(const advice::Lender& lender) {
  return {{"part", lender.part},
          {"failures", lender.failures},
          {"exposure", lender.exposure},
          {"shift_ln_life", lender.shift, "by how much each moved ln life"}};
}

Row belief_row(const advice::RateAnswer& answer) {
  return {{"life_low", answer.class_prior.scale_low},
          {"life_median", answer.class_prior.scale_median},
          {"life_high", answer.class_prior.scale_high,
           "10, 50, 90 % points of the characteristic life"},
          {"shape_median", answer.prior.shape_median},
          {"shape_log_sd", answer.prior.shape_log_sd},
          {"source", or_null(answer.belief_source), "`null`: not stated"}};
}

Row constant_rate_row(const advice::RateAnswer& answer) {
  return {{"rate", answer.constant_rate.point, "`null`: none failed"},
          {"rate_low", answer.constant_rate.lower},
          {"rate_high", answer.constant_rate.upper},
          {"level", answer.level, "confidence"}};
}

Row borrowed_row(const advice::RateAnswer& answer) {
  return {
      {"life_low", answer.prior.scale_low},
      {"life_median", answer.prior.scale_median},
      {"life_high", answer.prior.scale_high},
      {"shared_share", answer.shared_share, "of the class's spread, believed common to its parts"},
      {"from", each(answer.lenders, lender_row), "the parts heard"}};
}

Row classical_row(const advice::ClassicalFit& fit) {
  return {{"life", fit.life.scale},
          {"life_low", fit.scale.lower},
          {"life_high", fit.scale.upper},
          {"shape", fit.life.shape},
          {"shape_low", fit.shape.lower},
          {"shape_high", fit.shape.upper,
           "each with its 90 % likelihood-ratio limits, `null`: no limit"}};
}

Row factor_row(const advice::FactorLine& line) {
  return {{"condition", line.condition},
          {"class_factor", line.believed},
          {"factor", one(line.factor, quantiles_row)},
          {"chance_hurts", line.chance_hurts, "that it is above 1"},
          {"chance_above_class", line.chance_above_belief},
          {"share_learnt", line.share_learnt},
          {"exposed", line.exposed, "use under it, as run"}};
}

Row replacement_row(const advice::ReplacementLine& line) {
  return {{"age", line.age, "`null`: never pays"},
          {"gain", line.gain, "share of the cost of running to failure"},
          {"chance_wears_out", line.chance_wears_out},
          {"cost_planned", line.cost_planned},
          {"cost_failure", line.cost_failure},
          {"belief_only", line.belief, "fewer than three failures, or wear-out not sure"}};
}

Row test_interval_row(const advice::TestIntervalLine& line) {
  return {{"availability", line.availability, "wanted"},
          {"age", line.age,
           "effective, at which the unit that wants the shortest interval was last known good; 0: "
           "new"},
          {"interval", line.interval, "exposure"},
          {"interval_days", line.days, "`null`: its place stands still"},
          {"class_days", line.class_days, "the custom; `null`: none"}};
}

Row record_row(const advice::RecordLine& line) {
  return {
      {"position", line.position},
      {"unit", line.unit},
      {"kind", line.kind, "`failed`, `alive`, `interval`, `repaired`"},
      {"entry", line.entry},
      {"lower", line.kind == "interval" ? Value(line.lower) : Value(), "`null` unless an interval"},
      {"exit", line.exit},
      {"as_run", line.plain, "exposure without the factors of conditions"},
      {"remark", line.remark}};
}

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

/// Between these chances nothing is called proven.
constexpr double kLikely = 0.9;
constexpr double kUnlikely = 0.1;

std::string times(double factor) { return significant(factor, 2) + " times"; }

std::string interval_text(const stats::LifeInterval& interval, const std::string& unit) {
  const auto end = [&](const std::optional<double>& value) {
    return value ? amount_text(*value, unit) : std::string("no limit");
  };
  return end(interval.lower) + " to " + end(interval.upper);
}

std::string factor_range(const stats::Quantiles& values) {
  return fmt::format("{} to {}", significant(values.low, 2), significant(values.high, 2));
}

std::string verdict(const advice::FactorLine& line) {
  if (line.chance_hurts > kLikely) return "it hurts";
  return line.chance_hurts < kUnlikely ? "it does no harm" : "not proven";
}

std::string replacement_text(const advice::RateAnswer& answer) {
  const auto& line = *answer.replacement;
  const std::string costs =
      fmt::format("a planned swap costs {}, a failure {}, days without counted",
                  cost_text(line.cost_planned), cost_text(line.cost_failure));
  const std::string basis =
      line.belief
          ? fmt::format(
                " So far this is belief more than record: chance that it wears out "
                "at all {}, {}.",
                chance_text(line.chance_wears_out), counted(answer.life.failures, "failure"))
          : fmt::format(" Chance that it wears out {}.", chance_text(line.chance_wears_out));
  if (!line.age) {
    return wrap_text(fmt::format(
        "Replacing before it fails never pays ({}): run it to failure, with a spare. {}", costs,
        trimmed(basis)));
  }
  return wrap_text(
      fmt::format("Replace before it fails at {} of use: that saves {} of what running "
                  "to failure costs ({}).{}",
                  life_text(*line.age, answer.unit), chance_text(line.gain), costs, basis));
}

std::string test_text(const advice::RateAnswer& answer) {
  const auto& line = *answer.test_interval;
  std::string text =
      fmt::format("Fails unseen: to work {} of the time when needed, test it every {}",
                  chance_text(line.availability), amount_text(line.interval, answer.unit));
  if (line.days && answer.unit != "days") {
    text += fmt::format(", about every {} at the usual use", days_text(*line.days));
  }
  if (line.age > 0) {
    text += fmt::format(" (it was last known good at an age of {})",
                        amount_text(line.age, answer.unit));
  }
  if (line.class_days) {
    text += fmt::format("; common practice for the class: every {}",
                        days_text(static_cast<double>(*line.class_days)));
  }
  return wrap_text(text + ".");
}

std::string borrowed_text(const advice::RateAnswer& answer) {
  if (answer.lenders.empty()) {
    return "";
  }
  const double moved = std::log(answer.prior.scale_median / answer.class_prior.scale_median);
  std::string text = fmt::format(
      "Other parts of the class were heard first: with {} the belief about this one is a "
      "characteristic life of {}, eight times in ten {} ({} the class's own).",
      answer.lenders.size() == 1 ? std::string("one of them")
                                 : fmt::format("{} of them", answer.lenders.size()),
      life_text(answer.prior.scale_median, answer.unit),
      range_text(answer.prior.scale_low, answer.prior.scale_high, answer.unit),
      std::abs(moved) < 0.005 ? "as" : fmt::format("{} times", significant(std::exp(moved), 2)));
  text = wrap_text(text);
  auto lenders = answer.lenders;
  std::stable_sort(lenders.begin(), lenders.end(), [](const auto& a, const auto& b) {
    return std::abs(a.shift) > std::abs(b.shift);
  });
  std::vector<std::string> words;
  for (const auto& lender : lenders) {
    words.push_back(fmt::format("{} ({} in {}: {})", lender.part,
                                counted(lender.failures, "failure"),
                                amount_text(lender.exposure, answer.unit),
                                std::abs(lender.shift) < 0.005 ? "unmoved"
                                : lender.shift > 0             ? "longer"
                                                               : "shorter"));
  }
  return text + wrap_text("From " + listed(words, 6) +
                          ". To have each part stand alone: shearpin policy set borrow 0.");
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

std::string classical_text(const advice::RateAnswer& answer) {
  if (!answer.classical) {
    return "";
  }
  const auto& fit = *answer.classical;
  const auto shape_end = [](const std::optional<double>& value) {
    return value ? significant(*value, 2) : std::string("no limit");
  };
  return wrap_text(fmt::format(
      "Maximum likelihood, belief left out: characteristic life {}, {:g} % likelihood-ratio "
      "interval {}; shape {}, {} to {}.",
      amount_text(fit.life.scale, answer.unit), 100 * answer.level,
      interval_text(fit.scale, answer.unit), significant(fit.life.shape, 2),
      shape_end(fit.shape.lower), shape_end(fit.shape.upper)));
}

std::string sign_text(const advice::FaultSign& sign) {
  std::string text = fmt::format("{}: ", key_and_name(sign.position, sign.name));
  if (sign.failures > 0) {
    text += fmt::format("{} of {} within {} days", counted(sign.failures, "failure"),
                        join_words(sign.failed), sign.window_days);
    text += sign.chance < 1
                ? fmt::format("; by bad luck alone the chance is {}", chance_text(sign.chance))
                : "";
  }
  if (sign.laplace && sign.handbook) {
    text += fmt::format("; coming ever faster by luck: {} (Laplace), {} (MIL-HDBK-189C)",
                        chance_text(*sign.laplace), chance_text(*sign.handbook));
  }
  text += ". ";
  text += sign.open_fault.empty()
              ? "Look for a cause before buying more."
              : fmt::format("Put down to fault {}, which is still open: repair that first.",
                            sign.open_fault);
  return text;
}

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

Row quantiles_row(const stats::Quantiles& values) {
  return {{"low", values.low}, {"median", values.median}, {"high", values.high, "10, 50, 90 %"}};
}

Row sign_row(const advice::FaultSign& sign) {
  return {{"position", sign.position},
          {"name", sign.name},
          {"part", sign.part},
          {"failures", sign.failures},
          {"since", sign.first_day},
          {"window_days", sign.window_days, "failures since the first of so many days"},
          {"chance_by_luck", sign.chance, "of as many at any of the places watched"},
          {"laplace_chance", sign.laplace},
          {"handbook_chance", sign.handbook,
           "of times that come ever faster, by luck; `null`: fewer than four failures"},
          {"open_fault", or_null(sign.open_fault), "`null`: none"},
          {"safety_note", or_null(sign.safety_note), "as in `carry`"}};
}

Row rate_fields(const advice::RateAnswer& answer) {
  Row row{{"part", answer.of_class ? Value() : Value(answer.part),
           "as in `carry`; of a class `null`, and `parts` lists the keys taken together"},
          {"name", answer.name},
          {"class", or_null(answer.class_key), "as in `carry`"},
          {"unit", answer.unit, "what lives are counted in: `days`, `km`, `h`, `cycles`, `nights`"},
          {"failures", answer.life.failures},
          {"exposure", answer.life.exposure, "of the own record, the exposure summed over units"},
          {"exposure_as_run", answer.plain_exposure,
           "the same without the factors of dust, frost ...: as the meters or the calendar count "
           "it"},
          // Without exposure there is no rate at all; without failures no point.
          {"constant_rate", one(answer, constant_rate_row, answer.life.exposure > 0),
           "failures per unit of exposure; `null`: nothing watched"},
          {"belief", one(answer, belief_row), "of the class"},
          {"life", one(answer.life.scale, quantiles_row)},
          {"mtbf", one(answer.life.mtbf, quantiles_row)},
          {"shape", one(answer.life.shape, quantiles_row),
           "believed now: the characteristic life, the mean time between failures and the Weibull "
           "shape"},
          {"share_learnt", answer.life.share_learnt, "as in `carry`"},
          {"variance_grew", answer.life.variance_grew,
           "the record made the life less certain than the belief had it"},
          {"belief_p", answer.prior_p,
           "chance, under the belief alone, of a number of failures at least this far off"},
          {"borrowed", one(answer, borrowed_row),
           "the belief after hearing the other parts of the class, before the own record; with "
           "`from` empty it equals `belief`"},
          {"maximum_likelihood", one(answer.classical, classical_row),
           "`null`: fewer than two failures, or no best life"},
          {"condition_factors", each(answer.factors, factor_row),
           "conditions with and without which units were watched"},
          {"replacement", one(answer.replacement, replacement_row),
           "replacing before a failure; `null`: no place calls for it, it fails unseen, or it has "
           "no price"},
          {"test_interval", one(answer.test_interval, test_interval_row),
           "of what fails unseen; `null`: its failures show"},
          {"fault_signs", each(answer.signs, sign_row),
           "failures at one place that are too many to be luck"},
          {"records", each(answer.records, record_row), "of the own record, one a life"},
          {"notes", answer.notes, "sentences"}};
  if (answer.of_class) {
    row.insert(row.begin() + 1, {"parts", answer.parts_together});
  }
  return row;
}

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
  return text + wrap_text("Source of the belief: " + source) + borrowed_text(answer);
}

std::string own_record_text(const advice::RateAnswer& answer) {
  return constant_rate_text(answer) + classical_text(answer);
}

std::string records_text(const advice::RateAnswer& answer, const Detail& detail) {
  if (answer.records.empty()) {
    return wrap_text("No record of this part yet: nothing of it has been watched.");
  }
  TextTable table;
  const std::size_t size = answer.records.size();
  const std::size_t first = detail.all_rows || size <= kRowsShown ? 0 : size - kRowsShown;
  for (std::size_t i = first; i < size; ++i) {
    const advice::RecordLine& line = answer.records[i];
    table.add(
        {{wide("place"), place_text(line.position, line.unit)},
         {left("record"), line.kind},
         {right("watched from"), line.entry > 0 ? amount_text(line.entry, answer.unit) : "new"},
         {right("to"), line.kind == "interval" ? range_text(line.lower, line.exit, answer.unit)
                                               : amount_text(line.exit, answer.unit)},
         {wide("remark"), line.remark}});
  }
  std::string text = table.to_text(kWidth);
  if (first > 0) {
    text += wrap_text(
        fmt::format("The first {} of {} records are left out here; they all count.", first, size));
  }
  return text;
}

std::string posterior_text(const advice::RateAnswer& answer) {
  const stats::PosteriorSummary& life = answer.life;
  TextTable table({left("believed now"), right("median"), right("80 % interval")});
  const auto add = [&](const char* what, const stats::Quantiles& values) {
    table.add_row({what, life_text(values.median, answer.unit),
                   range_text(values.low, values.high, answer.unit)});
  };
  add("characteristic life", life.scale);
  add("mean time between failures", life.mtbf);
  table.add_row({"shape", significant(life.shape.median, 2), factor_range(life.shape)});
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

std::string upkeep_text(const advice::RateAnswer& answer) {
  std::string text;
  if (answer.replacement) {
    text += replacement_text(answer);
  }
  if (answer.test_interval) {
    text += test_text(answer);
  }
  return text;
}

std::string factors_text(const advice::RateAnswer& answer) {
  TextTable table;
  for (const auto& line : answer.factors) {
    table.add({{left("condition"), line.condition},
               {right("class says"), times(line.believed)},
               {right("with the record"), times(line.factor.median)},
               {right("80 % interval"), factor_range(line.factor)},
               {right("chance it hurts"), short_chance(line.chance_hurts)},
               {left("verdict"), verdict(line)}});
  }
  return table.to_text(kWidth);
}

std::string fault_warning(const advice::FaultSign& sign) {
  return "Too many to be luck? " + sign_text(sign);
}

std::string signs_text(const std::vector<advice::FaultSign>& signs) {
  std::string text;
  for (const auto& sign : signs) {
    text += bullet(sign_text(sign));
  }
  return text;
}

std::string rate_text(const advice::RateAnswer& answer, const Detail& detail) {
  std::string text = wrap_text(
      fmt::format("{}{}. How often it fails, as of {}.", answer.of_class ? "Class " : "",
                  key_and_name(answer.of_class ? answer.class_key : answer.part, answer.name),
                  to_text(answer.as_of)));
  if (answer.of_class) {
    text += together_text(answer);
  }
  text += section("Bad luck or a fault?", signs_text(answer.signs));
  text += "\n" + own_record_text(answer) + belief_text(answer);
  text += "\n" + posterior_text(answer) + "\n" + learnt_text(answer);
  text += section("Did a condition hurt?", factors_text(answer));
  text += section("Before it fails", upkeep_text(answer));
  if (!answer.records.empty()) {
    text += "\n" + records_text(answer, detail);
  }
  text += section("Notes", notes_text(answer.notes));
  if (answer.of_class) {
    return text;
  }
  return text + "\n" +
         wrap_text(fmt::format("Next: `shearpin explain {}` goes on from here to how many to hold.",
                               answer.part));
}

std::string rate_json(const advice::RateAnswer& answer) {
  return json_text(answer.as_of, rate_fields(answer));
}

}  // namespace shearpin::report
