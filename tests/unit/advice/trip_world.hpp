#pragma once
/// Trips for tests of advice, begun on any day, beside the small truck.

#include <stdexcept>
#include <string>

#include "advice/advice_world.hpp"

namespace shearpin::advice::testing {

inline domain::TripLegDraft leg(int number, Date from, Date to,
                                std::vector<std::string> conditions = {}) {
  domain::TripLegDraft one;
  one.number = number;
  one.from = from;
  one.to = to;
  one.conditions = std::move(conditions);
  return one;
}

/// One leg of `days` days from `from`, with signal, and no stop.
inline domain::Trip plain_trip(Date from, int days) {
  domain::Trip trip;
  trip.key = trip.name = "round";
  trip.legs.push_back(leg(1, from, from + std::chrono::days(days - 1)));
  return trip;
}

/// Sells everything, or takes parcels alone.
inline domain::TripStop stop(Date date, bool sells) {
  domain::TripStop one;
  one.date = date;
  one.place = "stop";
  one.parcels = true;
  if (sells) {
    one.sold.push_back({});
  }
  return one;
}

/// All of the trip, begun on its own first day even where that is the as-of day.
inline Window whole(const domain::Trip& trip) {
  Window window;
  window.start = trip.departure();
  window.days = trip.days();
  window.trip = trip;
  return window;
}

inline CarryLine carry_on(const AdviceWorld& world, const std::string& key, const Window& window) {
  const PartId only = world.part(key);
  return advise_carry(world.build(), window, {&only, 1}).lines.front();
}

inline const KitLine& line_of(const KitView& kit, const std::string& part) {
  for (const auto& line : kit.lines) {
    if (line.part == part) {
      return line;
    }
  }
  throw std::logic_error("no line for " + part);
}

}  // namespace shearpin::advice::testing
