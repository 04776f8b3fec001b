#include "stats/trend_tests.hpp"

#include <algorithm>
#include <cmath>

#include "shearpin/base/error.hpp"
#include "stats/normal.hpp"

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

}  // namespace shearpin::stats
