#include "stats/kaplan_meier.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "shearpin/base/error.hpp"
#include "stats/check.hpp"
#include "stats/normal.hpp"
#include "stats/weibull_likelihood.hpp"

namespace shearpin::stats {
namespace {

void require_exact_ages(std::span<const LifeRecord> records) {
  check_records(records);
  for (std::size_t i = 0; i < records.size(); ++i) {
    if (records[i].kind != LifeKind::failed && records[i].kind != LifeKind::alive) {
      throw InputError(fmt::format(
          "life record {} (to age {}) is neither failed at a known age nor alive: this estimate "
          "takes no others, e.g. failed at 120",
          i + 1, records[i].exit));
    }
  }
}

/// Sorted ages of the records that `pick` takes.
template <class Age, class Pick>
std::vector<double> sorted_ages(std::span<const LifeRecord> records, Age age, Pick pick) {
  std::vector<double> ages;
  for (const LifeRecord& record : records) {
    if (pick(record)) {
      ages.push_back(age(record));
    }
  }
  std::ranges::sort(ages);
  return ages;
}

long count_below(const std::vector<double>& sorted, double age) {
  return std::ranges::lower_bound(sorted, age) - sorted.begin();
}

}  // namespace

std::vector<KaplanMeierStep> kaplan_meier(std::span<const LifeRecord> records) {
  require_exact_ages(records);
  const auto watched = [](const LifeRecord& record) { return record.exit > record.entry; };
  const auto failed = [](const LifeRecord& record) { return record.kind == LifeKind::failed; };
  const auto entry_of = [](const LifeRecord& record) { return record.entry; };
  const auto exit_of = [](const LifeRecord& record) { return record.exit; };
  const std::vector<double> entries = sorted_ages(records, entry_of, watched);
  const std::vector<double> exits = sorted_ages(records, exit_of, watched);
  const std::vector<double> deaths = sorted_ages(records, exit_of, failed);
  std::vector<KaplanMeierStep> steps;
  double survival = 1;
  double sum = 0;
  for (auto at = deaths.begin(); at != deaths.end();) {
    const auto next = std::upper_bound(at, deaths.end(), *at);
    const long failures = next - at;
    const long at_risk = count_below(entries, *at) - count_below(exits, *at);
    const auto d = static_cast<double>(failures);
    const auto n = static_cast<double>(at_risk);
    survival *= (n - d) / n;
    sum += d / (n * (n - d));  // infinite when all at risk fail, and then never used
    steps.push_back({*at, at_risk, failures, survival,
                     survival > 0 ? std::optional(survival * std::sqrt(sum)) : std::nullopt});
    at = next;
  }
  return steps;
}

std::optional<SurvivalInterval> survival_interval(const KaplanMeierStep& step, double level,
                                                  SurvivalScale scale) {
  require_fraction("the confidence", level);
  if (!step.standard_error) {
    return std::nullopt;
  }
  const double survival = step.survival;
  const double reach = normal_two_sided(level) * *step.standard_error;
  switch (scale) {
    case SurvivalScale::plain:
      return SurvivalInterval{std::max(0.0, survival - reach), std::min(1.0, survival + reach)};
    case SurvivalScale::log:
      return SurvivalInterval{survival * std::exp(-reach / survival),
                              std::min(1.0, survival * std::exp(reach / survival))};
    case SurvivalScale::log_log: {
      // S to the power exp(+-reach / (S ln S)): the larger power gives the lower limit.
      const double power = std::exp(-reach / (survival * std::log(survival)));
      return SurvivalInterval{std::pow(survival, power), std::pow(survival, 1 / power)};
    }
  }
  return std::nullopt;
}

}  // namespace shearpin::stats
