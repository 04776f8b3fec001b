#include <fmt/format.h>

#include <algorithm>

#include "shearpin/advice/window.hpp"
#include "shearpin/base/error.hpp"

namespace shearpin::advice {
namespace {

/// The leg between two of its days, its amounts shared out by days.
domain::TripLegDraft cut(domain::TripLegDraft leg, Date first, Date last) {
  const double all = days_between(leg.from, leg.to) + 1;
  const double left = days_between(first, last) + 1;
  for (auto& use : leg.use) {
    use.second *= left / all;
  }
  leg.from = first;
  leg.to = last;
  return leg;
}

}  // namespace

Window trip_window(const domain::Trip& trip, Date as_of) {
  if (as_of >= trip.end()) {
    throw InputError(
        fmt::format("the trip {} ended on {}; ask on an earlier day (--as-of), or see "
                    "what came of it: shearpin trip debrief {}",
                    trip.key, shearpin::to_text(trip.end()), trip.key));
  }
  Window window;
  domain::Trip ahead = trip;
  if (as_of >= trip.departure()) {
    const auto now = std::find_if(ahead.legs.begin(), ahead.legs.end(),
                                  [&](const auto& leg) { return leg.to >= as_of; });
    window.today = cut(*now, as_of, as_of);
    const Date first = as_of + std::chrono::days(1);  // what happened on the day is on record
    std::erase_if(ahead.legs, [&](const auto& leg) { return leg.to < first; });
    if (ahead.legs.front().from < first) {
      ahead.legs.front() = cut(ahead.legs.front(), first, ahead.legs.front().to);
    }
    std::erase_if(ahead.stops, [&](const auto& stop) { return stop.date < first; });
  }
  window.start = ahead.departure();
  window.days = ahead.days();
  window.trip = std::move(ahead);
  return window;
}

}  // namespace shearpin::advice
