#include "shearpin/domain/policy.hpp"
#include "base/refuse.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/quantity.hpp"
#include "base/text.hpp"

namespace shearpin::domain {
namespace {

constexpr Severity kEverySeverity[] = {Severity::safety, Severity::stranded,
                                       Severity::uninhabitable, Severity::degraded,
                                       Severity::nuisance};
constexpr Resupply kEveryResupply[] = {Resupply::anywhere, Resupply::hardware_store,
                                       Resupply::order_online, Resupply::specialist};

// A lead time of 0.05 days is the counter next door, 1000 days an order nobody waits for.
constexpr double kShortestLead = 0.05;
constexpr double kLongestLead = 1000;

/// A range of the policy, by the beginning of its keys.
struct NamedRange {
  std::string key;
  std::function<BelievedRange&(Policy&)> of;
};

std::vector<NamedRange> named_ranges() {
  std::vector<NamedRange> ranges{
      {"vague-life", [](Policy& policy) -> BelievedRange& { return policy.vague_life; }}};
  for (const Resupply resupply : kEveryResupply) {
    const auto at = static_cast<std::size_t>(resupply);
    ranges.push_back({fmt::format("lead-{}", to_text(resupply)),
                      [at](Policy& policy) -> BelievedRange& { return policy.leads[at]; }});
  }
  return ranges;
}

class Rows {
 public:
  std::vector<PolicyRow> made;

  void add(std::string key, std::function<double&(Policy&)> of, double least, double most,
           std::string unit, std::string meaning) {
    made.push_back(
        {std::move(key), std::move(of), least, most, std::move(unit), std::move(meaning)});
  }
  void add(std::string key, double Policy::*number, double least, double most, std::string unit,
           std::string meaning) {
    add(
        std::move(key), [number](Policy& policy) -> double& { return policy.*number; }, least, most,
        std::move(unit), std::move(meaning));
  }
  void add_by_severity(const std::string& key, std::array<double, 5> Policy::*numbers, double most,
                       const std::string& unit, const std::string& meaning) {
    for (const Severity severity : kEverySeverity) {
      const auto at = static_cast<std::size_t>(severity);
      add(
          fmt::format("{}-{}", key, to_text(severity)),
          [numbers, at](Policy& policy) -> double& { return (policy.*numbers)[at]; }, 0, most, unit,
          fmt::format("{}, {}", meaning, to_text(severity)));
    }
  }
  /// `highest`: what its upper end may be at most, where that differs.
  void add_range(const NamedRange& range, double middle_least, double low_least, double most,
                 double highest, const std::string& meaning) {
    const auto add_point = [&](const char* point, double BelievedRange::*number, double least,
                               double largest, const char* words) {
      add(
          fmt::format("{}-{}", range.key, point),
          [of = range.of, number](Policy& policy) -> double& { return of(policy).*number; }, least,
          largest, "days", fmt::format("{}, {}", meaning, words));
    };
    add_point("median", &BelievedRange::median, middle_least, most, "middle");
    add_point("low", &BelievedRange::low, low_least, most, "10 % point");
    add_point("high", &BelievedRange::high, middle_least, highest, "90 % point");
  }
};

std::vector<PolicyRow> make_rows() {
  Rows rows;
  // How sure to be that no shortage happens between two looks at the stock.
  rows.add_by_severity("target", &Policy::targets, 0.99999, "chance", "no shortage wanted");
  // What being without costs, and what carrying costs.
  rows.add_by_severity("cost-day", &Policy::costs_of_day, 1e6, "money", "a day without");
  rows.add("carry-cost", &Policy::carry_cost, 0, 1e4, "money per kg and month",
           "carrying a kilogram");
  rows.add("holding-share", &Policy::holding_share, 0, 10, "share of price per year",
           "money tied up and spares that are never used");
  rows.add("review-days", &Policy::review_days, 0, 366, "days", "how often the stock is looked at");
  // Lives.
  rows.add("shape-log-sd", &Policy::shape_log_sd, 0.01, 2, "ln shape",
           "how unsure the shape of a class is");
  const auto ranges = named_ranges();
  rows.add_range(ranges.front(), 1, 0.1, 1e6, 1e7, "life where a part has no class");
  rows.add("vague-shape", &Policy::vague_shape, 0.2, 10, "shape",
           "shape where a part has no class");
  rows.add("unknown-age-share", &Policy::unknown_age_share, 0, 3, "share of the class's life",
           "age taken for a used unit of unknown age");
  rows.add("repair-took-part", &Policy::repair_took_part, 0.01, 1000, "repaired failures",
           "belief that repairing in place takes a part");
  rows.add("repair-took-none", &Policy::repair_took_none, 0.01, 1000, "repaired failures",
           "belief that repairing in place takes none");
  rows.add("borrow", &Policy::borrow, 0, 1, "1 yes, 0 no",
           "parts of one class learn from each other");
  rows.add("factor-log-sd", &Policy::factor_log_sd, 0.01, 3, "ln times",
           "how unsure a condition's factor is");
  // Bad luck or a fault; what to do before a failure.
  rows.add("fault-window-days", &Policy::fault_window_days, 7, 3660, "days",
           "failures looked at together for a fault");
  rows.add("fault-chance", &Policy::fault_chance, 0.0001, 0.5, "chance",
           "bad luck rarer than this is no luck");
  rows.add("test-availability", &Policy::test_availability, 0.5, 0.9999, "share of time",
           "what fails unseen shall work when needed");
  rows.add("swap-days", &Policy::swap_days, 0, 100, "days without",
           "trouble of a planned replacement");
  rows.add("breakdown-days", &Policy::breakdown_days, 0, 1000, "days without",
           "trouble of a failure");
  // Exposure.
  rows.add("condition-cap", &Policy::condition_cap, 1, 100, "times",
           "most that conditions together may multiply exposure");
  rows.add("mean-rate-days", &Policy::mean_rate_days, 1, 3660, "days",
           "span of readings a meter's mean rate is taken from");
  // Things used up, and things lost.
  rows.add("event-size-mean", &Policy::event_size_mean, 1.01, 100, "pieces",
           "pieces used at a time");
  rows.add("event-size-weight", &Policy::event_size_weight, 0.1, 1000, "events",
           "weight of that belief");
  rows.add("loss-prior-shape", &Policy::loss_prior_shape, 0.01, 100, "losses",
           "losses believed in the years below");
  rows.add("loss-prior-years", &Policy::loss_prior_years, 0.1, 1000, "years",
           "years an item is aboard for those losses");
  // Waiting for a part.
  for (auto range = ranges.begin() + 1; range != ranges.end(); ++range) {
    rows.add_range(*range, kShortestLead, kShortestLead, kLongestLead, kLongestLead, "lead time");
  }
  rows.add("lead-spread-within", &Policy::lead_spread_within, 0.05, 1,
           "share of the range's deviation", "spread of one supplier's lead times");
  rows.add("lead-spread-between", &Policy::lead_spread_between, 0.05, 1,
           "share of the range's deviation", "how unsure a supplier's middle is");
  rows.add("lead-least-days", &Policy::lead_least_days, 0.01, 10, "days",
           "shortest lead time an order may count as");
  rows.add("lead-quantile", &Policy::lead_quantile, 0.5, 0.9999, "chance", "planning lead time");
  rows.add("lead-quantile-critical", &Policy::lead_quantile_critical, 0.5, 0.9999, "chance",
           "planning lead time, safety and stranded");
  return rows.made;
}

}  // namespace

const std::vector<PolicyRow>& policy_rows() {
  static const std::vector<PolicyRow> rows = make_rows();
  return rows;
}

void Policy::set(std::string_view key, std::optional<double> value) {
  const auto& rows = policy_rows();
  const auto row = std::find_if(rows.begin(), rows.end(),
                                [&](const PolicyRow& known) { return known.key == key; });
  if (row == rows.end()) {
    const auto& nearest =
        *std::min_element(rows.begin(), rows.end(), [&](const PolicyRow& a, const PolicyRow& b) {
          return edit_distance(key, a.key) < edit_distance(key, b.key);
        });
    refuse("policy {} is refused: there is no such number; the nearest is {} (now {})", quoted(key),
           nearest.key, plain_number(nearest.in(*this)));
  }
  if (!value) {
    row->of(*this) = row->shipped();
    own_.erase(row->key);
    return;
  }
  if (!std::isfinite(*value) || *value < row->least || *value > row->most) {
    refuse("policy {} {} is refused: it must be from {} to {} ({}), for example {}", key,
           std::isfinite(*value) ? plain_number(*value) : "that", plain_number(row->least),
           plain_number(row->most), row->unit, plain_number(row->shipped()));
  }
  row->of(*this) = *value;
  own_.insert(row->key);
}

void check(const Policy& policy) {
  Policy numbers = policy;
  for (const NamedRange& named : named_ranges()) {
    const BelievedRange& range = named.of(numbers);
    if (!(range.low < range.median && range.median < range.high)) {
      refuse(
          "policy {0}-low {1}, {0}-median {2}, {0}-high {3} is refused: they must rise from low to "
          "high; change the outer one first",
          named.key, plain_number(range.low), plain_number(range.median), plain_number(range.high));
    }
  }
}

}  // namespace shearpin::domain
