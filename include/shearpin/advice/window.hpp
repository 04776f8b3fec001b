#pragma once
/// What a question is asked about: a stretch with no resupply, or the base with the post in reach.

#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "shearpin/base/date.hpp"
#include "shearpin/base/id.hpp"
#include "shearpin/domain/trip.hpp"

namespace shearpin::advice {

/// A stretch of `days` from `start` with nothing to be had on the way.
/// `use`: planned exposure by meter over the whole stretch, where the usual rate is not meant.
/// `conditions`: name and days held, counted from the start; none given means the whole stretch.
struct Window {
  Date start;
  int days = 0;
  std::map<MeterId, double> use;
  std::vector<std::pair<std::string, std::optional<int>>> conditions;
  /// A trip with legs and stops: then `start` and `days` are its own, or what is left of it, `use`
  /// is empty, and `conditions` (without days) hold besides those of the legs.
  std::optional<domain::Trip> trip;
  /// Of a trip under way the as-of day as its leg plans it: it is over at the start of the window,
  /// but readings of it are seldom in, so what ran on it is taken from the plan.
  std::optional<domain::TripLegDraft> today;
};

/// The stretch of a trip as seen on a day: all of it, or what lies after the day where it is under
/// way, amounts of a leg begun shared out by days. InputError where it is over.
Window trip_window(const domain::Trip& trip, Date as_of);

}  // namespace shearpin::advice
