#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>

#include "shearpin/base/error.hpp"
#include "shearpin/stats/power_law_process.hpp"
#include "stats/bracket.hpp"
#include "stats/normal.hpp"
#include "stats/record_table.hpp"

namespace shearpin::stats {
namespace {

constexpr double kLargestLogShape = 9;  // as in the Weibull fit

void check_groups(const GroupedEvents& events) {
  const std::vector<double>& edges = events.edges;
  if (events.counts.empty() || edges.size() != events.counts.size() + 1) {
    throw InputError(
        fmt::format("there are {} edges for {} groups: one more than groups is needed, e.g. 0, 20, "
                    "40 for two",
                    edges.size(), events.counts.size()));
  }
  if (edges.front() != 0 || !std::isfinite(edges.back()) ||
      std::adjacent_find(edges.begin(), edges.end(), [](double a, double b) { return !(a < b); }) !=
          edges.end()) {
    throw InputError(
        fmt::format("the edges run from {} to {}: they must start at 0 and ascend, e.g. 0, 20, 40",
                    edges.front(), edges.back()));
  }
  for (const long count : events.counts) {
    if (count < 0) {
      throw InputError(fmt::format("a group holds {} events: it must be 0 or more", count));
    }
  }
}

/// Groups as spans of ages relative to the last edge.
std::vector<AgeSpan> spans_of(const GroupedEvents& events) {
  std::vector<AgeSpan> spans;
  for (std::size_t i = 0; i < events.counts.size(); ++i) {
    const double lower = events.edges[i];
    const double upper = events.edges[i + 1];
    const double ln_ratio =
        lower > 0 ? std::log1p((upper - lower) / lower) : std::numeric_limits<double>::infinity();
    spans.push_back(
        {std::log(upper / events.edges.back()), ln_ratio, static_cast<double>(events.counts[i])});
  }
  return spans;
}

double likeliest_shape(const GroupedEvents& events, long total) {
  if (total == 0 || events.counts.front() == total || events.counts.back() == total) {
    throw InputError(
        fmt::format("{} events, {} of them in the first group and {} in the last: a power law "
                    "needs some outside the first group and some outside the last",
                    total, events.counts.front(), events.counts.back()));
  }
  // With the last edge as unit of age the expected total does not depend on the shape.
  const std::vector<AgeSpan> spans = spans_of(events);
  const auto score = [&](double z) {
    double sum = 0;
    for (const AgeSpan& span : spans) {
      sum += span.count * log_hazard_slopes(span, std::exp(z)).slope;
    }
    return sum;
  };
  const auto z = falling_root(score, 0, -kLargestLogShape, kLargestLogShape);
  if (!z) {
    throw NumericError("no best power law was found for these groups");
  }
  return std::exp(*z);
}

}  // namespace

GroupedPowerLawFit power_law_fit(const GroupedEvents& events) {
  check_groups(events);
  const long total = std::accumulate(events.counts.begin(), events.counts.end(), 0L);
  const double shape = likeliest_shape(events, total);
  const auto n = static_cast<double>(total);
  GroupedPowerLawFit fit{{shape, n * std::pow(events.edges.back(), -shape)}, {}, 0, 0, {}};
  for (const AgeSpan& span : spans_of(events)) {
    const double expected = n * hazard(span, shape);
    fit.expected.push_back(expected);
    fit.chi_square += (span.count - expected) * (span.count - expected) / expected;
  }
  fit.degrees_of_freedom = std::max(0L, static_cast<long>(events.counts.size()) - 2);
  if (fit.degrees_of_freedom > 0) {
    fit.chance = chi_square_tail(static_cast<double>(fit.degrees_of_freedom), fit.chi_square);
  }
  return fit;
}

}  // namespace shearpin::stats
