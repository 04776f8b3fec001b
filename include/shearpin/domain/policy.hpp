#pragma once
/// The numbers of the model that the owner may change: one table, `policy show` prints it.

#include <array>
#include <functional>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "shearpin/domain/vocabulary.hpp"

namespace shearpin::domain {

/// A positive quantity believed within a range: its middle, and one chance in ten on either side.
struct BelievedRange {
  double median, low, high;
};

/// The owner's numbers: each as shipped unless set. What they mean, their units and the ranges they
/// may be set in are the rows of policy_rows().
class Policy {
 public:
  // By severity.
  std::array<double, 5> targets{0.995, 0.99, 0.97, 0.90, 0.70};
  std::array<double, 5> costs_of_day{200, 150, 60, 10, 1};

  double carry_cost = 2.00;
  double holding_share = 0.60;
  double review_days = 30;

  double shape_log_sd = 0.35;
  BelievedRange vague_life{1095.75, 182.625, 6574.5};
  double vague_shape = 1.2;
  double unknown_age_share = 0.5;
  double repair_took_part = 1;
  double repair_took_none = 1;
  double borrow = 1;
  double factor_log_sd = 0.5;

  double fault_window_days = 90;
  double fault_chance = 0.01;
  double test_availability = 0.99;
  double swap_days = 0.1;
  double breakdown_days = 1;

  double condition_cap = 8;
  double mean_rate_days = 365;

  double event_size_mean = 1.5;
  double event_size_weight = 2;
  double loss_prior_shape = 0.5;
  double loss_prior_years = 10;

  // By where a part can be had.
  std::array<BelievedRange, 4> leads{{{0.5, 0.2, 1}, {1, 0.5, 3}, {6, 3, 14}, {18, 8, 45}}};
  double lead_spread_within = 0.8;
  double lead_spread_between = 0.6;
  double lead_least_days = 0.5;
  double lead_quantile = 0.90;
  double lead_quantile_critical = 0.99;

  /// Chance of no shortage wanted.
  double target(Severity severity) const { return targets.at(static_cast<std::size_t>(severity)); }
  /// What a day without costs, in major units of money.
  double cost_of_day(Severity severity) const {
    return costs_of_day.at(static_cast<std::size_t>(severity));
  }
  const BelievedRange& lead(Resupply resupply) const {
    return leads.at(static_cast<std::size_t>(resupply));
  }

  /// By its key; without a value as shipped. InputError for an unknown key or a value outside its
  /// range, naming both.
  void set(std::string_view key, std::optional<double> value);
  /// Whether the owner has set it.
  bool is_own(std::string_view key) const { return own_.find(key) != own_.end(); }

 private:
  std::set<std::string, std::less<>> own_;
};

/// One number of the policy.
struct PolicyRow {
  std::string key;                     ///< target-safety
  std::function<double&(Policy&)> of;  ///< where it stands
  double least, most;                  ///< accepted range
  std::string unit;                    ///< chance, days, money, per year ...
  std::string meaning;
  std::string source = "belief";  ///< "belief" where nothing is published

  double in(Policy policy) const { return of(policy); }
  double shipped() const { return in({}); }
};

/// Every number, in the order shown.
const std::vector<PolicyRow>& policy_rows();

/// Rules between the numbers, to be checked after a change (Policy::set looks at one alone): every
/// low < median < high. InputError names them.
void check(const Policy& policy);

}  // namespace shearpin::domain
