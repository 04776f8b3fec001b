#include "stats/mcf.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "shearpin/base/error.hpp"

namespace shearpin::stats {
namespace {

void check_systems(std::span<const SystemWatch> systems) {
  for (std::size_t i = 0; i < systems.size(); ++i) {
    const SystemWatch& system = systems[i];
    if (!(system.start >= 0 && system.start < system.end && std::isfinite(system.end))) {
      throw InputError(fmt::format(
          "system {} is watched from age {} to {}: the start must be 0 or more and below the end, "
          "e.g. 0 to 800",
          i + 1, system.start, system.end));
    }
    for (const double age : system.ages) {
      if (!(age > system.start && age <= system.end)) {
        throw InputError(
            fmt::format("system {} has an event at age {}: it must lie above {} and not above {}, "
                        "the ages it was watched over",
                        i + 1, age, system.start, system.end));
      }
    }
  }
}

/// What one event age saw: whether each system was at risk, and its number of events.
struct Moment {
  double age = 0;
  double at_risk = 0;
  double increment = 0;  ///< dM
  std::vector<char> watched;
  std::vector<double> counts;
};

std::vector<double> distinct_ages(std::span<const SystemWatch> systems) {
  std::vector<double> ages;
  for (const SystemWatch& system : systems) {
    ages.insert(ages.end(), system.ages.begin(), system.ages.end());
  }
  std::ranges::sort(ages);
  ages.erase(std::unique(ages.begin(), ages.end()), ages.end());
  return ages;
}

Moment moment_at(std::span<const SystemWatch> systems, double age) {
  Moment moment;
  moment.age = age;
  double events = 0;
  for (const SystemWatch& system : systems) {
    const bool watched = system.start < age && age <= system.end;
    const auto count = static_cast<double>(std::ranges::count(system.ages, age));
    moment.watched.push_back(watched ? 1 : 0);
    moment.counts.push_back(count);
    moment.at_risk += watched ? 1 : 0;
    events += count;
  }
  moment.increment = events / moment.at_risk;
  return moment;
}

/// cov |both| / (r_j r_k): covariance of the two increments; empty when one system alone would have
/// to tell it, 0 when no system was at risk at both.
std::optional<double> increment_covariance(const Moment& earlier, const Moment& later) {
  double both = 0;
  double sum_earlier = 0;
  double sum_later = 0;
  double sum_products = 0;
  for (std::size_t i = 0; i < later.watched.size(); ++i) {
    if (later.watched[i] != 0 && earlier.watched[i] != 0) {
      both += 1;
      sum_earlier += earlier.counts[i];
      sum_later += later.counts[i];
      sum_products += earlier.counts[i] * later.counts[i];
    }
  }
  if (both == 0) {
    return 0;
  }
  if (both == 1) {
    return std::nullopt;
  }
  const double covariance = (sum_products - sum_earlier * sum_later / both) / (both - 1);
  return covariance * both / (earlier.at_risk * later.at_risk);
}

/// What the newest of `moments` adds to Nelson's variance.
std::optional<double> nelson_step(std::span<const Moment> moments) {
  const Moment& newest = moments.back();
  double sum = 0;
  for (const Moment& earlier : moments) {
    const std::optional<double> covariance = increment_covariance(earlier, newest);
    if (!covariance) {
      return std::nullopt;
    }
    sum += &earlier == &newest ? *covariance : 2 * *covariance;
  }
  return sum;
}

double sum_of_squares(const std::vector<double>& values) {
  double sum = 0;
  for (const double value : values) {
    sum += value * value;
  }
  return sum;
}

}  // namespace

std::vector<McfStep> mean_cumulative_function(std::span<const SystemWatch> systems) {
  check_systems(systems);
  std::vector<McfStep> steps;
  std::vector<Moment> moments;
  std::vector<double> influence(systems.size(), 0);  // of each system on the mean
  double mean = 0;
  double poisson = 0;
  std::optional<double> nelson = 0.0;
  for (const double age : distinct_ages(systems)) {
    const Moment& now = moments.emplace_back(moment_at(systems, age));
    mean += now.increment;
    poisson += now.increment / now.at_risk;
    for (std::size_t i = 0; i < influence.size(); ++i) {
      influence[i] += now.watched[i] != 0 ? (now.counts[i] - now.increment) / now.at_risk : 0;
    }
    if (nelson) {
      const std::optional<double> added = nelson_step(moments);
      nelson = added ? std::optional(*nelson + *added) : std::nullopt;
    }
    steps.push_back({age, std::lround(now.at_risk), std::lround(now.increment * now.at_risk), mean,
                     nelson, sum_of_squares(influence), poisson});
  }
  return steps;
}

}  // namespace shearpin::stats
