#include "shearpin/stats/power_law_process.hpp"

#include <algorithm>
#include <cmath>

#include "shearpin/base/error.hpp"
#include "stats/bracket.hpp"
#include "stats/check.hpp"
#include "stats/normal.hpp"

namespace shearpin::stats {
namespace {

constexpr double kLargestLogShape = 9;  // as in the Weibull fit

/// What the likelihood needs of the histories.
struct EventSums {
  double log_ratios = 0;  ///< sum of ln(T/t)
  double log_ages = 0;    ///< sum of ln t over all events, t relative to the longest T
  double longest = 0;     ///< T of the system watched longest
  long events = 0;
  long counted = 0;
  std::vector<double> ends;
};

EventSums sum_events(std::span<const EventHistory> systems) {
  check_histories(systems);
  EventSums sums;
  for (const EventHistory& system : systems) {
    sums.longest = std::max(sums.longest, system.end);
  }
  for (const EventHistory& system : systems) {
    for (const double age : system.ages) {
      sums.log_ratios += std::log(system.end / age);
      sums.log_ages += std::log(age / sums.longest);
    }
    sums.events += static_cast<long>(system.ages.size());
    sums.counted += static_cast<long>(counted_ages(system).size());
    sums.ends.push_back(system.end);
  }
  if (sums.counted == 0) {
    throw InputError(
        "there is no event to fit a power law to: one is needed, two where the watching ended with "
        "an event");
  }
  if (!(sums.log_ratios > 0)) {
    throw InputError(
        "all events lie at the very end of the watching, so no best power law exists: one event "
        "before the end is needed");
  }
  return sums;
}

/// Sum of T^shape, and of T^shape ln T, with T relative to the longest.
struct EndPowers {
  double sum = 0;
  double log_sum = 0;
};

EndPowers end_powers(const EventSums& sums, double shape) {
  EndPowers powers;
  for (const double end : sums.ends) {
    const double log_end = std::log(end / sums.longest);
    powers.sum += std::exp(shape * log_end);
    powers.log_sum += std::exp(shape * log_end) * log_end;
  }
  return powers;
}

PowerLaw law_of(const EventSums& sums, double shape) {
  return {shape, static_cast<double>(sums.events) / end_powers(sums, shape).sum *
                     std::pow(sums.longest, -shape)};
}

double likeliest_shape(const EventSums& sums) {
  const auto n = static_cast<double>(sums.events);
  const double start = n / sums.log_ratios;
  if (std::ranges::all_of(sums.ends, [&](double end) { return end == sums.longest; })) {
    return start;
  }
  const auto score = [&](double z) {
    const double shape = std::exp(z);
    const EndPowers powers = end_powers(sums, shape);
    return n + shape * (sums.log_ages - n * powers.log_sum / powers.sum);
  };
  const auto z = falling_root(score, std::log(start), -kLargestLogShape, kLargestLogShape);
  if (!z) {
    throw InputError(
        "no best power law exists for these ages: events earlier in the life of the system watched "
        "longest are needed");
  }
  return std::exp(*z);
}

double unbiased_shape(const EventSums& sums) {
  return static_cast<double>(sums.counted - 1) / sums.log_ratios;
}

void require_two_counted(const EventSums& sums) {
  if (sums.counted < 2) {
    throw InputError(
        "one event is too few here: two are needed, three where the watching ended with an event");
  }
}

}  // namespace

double expected_events(const PowerLaw& law, double age) {
  require_positive("the shape", law.shape);
  require_positive("the rate", law.rate);
  require_not_negative("the age", age);
  return law.rate * std::pow(age, law.shape);
}

double event_intensity(const PowerLaw& law, double age) {
  require_positive("the age", age);
  return expected_events(law, age) * law.shape / age;
}

PowerLawFit power_law_fit(std::span<const EventHistory> systems) {
  const EventSums sums = sum_events(systems);
  PowerLawFit fit{law_of(sums, likeliest_shape(sums)), std::nullopt, sums.events, sums.counted};
  if (sums.counted > 1) {
    fit.unbiased = law_of(sums, unbiased_shape(sums));
  }
  return fit;
}

ShapeInterval power_law_shape_interval(std::span<const EventHistory> systems, double level) {
  require_fraction("the confidence", level);
  const EventSums sums = sum_events(systems);
  const auto degrees = static_cast<double>(2 * sums.counted);
  const double outside = (1 - level) / 2;
  return {chi_square_quantile(degrees, outside) / (2 * sums.log_ratios),
          chi_square_upper_quantile(degrees, outside) / (2 * sums.log_ratios)};
}

MtbfInterval ending_mtbf_interval(const EventHistory& system, double level) {
  require_fraction("the confidence", level);
  if (system.termination == Termination::failure) {
    throw InputError(
        "this interval holds for a watch that ended at a fixed age, not with its last event");
  }
  const EventSums sums = sum_events({&system, 1});
  require_two_counted(sums);
  const auto n = static_cast<double>(sums.events);
  const double z = normal_two_sided(level);
  const double most = n + z * z / 4 + std::sqrt(n * z * z / 2 + z * z * z * z / 16);
  const double fewest = n - z * std::sqrt(n / 2);
  const double numerator = (n - 1) * system.end / unbiased_shape(sums);
  return {numerator / (most * most),
          fewest > 0 ? std::optional(numerator / (fewest * fewest)) : std::nullopt};
}

CramerVonMises cramer_von_mises(std::span<const EventHistory> systems) {
  const EventSums sums = sum_events(systems);
  require_two_counted(sums);
  std::vector<double> ratios;
  for (const EventHistory& system : systems) {
    for (const double age : counted_ages(system)) {
      ratios.push_back(age / system.end);
    }
  }
  std::ranges::sort(ratios);
  const double shape = unbiased_shape(sums);
  const auto points = static_cast<double>(ratios.size());
  double statistic = 1 / (12 * points);
  for (std::size_t i = 0; i < ratios.size(); ++i) {
    const double middle = (static_cast<double>(i) + 0.5) / points;
    const double gap = std::pow(ratios[i], shape) - middle;
    statistic += gap * gap;
  }
  return {statistic, sums.counted};
}

}  // namespace shearpin::stats
