#include "stocking/stretch_demand.hpp"

#include <algorithm>
#include <cmath>

namespace shearpin::stocking {
namespace {

// More of them are not split at.
constexpr std::size_t kMostBreaks = 1000;

bool is_uneven(std::span<const ExposureSegment> legs) {
  return std::any_of(legs.begin(), legs.end(), [&](const ExposureSegment& leg) {
    return leg.per_day != legs.front().per_day;
  });
}

}  // namespace

Pmf thinned(const Pmf& count, const TakenShare& share) {
  Pmf result(count.size(), 0.0);
  const double norm =
      std::lgamma(share.took + share.none) - std::lgamma(share.took) - std::lgamma(share.none);
  for (std::size_t k = 0; k < count.size(); ++k) {
    const auto n = static_cast<double>(k);
    for (std::size_t m = 0; m <= k; ++m) {
      const auto x = static_cast<double>(m);
      const double log_chance = std::lgamma(n + 1) - std::lgamma(x + 1) - std::lgamma(n - x + 1) +
                                std::lgamma(x + share.took) + std::lgamma(n - x + share.none) -
                                std::lgamma(n + share.took + share.none) + norm;
      result[m] += count[k] * std::exp(log_chance);
    }
  }
  return result;
}

Pmf extra_demand(std::span<const ExtraDemand> extras, std::span<const TripClock> clocks,
                 double from, double to) {
  Pmf sum = no_demand();
  for (std::size_t i = 0; i < extras.size(); ++i) {
    const double exposure = clocks[i].at(to) - clocks[i].at(from);
    sum = convolve(sum, consumption_demand(extras[i].rate, std::max(exposure, 0.0)));
  }
  return sum;
}

bool StretchDemand::serves(std::span<const UnitState> units, double days) {
  return std::none_of(units.begin(), units.end(), [&](const UnitState& unit) {
    return unit.before > 0 || (unit.renewed_every_days <= days && is_uneven(unit.legs));
  });
}

StretchDemand::StretchDemand(const TripDemandInput& input, double longest_days)
    : fitted_(input.nodes, input.units, longest_days), taken_(input.taken), extras_(input.extras) {
  const auto add_legs = [&](std::span<const ExposureSegment> legs) {
    if (!is_uneven(legs)) return;
    for (const ExposureSegment& leg : legs) add_break(leg.until_day, longest_days);
  };
  for (const UnitState& unit : input.units) {
    add_legs(unit.legs);
    // The unit's marked end, and those of its successors if none fails. A unit that is found
    // failed, missing or over its end at the start has one from then on.
    for (const double from : {0.0, unit.due_days}) {
      for (double day = from; day < longest_days && breaks_.size() < kMostBreaks;
           day += unit.renewed_every_days) {
        add_break(day, longest_days);
      }
    }
  }
  for (const ExtraDemand& extra : extras_) {
    add_legs(extra.legs);
    extra_clocks_.push_back(clock_of(extra, longest_days));
  }
}

void StretchDemand::add_break(double day, double longest_days) {
  const auto at = std::lower_bound(breaks_.begin(), breaks_.end(), day);
  if (day > 0 && day < longest_days && (at == breaks_.end() || *at != day)) {
    breaks_.insert(at, day);
  }
}

std::vector<Pmf> StretchDemand::distributions(std::span<const double> days) const {
  std::vector<Pmf> result = fitted_.distributions(days);
  for (std::size_t i = 0; i < days.size(); ++i) {
    if (taken_) {
      result[i] = thinned(result[i], *taken_);
      trim(result[i]);
    }
    if (!extras_.empty()) {
      result[i] = convolve(result[i], extra_demand(extras_, extra_clocks_, 0, days[i]));
    }
  }
  return result;
}

DaysWithout StretchDemand::days_short(double days) const {
  return days_without_stretch([this](std::span<const double> at) { return distributions(at); },
                              days, {1, 1}, breaks_);
}

}  // namespace shearpin::stocking
