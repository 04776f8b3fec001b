#include "shearpin/domain/trip.hpp"

#include <algorithm>
#include <cmath>
#include <set>
#include <tuple>

#include "base/quantity.hpp"
#include "domain/plan_support.hpp"

namespace shearpin::domain {

int Trip::days() const { return elapsed_days(*this, end()); }

int elapsed_days(const Trip& trip, Date date) { return days_between(trip.departure(), date) + 1; }

TripLine in_order(TripLine trip) {
  std::stable_sort(trip.legs.begin(), trip.legs.end(), [](const auto& a, const auto& b) {
    return std::pair(a.from, a.to) < std::pair(b.from, b.to);
  });
  int number = 0;
  for (TripLegDraft& leg : trip.legs) {
    leg.number = ++number;
    std::set<std::string> seen;
    std::erase_if(leg.conditions, [&seen](const auto& name) { return !seen.insert(name).second; });
  }
  std::stable_sort(trip.stops.begin(), trip.stops.end(),
                   [](const auto& a, const auto& b) { return a.date < b.date; });
  return trip;
}

bool is_removed(const TripLine& trip) {
  return trip.name.empty() && trip.legs.empty() && trip.stops.empty();
}

double shown_amount(const Meter& meter, double stored) {
  constexpr double kDecimals = 1e9;
  return meter.unit == "mi" ? std::round(stored / kKilometresPerMile * kDecimals) / kDecimals
                            : stored;
}

double stored_amount(const Meter& meter, double shown) {
  return meter.unit == "mi" ? shown * kKilometresPerMile : shown;
}

std::vector<LegUse> use_by_leg(const Trip& trip, MeterId meter) {
  std::vector<LegUse> legs;
  for (const TripLegDraft& leg : trip.legs) {
    LegUse& use = legs.emplace_back(LegUse{leg.from, leg.to, std::nullopt});
    for (const auto& [counted_on, amount] : leg.use) {
      if (counted_on == meter) {
        use.amount = amount;
      }
    }
  }
  return legs;
}

std::map<MeterId, double> planned_use(const TripLine& trip) {
  std::map<MeterId, double> total;
  for (const TripLegDraft& leg : trip.legs) {
    for (const auto& [meter, amount] : leg.use) {
      total[meter] += amount;
    }
  }
  return total;
}

std::vector<ConditionStretch> condition_stretches(const TripLine& trip) {
  std::vector<ConditionStretch> stretches;
  std::map<std::string, std::size_t> latest;  // of each name, in `stretches`
  for (const TripLegDraft& leg : in_order(trip).legs) {
    for (const std::string& name : leg.conditions) {
      const auto last = latest.find(name);
      if (last != latest.end() && stretches[last->second].to + std::chrono::days{1} == leg.from) {
        stretches[last->second].to = leg.to;
        continue;
      }
      latest[name] = stretches.size();
      stretches.push_back({name, leg.from, leg.to});
    }
  }
  std::stable_sort(stretches.begin(), stretches.end(), [](const auto& a, const auto& b) {
    return std::tie(a.from, a.condition) < std::tie(b.from, b.condition);
  });
  return stretches;
}

std::optional<Date> last_signal_day(const TripLine& trip, Date day) {
  std::optional<Date> last;
  for (const TripLegDraft& leg : trip.legs) {
    if (leg.signal && leg.from <= day) {
      last = std::max(last.value_or(leg.from), std::min(leg.to, day));
    }
  }
  return last;
}

}  // namespace shearpin::domain
