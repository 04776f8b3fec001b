#include "stocking/trip_clock.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <limits>

#include "base/quantity.hpp"
#include "shearpin/base/error.hpp"
#include "stocking/node_rows.hpp"

namespace shearpin::stocking {
namespace {

// Stands for no time at all where a unit is used before the start without days.
constexpr double kInstant = 1e-4;

}  // namespace

TripClock::TripClock(std::span<const ExposureSegment> legs, double per_day, double days,
                     double before, double before_days) {
  if (before > 0 || before_days > 0) {
    days_.push_back(before_days > 0 ? -before_days : -kInstant);
    exposures_.push_back(-before);
  }
  days_.push_back(0);
  exposures_.push_back(0);
  if (!(days > 0)) {
    return;
  }
  const auto run_to = [this](double day, double rate) {
    exposures_.push_back(exposures_.back() + rate * (day - days_.back()));
    days_.push_back(day);
  };
  for (const ExposureSegment& leg : legs) {
    if (days_.back() >= days) {
      break;
    }
    run_to(std::min(leg.until_day, days), leg.per_day);
  }
  if (days_.back() < days) {
    run_to(days, per_day);
  }
}

double TripClock::at(double day) const {
  if (day <= days_.front()) {
    return exposures_.front();
  }
  if (day >= days_.back()) {
    return exposures_.back();
  }
  const auto after = std::upper_bound(days_.begin(), days_.end(), day);
  const auto i = static_cast<std::size_t>(after - days_.begin());
  const double share = (day - days_[i - 1]) / (days_[i] - days_[i - 1]);
  return exposures_[i - 1] + share * (exposures_[i] - exposures_[i - 1]);
}

double TripClock::day_of(double exposure) const {
  if (exposure <= exposures_.front()) {
    return days_.front();
  }
  const auto at_or_above = std::lower_bound(exposures_.begin(), exposures_.end(), exposure);
  if (at_or_above == exposures_.end()) {
    return std::numeric_limits<double>::infinity();
  }
  const auto i = static_cast<std::size_t>(at_or_above - exposures_.begin());
  const double share = (exposure - exposures_[i - 1]) / (exposures_[i] - exposures_[i - 1]);
  return days_[i - 1] + share * (days_[i] - days_[i - 1]);
}

void check_legs(std::span<const ExposureSegment> legs, double days) {
  double before = 0;
  for (const ExposureSegment& leg : legs) {
    check_not_negative(leg.per_day, "an exposure a day of a leg");
    if (!(leg.until_day > before) || !std::isfinite(leg.until_day)) {
      throw InputError(fmt::format(
          "a leg until day {} after one until day {}: legs end one after the other, such as 10, 25",
          leg.until_day, before));
    }
    before = leg.until_day;
  }
  if (!legs.empty() && before < days * (1 - 1e-12)) {
    throw InputError(fmt::format(
        "the legs end on day {} of a trip of {} days; they must reach its end", before, days));
  }
}

void check_trip(const TripDemandInput& input, const TripPlan& plan) {
  intervals_of(plan);
  if (!input.units.empty()) {
    check_nodes(input.nodes);
  }
  for (const UnitState& unit : input.units) {
    check_unit(unit, plan.days);
    if (!unit.first_life.empty()) {
      check_nodes(unit.first_life);
    }
  }
  for (const ExtraDemand& extra : input.extras) {
    const ConsumptionRate& rate = extra.rate;
    check_not_negative(extra.exposure_per_day, "an exposure a day");
    check_legs(extra.legs, plan.days);
    if (!(rate.shape > 0) || !(rate.rate > 0) || !(rate.mean_size >= 1) ||
        !std::isfinite(rate.shape + rate.rate + rate.mean_size)) {
      throw InputError(
          fmt::format("a rate of gamma shape {} and rate {} with pieces of mean size {} needs "
                      "shape and rate > 0 and size >= 1",
                      rate.shape, rate.rate, rate.mean_size));
    }
  }
  if (input.taken && !(input.taken->took > 0 && input.taken->none > 0 &&
                       std::isfinite(input.taken->took + input.taken->none))) {
    throw InputError(fmt::format("a share of law Beta({}, {}) needs both above 0, such as 1, 1",
                                 input.taken->took, input.taken->none));
  }
}

TripClock clock_of(const UnitState& state, double days) {
  const bool settled_at_start = state.down || state.untested > 0;
  const bool runs_before = state.before > 0 || (state.before_days > 0 && state.due_days < 0);
  if (settled_at_start || !runs_before) {
    return TripClock(state.legs, state.exposure_per_day, days);
  }
  return TripClock(state.legs, state.exposure_per_day, days, state.before, state.before_days);
}

TripClock clock_of(const ExtraDemand& extra, double days) {
  return TripClock(extra.legs, extra.exposure_per_day, days);
}

TripStart start_of(const UnitState& state, const TripClock& clock) {
  TripStart start;
  start.from_day = clock.start_day();
  const bool due_now = state.due_days <= 0 && !(state.before > 0) && !(state.before_days > 0);
  start.down = state.down || due_now;
  start.hidden = !start.down && state.untested > 0;
  if (start.hidden) {
    start.passed = state.untested + state.before;
  }
  // Without days before the start, what was due then is due at the start.
  const bool days_before = start.from_day < 0 && state.before_days > 0;
  start.due_day = std::max(state.due_days, days_before ? start.from_day : 0.0);
  return start;
}

std::vector<TripInterval> intervals_of(const TripPlan& plan) {
  check_not_negative(plan.days, "a length of a trip in days");
  std::vector<TripInterval> intervals{{0, 0, plan.days, 0, true}};
  double last_receipt = -1;
  for (const ReceiptStop& stop : plan.stops) {
    if (!(stop.receipt > last_receipt) || !(stop.receipt >= 0) || !(stop.receipt <= plan.days)) {
      throw InputError(fmt::format(
          "a stop on day {} of a trip of {} days: stops come one after the other within the trip, "
          "such as 10, 25 of 40",
          stop.receipt, plan.days));
    }
    if (stop.brings < 0) {
      throw InputError(
          fmt::format("a stop that brings {} pieces: 0 or more, such as 2", stop.brings));
    }
    if (stop.sells && (!(stop.cutoff >= 0) || !(stop.cutoff <= stop.receipt))) {
      throw InputError(fmt::format(
          "a cut-off on day {} for a receipt on day {} is not between the departure and the "
          "receipt",
          stop.cutoff, stop.receipt));
    }
    last_receipt = stop.receipt;
    TripInterval& before = intervals.back();
    before.to = stop.receipt;
    const double from = stop.sells ? std::max(stop.cutoff, before.from) : before.from;
    intervals.push_back({from, stop.receipt, plan.days, before.brought + stop.brings,
                         before.takes_in_start && !stop.sells});
  }
  return intervals;
}

std::optional<ExtraDemand> loss_as_extra(const LossRecord& record, const LossBelief& belief) {
  loss_demand(record, 0, belief);  // checks
  if (record.losses == 0 || !(record.items > 0)) {
    return std::nullopt;
  }
  ExtraDemand extra;
  extra.rate = {belief.shape + static_cast<double>(record.losses),
                belief.shape * belief.years + record.item_years, 1};
  extra.exposure_per_day = record.items / kDaysPerYear;
  return extra;
}

}  // namespace shearpin::stocking
