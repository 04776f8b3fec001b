#include "shearpin/domain/policy.hpp"

#include <fmt/format.h>

#include <cmath>
#include <stdexcept>

#include "base/quantity.hpp"
#include "base/text.hpp"
#include "shearpin/base/error.hpp"

namespace shearpin::domain {
namespace {

constexpr std::string_view kBelief = "belief";

// A lead time of 0.05 days is the counter next door, 1000 days an order nobody waits for.
constexpr double kShortestLead = 0.05;
constexpr double kLongestLead = 1000;

constexpr PolicyRow kRows[] = {
    // How sure to be that no shortage happens between two looks at the stock.
    {"target-safety", 0.995, 0, 0.99999, "chance", "no shortage wanted, safety", kBelief},
    {"target-stranded", 0.99, 0, 0.99999, "chance", "no shortage wanted, stranded", kBelief},
    {"target-uninhabitable", 0.97, 0, 0.99999, "chance", "no shortage wanted, uninhabitable",
     kBelief},
    {"target-degraded", 0.90, 0, 0.99999, "chance", "no shortage wanted, degraded", kBelief},
    {"target-nuisance", 0.70, 0, 0.99999, "chance", "no shortage wanted, nuisance", kBelief},
    // What being without costs, and what carrying costs.
    {"cost-day-safety", 200, 0, 1e6, "money", "a day without, safety", kBelief},
    {"cost-day-stranded", 150, 0, 1e6, "money", "a day without, stranded", kBelief},
    {"cost-day-uninhabitable", 60, 0, 1e6, "money", "a day without, uninhabitable", kBelief},
    {"cost-day-degraded", 10, 0, 1e6, "money", "a day without, degraded", kBelief},
    {"cost-day-nuisance", 1, 0, 1e6, "money", "a day without, nuisance", kBelief},
    {"carry-cost", 2.00, 0, 1e4, "money per kg and month", "carrying a kilogram", kBelief},
    {"holding-share", 0.60, 0, 10, "share of price per year",
     "money tied up and spares that are never used", kBelief},
    {"review-days", 30, 0, 366, "days", "how often the stock is looked at", kBelief},
    // Lives.
    {"shape-log-sd", 0.35, 0.01, 2, "ln shape", "how unsure the shape of a class is", kBelief},
    {"vague-life-median", 1095.75, 1, 1e6, "days", "life where a part has no class, middle",
     kBelief},
    {"vague-life-low", 182.625, 0.1, 1e6, "days", "life where a part has no class, 10 % point",
     kBelief},
    {"vague-life-high", 6574.5, 1, 1e7, "days", "life where a part has no class, 90 % point",
     kBelief},
    {"vague-shape", 1.2, 0.2, 10, "shape", "shape where a part has no class", kBelief},
    {"unknown-age-share", 0.5, 0, 3, "share of the class's life",
     "age taken for a used unit of unknown age", kBelief},
    {"repair-took-part", 1, 0.01, 1000, "repaired failures",
     "belief that repairing in place takes a part", kBelief},
    {"repair-took-none", 1, 0.01, 1000, "repaired failures",
     "belief that repairing in place takes none", kBelief},
    {"borrow", 1, 0, 1, "1 yes, 0 no", "parts of one class learn from each other", kBelief},
    {"factor-log-sd", 0.5, 0.01, 3, "ln times", "how unsure a condition's factor is", kBelief},
    // Bad luck or a fault; what to do before a failure.
    {"fault-window-days", 90, 7, 3660, "days", "failures looked at together for a fault", kBelief},
    {"fault-chance", 0.01, 0.0001, 0.5, "chance", "bad luck rarer than this is no luck", kBelief},
    {"test-availability", 0.99, 0.5, 0.9999, "share of time",
     "what fails unseen shall work when needed", kBelief},
    {"swap-days", 0.1, 0, 100, "days without", "trouble of a planned replacement", kBelief},
    {"breakdown-days", 1, 0, 1000, "days without", "trouble of a failure", kBelief},
    // Exposure.
    {"condition-cap", 8, 1, 100, "times", "most that conditions together may multiply exposure",
     kBelief},
    {"mean-rate-days", 365, 1, 3660, "days", "span of readings a meter's mean rate is taken from",
     kBelief},
    // Things used up, and things lost.
    {"event-size-mean", 1.5, 1.01, 100, "pieces", "pieces used at a time", kBelief},
    {"event-size-weight", 2, 0.1, 1000, "events", "weight of that belief", kBelief},
    {"loss-prior-shape", 0.5, 0.01, 100, "losses", "losses believed in the years below", kBelief},
    {"loss-prior-years", 10, 0.1, 1000, "years", "years an item is aboard for those losses",
     kBelief},
    // Waiting for a part: medians and 80 % ranges.
    {"lead-anywhere-median", 0.5, kShortestLead, kLongestLead, "days", "lead time, middle",
     kBelief},
    {"lead-anywhere-low", 0.2, kShortestLead, kLongestLead, "days", "lead time, 10 % point",
     kBelief},
    {"lead-anywhere-high", 1, kShortestLead, kLongestLead, "days", "lead time, 90 % point",
     kBelief},
    {"lead-hardware-store-median", 1, kShortestLead, kLongestLead, "days", "lead time, middle",
     kBelief},
    {"lead-hardware-store-low", 0.5, kShortestLead, kLongestLead, "days", "lead time, 10 % point",
     kBelief},
    {"lead-hardware-store-high", 3, kShortestLead, kLongestLead, "days", "lead time, 90 % point",
     kBelief},
    {"lead-order-online-median", 6, kShortestLead, kLongestLead, "days", "lead time, middle",
     kBelief},
    {"lead-order-online-low", 3, kShortestLead, kLongestLead, "days", "lead time, 10 % point",
     kBelief},
    {"lead-order-online-high", 14, kShortestLead, kLongestLead, "days", "lead time, 90 % point",
     kBelief},
    {"lead-specialist-median", 18, kShortestLead, kLongestLead, "days", "lead time, middle",
     kBelief},
    {"lead-specialist-low", 8, kShortestLead, kLongestLead, "days", "lead time, 10 % point",
     kBelief},
    {"lead-specialist-high", 45, kShortestLead, kLongestLead, "days", "lead time, 90 % point",
     kBelief},
    {"lead-spread-within", 0.8, 0.05, 1, "share of the range's deviation",
     "spread of one supplier's lead times", kBelief},
    {"lead-spread-between", 0.6, 0.05, 1, "share of the range's deviation",
     "how unsure a supplier's middle is", kBelief},
    {"lead-least-days", 0.5, 0.01, 10, "days", "shortest lead time an order may count as", kBelief},
    {"lead-quantile", 0.90, 0.5, 0.9999, "chance", "planning lead time", kBelief},
    {"lead-quantile-critical", 0.99, 0.5, 0.9999, "chance",
     "planning lead time, safety and stranded", kBelief}};

const PolicyRow* find_row(std::string_view key) {
  for (const PolicyRow& row : kRows) {
    if (row.key == key) {
      return &row;
    }
  }
  return nullptr;
}

const PolicyRow& nearest_row(std::string_view key) {
  const PolicyRow* best = &kRows[0];
  for (const PolicyRow& row : kRows) {
    if (edit_distance(key, row.key) < edit_distance(key, best->key)) {
      best = &row;
    }
  }
  return *best;
}

}  // namespace

std::span<const PolicyRow> policy_rows() { return kRows; }

double Policy::value(std::string_view key) const {
  const auto own = changed_.find(key);
  if (own != changed_.end()) {
    return own->second;
  }
  const PolicyRow* row = find_row(key);
  if (row == nullptr) {
    throw std::logic_error(fmt::format("the policy has no {}", key));
  }
  return row->value;
}

void Policy::set(std::string_view key, double value) {
  const PolicyRow* row = find_row(key);
  if (row == nullptr) {
    throw InputError(fmt::format(
        "policy {} is refused: there is no such number; the nearest is {} (now {})", quoted(key),
        nearest_row(key).key, plain_number(this->value(nearest_row(key).key))));
  }
  if (!std::isfinite(value) || value < row->least || value > row->most) {
    throw InputError(fmt::format(
        "policy {} {} is refused: it must be from {} to {} ({}), for "
        "example {}",
        key, std::isfinite(value) ? plain_number(value) : "that", plain_number(row->least),
        plain_number(row->most), row->unit, plain_number(row->value)));
  }
  changed_.insert_or_assign(std::string(key), value);
}

double Policy::target(Severity severity) const {
  return value(fmt::format("target-{}", to_text(severity)));
}

double Policy::cost_of_day(Severity severity) const {
  return value(fmt::format("cost-day-{}", to_text(severity)));
}

void check(const Policy& policy) {
  for (const std::string_view name : {"vague-life", "lead-anywhere", "lead-hardware-store",
                                      "lead-order-online", "lead-specialist"}) {
    const double low = policy.value(fmt::format("{}-low", name));
    const double median = policy.value(fmt::format("{}-median", name));
    const double high = policy.value(fmt::format("{}-high", name));
    if (!(low < median && median < high)) {
      throw InputError(fmt::format(
          "policy {0}-low {1}, {0}-median {2}, {0}-high {3} is refused: they must rise from low to "
          "high; change the outer one first",
          name, plain_number(low), plain_number(median), plain_number(high)));
    }
  }
}

}  // namespace shearpin::domain
