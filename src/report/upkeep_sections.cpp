#include "report/upkeep_sections.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/quantity.hpp"
#include "base/text.hpp"
#include "report/display.hpp"
#include "report/life_sections.hpp"
#include "report/phrases.hpp"
#include "report/text_table.hpp"

namespace shearpin::report {
namespace {

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

}  // namespace

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
  if (answer.factors.empty()) {
    return "";
  }
  TextTable table({{"condition", Align::left},
                   {"class says", Align::right},
                   {"with the record", Align::right},
                   {"80 % interval", Align::right},
                   {"chance it hurts", Align::right},
                   {"verdict", Align::left}});
  for (const auto& line : answer.factors) {
    table.add_row(
        {line.condition, times(line.believed), times(line.factor.median),
         fmt::format("{} to {}", significant(line.factor.low, 2), significant(line.factor.high, 2)),
         short_chance(line.chance_hurts), verdict(line)});
  }
  return table.to_text(kWidth);
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

}  // namespace shearpin::report
