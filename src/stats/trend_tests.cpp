#include "shearpin/stats/trend_tests.hpp"

#include <algorithm>
#include <cmath>

#include "shearpin/base/error.hpp"
#include "stats/normal.hpp"
#include "stats/reversal_law.hpp"

namespace shearpin::stats {
namespace {

TrendChances chances_of(double worsening, double improving) {
  return {worsening, improving, std::min(1.0, 2 * std::min(worsening, improving))};
}

void require_counted(long counted) {
  if (counted == 0) {
    throw InputError(
        "there is no event to judge a trend by: one is needed, two where the watching ended with "
        "an event");
  }
}

std::vector<double> intervals_of(const EventHistory& system) {
  std::vector<double> intervals;
  double before = 0;
  for (const double age : system.ages) {
    intervals.push_back(age - before);
    before = age;
  }
  return intervals;
}

long reversals_in(const std::vector<double>& intervals) {
  long reversals = 0;
  for (std::size_t j = 1; j < intervals.size(); ++j) {
    reversals += std::count_if(intervals.begin(), intervals.begin() + static_cast<long>(j),
                               [&](double earlier) { return earlier < intervals[j]; });
  }
  return reversals;
}

TrendChances normal_chances(const ReversalTest& test) {
  const double from_mean = static_cast<double>(test.reversals) - test.mean;
  return chances_of(normal_tail(-(from_mean + 0.5) / test.deviation),
                    normal_tail((from_mean - 0.5) / test.deviation));
}

}  // namespace

LaplaceTest laplace_test(std::span<const EventHistory> systems) {
  check_histories(systems);
  double sum = 0;
  double variance = 0;
  long counted = 0;
  for (const EventHistory& system : systems) {
    for (const double age : counted_ages(system)) {
      sum += age - system.end / 2;
      variance += system.end * system.end / 12;
      ++counted;
    }
  }
  require_counted(counted);
  const double u = sum / std::sqrt(variance);
  return {u, chances_of(normal_tail(u), normal_tail(-u))};
}

MilitaryHandbookTest military_handbook_test(std::span<const EventHistory> systems) {
  check_histories(systems);
  double chi_square = 0;
  long counted = 0;
  for (const EventHistory& system : systems) {
    for (const double age : counted_ages(system)) {
      chi_square += 2 * std::log(system.end / age);
      ++counted;
    }
  }
  require_counted(counted);
  const auto degrees = static_cast<double>(2 * counted);
  return {chi_square, 2 * counted,
          chances_of(chi_square_cdf(degrees, chi_square), chi_square_tail(degrees, chi_square))};
}

ReversalTest reversal_test(std::span<const EventHistory> systems) {
  check_histories(systems);
  ReversalTest test{0, 0, 0, 0, true, {}};
  std::vector<long> sizes;
  double variance = 0;
  for (const EventHistory& system : systems) {
    const auto n = static_cast<long>(system.ages.size());
    test.reversals += reversals_in(intervals_of(system));
    test.most += n * (n - 1) / 2;
    variance += static_cast<double>((2 * n + 5) * (n - 1) * n) / 72;
    sizes.push_back(n);
  }
  if (test.most == 0) {
    throw InputError(
        "there are no two intervals of one system to compare: a system with two events or more is "
        "needed");
  }
  test.mean = static_cast<double>(test.most) / 2;
  test.deviation = std::sqrt(variance);
  test.exact = test.most <= kMostExactPairs;
  if (test.exact) {
    const ReversalLaw law(sizes);
    test.chances = chances_of(law.at_most(test.reversals), law.at_least(test.reversals));
  } else {
    test.chances = normal_chances(test);
  }
  return test;
}

}  // namespace shearpin::stats
