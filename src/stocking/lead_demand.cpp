#include "shearpin/stocking/lead_demand.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>

#include "shearpin/base/error.hpp"

namespace shearpin::stocking {
namespace {

constexpr double kDeviations = 6;
constexpr double kTolerance = 1e-7;
constexpr double kLeastWeight = 1e-10;
constexpr int kFirstPanels = 9;
// Weight of a point, against the largest so far, below which it is left out: the long stretches at
// the far end are the dearest to work out, and no probability moves by more than 1e-8.
constexpr double kLightest = 1e-9;
constexpr int kMostPanels = 1 << 12;

struct Range {
  double low;
  double high;
};

Range mean_range(const stats::LeadTimePosterior& lead) {
  Range range{std::numeric_limits<double>::infinity(), -std::numeric_limits<double>::infinity()};
  double total = 0;
  for (const stats::LeadTimeNode& node : lead.nodes) {
    if (!(node.weight >= 0) || !std::isfinite(node.log_mean)) {
      throw InputError(fmt::format("a lead-time node of ln mean {} and weight {} is not usable",
                                   node.log_mean, node.weight));
    }
    total += node.weight;
    if (node.weight < kLeastWeight) continue;
    range.low = std::min(range.low, node.log_mean);
    range.high = std::max(range.high, node.log_mean);
  }
  if (!(std::fabs(total - 1) < 1e-6) || !(lead.spread >= 0) || !std::isfinite(lead.spread)) {
    throw InputError(fmt::format(
        "lead-time weights add up to {} with spread {}: they must add up to 1, spread >= 0", total,
        lead.spread));
  }
  return range;
}

void check_review(double review_days) {
  if (!(review_days >= 0) || !std::isfinite(review_days)) {
    throw InputError(
        fmt::format("a review period of {} days is not a number >= 0, such as 30", review_days));
  }
}

// Largest change of any P(D <= n).
double largest_change(const Pmf& a, const Pmf& b) {
  double difference = 0;
  double largest = 0;
  for (std::size_t n = 0; n < std::max(a.size(), b.size()); ++n) {
    difference += (n < a.size() ? a[n] : 0) - (n < b.size() ? b[n] : 0);
    largest = std::max(largest, std::fabs(difference));
  }
  return largest;
}

Pmf divided(Pmf sum, double mass) {
  for (double& p : sum) p /= mass;
  return sum;
}

// Sum of density x demand over the points low + step x (first, first + stride, ...), and the mass
// of the density over them. Dividing by the mass makes the rule exact for a certain demand.
struct WeightedSum {
  Pmf demand;
  double mass = 0;
  double largest = 0;

  void add(const DemandByDays& of, const std::function<double(double)>& density,
           std::span<const double> logs, double review_days) {
    std::vector<double> days;
    std::vector<double> weights;
    for (const double log_days : logs) {
      const double weight = density(log_days);
      mass += weight;
      largest = std::max(largest, weight);
      if (weight <= kLightest * largest) continue;
      days.push_back(review_days + std::exp(log_days));
      weights.push_back(weight);
    }
    const std::vector<Pmf> pmfs = of(days);
    for (std::size_t i = 0; i < pmfs.size(); ++i) add_weighted(demand, pmfs[i], weights[i]);
  }
};

// Lead times without spread: a plain mixture.
Pmf fixed_leads(const DemandByDays& demand, const stats::LeadTimePosterior& lead,
                double review_days) {
  std::vector<double> days;
  for (const stats::LeadTimeNode& node : lead.nodes) {
    days.push_back(review_days + std::exp(node.log_mean));
  }
  const std::vector<Pmf> pmfs = demand(days);
  Pmf mixture;
  for (std::size_t i = 0; i < pmfs.size(); ++i) {
    add_weighted(mixture, pmfs[i], lead.nodes[i].weight);
  }
  trim(mixture);
  return mixture;
}

}  // namespace

double longest_days(const stats::LeadTimePosterior& lead, double review_days) {
  check_review(review_days);
  return review_days + std::exp(mean_range(lead).high + kDeviations * lead.spread);
}

Pmf demand_over_log_time(const DemandByDays& demand, const std::function<double(double)>& density,
                         double low, double high, double review_days) {
  check_review(review_days);
  if (!(low < high) || !std::isfinite(high - low)) {
    throw InputError(fmt::format("ln days from {} to {} is not a range", low, high));
  }
  WeightedSum sum;
  const auto point = [low, high](int i, int panels) {
    return i == panels ? high : low + (high - low) * i / panels;
  };
  std::vector<double> logs;
  for (int i = 0; i <= kFirstPanels; ++i) logs.push_back(point(i, kFirstPanels));
  sum.add(demand, density, logs, review_days);
  Pmf before = divided(sum.demand, sum.mass > 0 ? sum.mass : 1);
  for (int panels = 2 * kFirstPanels; panels <= kMostPanels; panels *= 2) {
    logs.clear();
    for (int i = 1; i < panels; i += 2) logs.push_back(point(i, panels));
    sum.add(demand, density, logs, review_days);
    if (!(sum.mass > 0)) continue;
    Pmf now = divided(sum.demand, sum.mass);
    // Halving the step raises the error of this rule to a power on bell-shaped integrands: to the
    // fourth for a normal density; half of that is claimed.
    const double change = largest_change(before, now);
    if (change < kTolerance || (change < 1e-3 && change * change < kTolerance / 100)) {
      trim(now);
      return now;
    }
    before = std::move(now);
  }
  throw NumericError(fmt::format("demand in a lead time did not settle to {} with {} points",
                                 kTolerance, kMostPanels));
}

Pmf demand_over_lead(const DemandByDays& demand, const stats::LeadTimePosterior& lead,
                     double review_days) {
  check_review(review_days);
  const Range means = mean_range(lead);
  if (lead.spread == 0) return fixed_leads(demand, lead, review_days);
  const auto density = [&lead](double log_days) {
    double sum = 0;
    for (const stats::LeadTimeNode& node : lead.nodes) {
      if (node.weight < kLeastWeight) continue;
      const double deviations = (log_days - node.log_mean) / lead.spread;
      sum += node.weight * std::exp(-deviations * deviations / 2);
    }
    return sum;
  };
  return demand_over_log_time(demand, density, means.low - kDeviations * lead.spread,
                              means.high + kDeviations * lead.spread, review_days);
}

}  // namespace shearpin::stocking
