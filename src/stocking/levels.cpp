#include "stocking/levels.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>

#include "base/quantity.hpp"
#include "shearpin/base/error.hpp"

namespace shearpin::stocking {
namespace {

constexpr double kNegligibleDays = 1e-9;

void check_not_negative(double value, const char* what, double example) {
  if (!(value >= 0) || !std::isfinite(value)) {
    throw InputError(
        fmt::format("{} of {} is not a number >= 0, such as {}", what, value, example));
  }
}

// E of the sets wanted past n for n = 0 .. size of the pmf.
std::vector<double> shortages(std::span<const double> pmf, long set) {
  std::vector<double> result(pmf.size() + 1, 0.0);
  double above = 0;  // P(D > n)
  for (std::size_t n = pmf.size(); n-- > 0;) {
    result[n] = above;
    above += pmf[n];
  }
  add_up_dead(result, {kUnlimited, set});
  return result;
}

void drop_negligible(DaysWithout& days, double limit) {
  while (days.size() > 1 && days.back() < limit) days.pop_back();
}

}  // namespace

Level larger_of(long target, long worth) {
  return {.target = target, .worth = worth, .advised = std::max(target, worth)};
}

long target_level(std::span<const double> demand, double chance) {
  return smallest_covering(demand, chance);
}

double HoldingCost::of_one_piece(double days) const {
  check_not_negative(price, "a price", 4.5);
  check_not_negative(mass_kg, "a mass in kg", 0.2);
  check_not_negative(yearly_share, "a yearly holding share", 0.6);
  check_not_negative(kg_month, "a cost of a kilogram a month", 2);
  check_not_negative(days, "a time aboard in days", 30);
  return price * yearly_share * days / kDaysPerYear +
         mass_kg * kg_month * days / (kDaysPerYear / 12);
}

long worth_level(std::span<const double> days_without, double cost_of_day, double piece_cost) {
  check_not_negative(cost_of_day, "a cost of a day without", 10);
  check_not_negative(piece_cost, "a cost of carrying a piece", 0.5);
  std::size_t best = 0;
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t n = 0; n <= days_without.size(); ++n) {
    const double without = n < days_without.size() ? days_without[n] : 0;
    const double settled = without < kNegligibleDays ? 0 : without;
    const double cost = settled * cost_of_day + static_cast<double>(n) * piece_cost;
    if (cost < least) {
      least = cost;
      best = n;
    }
  }
  return static_cast<long>(best);
}

DaysWithout days_without_base(std::span<const double> lead_demand, double review_days,
                              double mean_lead_days, long set) {
  check_not_negative(review_days, "a review period in days", 30);
  check_not_negative(mean_lead_days, "a mean lead time in days", 6);
  check_standing({kUnlimited, set});
  DaysWithout days = shortages(lead_demand, set);
  for (double& value : days) value *= review_days + mean_lead_days;
  drop_negligible(days, kNegligibleDays);
  return days;
}

BasePolicy base_policy(std::span<const double> protection_demand, double chance,
                       std::span<const double> days_without, double cost_of_day, double piece_cost,
                       double review_days) {
  check_not_negative(review_days, "a review period in days", 30);
  const long covering = smallest_covering(protection_demand, chance);
  const long target = review_days > 0 ? covering : covering + 1;
  BasePolicy policy;
  policy.level = larger_of(target, worth_level(days_without, cost_of_day, piece_cost));
  policy.order_up_to = policy.level.advised;
  policy.reorder_point = policy.order_up_to - 1;
  return policy;
}

long round_up_to_packs(long pieces, long pack) {
  if (pack < 1) throw InputError(fmt::format("a pack of {} is not 1 or more", pack));
  if (pieces <= 0) return 0;
  const long over = pieces % pack;
  if (over == 0) return pieces;
  if (pieces > kUnlimited - (pack - over)) {
    throw InputError(fmt::format("{} pieces in packs of {} are too many", pieces, pack));
  }
  return pieces + (pack - over);
}

}  // namespace shearpin::stocking
