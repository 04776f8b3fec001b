// What a trip must be before it is kept, and before it is used.

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "base/quantity.hpp"
#include "base/refuse.hpp"
#include "base/text.hpp"
#include "domain/plan_support.hpp"
#include "shearpin/base/error.hpp"
#include "shearpin/domain/exposure.hpp"
#include "shearpin/domain/trip.hpp"

namespace shearpin::domain {
namespace {

using Refusal = std::optional<std::string>;

constexpr int kMostExtraDays = 366;

std::string span(const TripLegDraft& leg) { return to_text(leg.from) + " to " + to_text(leg.to); }

std::string next_day(Date day) { return to_text(day + std::chrono::days{1}); }

Refusal fault_of_leg(const TripLegDraft& leg) {
  const std::string what = fmt::format("leg {}, {}", leg.number, span(leg));
  if (leg.to < leg.from) {
    return fmt::format("{}: a leg ends on or after the day it begins; example: --from {} --to {}",
                       what, to_text(leg.from), next_day(leg.from));
  }
  std::set<MeterId> named;
  for (const auto& [meter, amount] : leg.use) {
    if (!std::isfinite(amount) || amount < 0) {
      return fmt::format("{}: use of {} is refused, an amount is zero or more; example: 620", what,
                         std::isfinite(amount) ? plain_number(amount) : "no number");
    }
    if (!named.insert(meter).second) {
      return what + ": a meter has two amounts; give each meter once: truck-km=620";
    }
  }
  for (const std::string& name : leg.conditions) {
    if (!is_key(name)) {
      return fmt::format(
          "{}: condition {} is refused, a name is lower-case letters, digits and hyphens; example: "
          "smoke-dust",
          what, quoted(name));
    }
  }
  return std::nullopt;
}

Refusal fault_of_legs(const std::vector<TripLegDraft>& legs) {
  const TripLegDraft* before = nullptr;
  for (const TripLegDraft& leg : legs) {
    if (auto fault = fault_of_leg(leg)) {
      return fault;
    }
    if (before && leg.from <= before->to) {
      return fmt::format(
          "leg {}, {}, and leg {}, {}, share a day: a leg begins after the one before has ended; "
          "example: --from {}",
          before->number, span(*before), leg.number, span(leg), next_day(before->to));
    }
    before = &leg;
  }
  return std::nullopt;
}

Refusal fault_of_stop(const TripStopDraft& stop, const TripLine& trip) {
  if (trimmed(stop.place).empty()) {
    return fmt::format("the stop on {} has no place; example: trip stop {} \"Hollin Spur\" --on {}",
                       to_text(stop.date), trip.key, to_text(stop.date));
  }
  const std::string what =
      fmt::format("the stop at {} on {}", quoted(stop.place), to_text(stop.date));
  if (trip.legs.empty()) {
    return fmt::format("{}: there are no legs yet; first: trip leg {} --from {} --to {}", what,
                       trip.key, to_text(stop.date), to_text(stop.date));
  }
  const Date first = trip.legs.front().from;
  const Date last = trip.legs.back().to;
  if (stop.date < first || stop.date > last) {
    return fmt::format(
        "{} lies outside the trip, {} to {}; give a day of it, or add or keep the leg first", what,
        to_text(first), to_text(last));
  }
  if (stop.extra_days < 0 || stop.extra_days > kMostExtraDays) {
    return fmt::format("{}: {} extra days are refused, from 0 to {}; example: --extra-days 2", what,
                       stop.extra_days, kMostExtraDays);
  }
  for (const std::string& word : stop.sold) {
    try {
      parse_sold(word);
    } catch (const InputError& error) {  // told with the stop it belongs to
      return fmt::format("{}: {}", what, error.what());
    }
  }
  return std::nullopt;
}

Refusal fault_of_stops(const TripLine& trip) {
  std::set<std::pair<Date, std::string>> seen;
  for (const TripStopDraft& stop : trip.stops) {
    if (auto fault = fault_of_stop(stop, trip)) {
      return fault;
    }
    if (!seen.emplace(stop.date, search_form(stop.place)).second) {
      return fmt::format(
          "{} on {} is a stop already; to change it, drop it first: trip edit {} --drop-stop {}",
          quoted(stop.place), to_text(stop.date), trip.key, to_text(stop.date));
    }
  }
  return std::nullopt;
}

Refusal too_long(const std::vector<TripLegDraft>& legs) {
  if (legs.empty()) {
    return std::nullopt;
  }
  const int days = days_between(legs.front().from, legs.back().to) + 1;
  if (days <= kLongestStretch) {
    return std::nullopt;
  }
  return fmt::format("{} to {} are {} days, and a trip has at most {}; example: --from {} --to {}",
                     to_text(legs.front().from), to_text(legs.back().to), days, kLongestStretch,
                     to_text(legs.front().from), next_day(legs.front().from));
}

/// What check_trip refuses, of a plan in order.
Refusal disorder(const TripLine& trip) {
  if (trimmed(trip.name).empty()) {
    return "a trip has a name; example: --name \"Marrow Basin, early summer\"";
  }
  if (auto fault = fault_of_legs(trip.legs)) {
    return fault;
  }
  if (auto fault = too_long(trip.legs)) {
    return fault;
  }
  return fault_of_stops(trip);
}

/// What a plan that may be kept still lacks before it can be used.
Refusal gap(const TripLine& trip) {
  if (trip.legs.empty()) {
    return fmt::format("it has no legs yet; example: trip leg {} --from 2026-06-08 --to 2026-06-10",
                       trip.key);
  }
  for (std::size_t i = 1; i < trip.legs.size(); ++i) {
    const Date first = trip.legs[i - 1].to + std::chrono::days{1};
    const Date last = trip.legs[i].from - std::chrono::days{1};
    if (first <= last) {
      return fmt::format("no leg covers {} to {}; add it: trip leg {} --from {} --to {}",
                         to_text(first), to_text(last), trip.key, to_text(first), to_text(last));
    }
  }
  return std::nullopt;
}

std::string told(const TripLine& trip, const std::string& fault) {
  return fmt::format("trip {}: {}", trip.key, fault);
}

}  // namespace

void check_stretch(int days) {
  if (days < 0 || days > kLongestStretch) {
    refuse("a stretch of {} days is refused, from 0 to {}; example: --days 38", days,
           kLongestStretch);
  }
}

void check_use(const Meter& meter, double stored, int days, const std::string& what) {
  const auto a_day = most_a_day(meter.unit);
  if (!a_day || !(stored > *a_day * std::max(days, 1) * (1 + 1e-9))) {
    return;
  }
  const double most = shown_amount(meter, *a_day * std::max(days, 1));
  refuse("{}: {} {} of {} are refused, {} can count at most {} in {}; example: {}={}", what,
         plain_number(shown_amount(meter, stored)), meter.unit, meter.key, meter.key,
         plain_number(std::floor(most)), counted(std::max(days, 1), "day"), meter.key,
         plain_number(std::floor(most / 10) + 1));
}

void check_trip(const TripLine& trip) {
  if (const Refusal fault = disorder(in_order(trip))) {
    throw InputError(told(trip, *fault));
  }
}

std::optional<std::string> trip_lacks(const TripLine& trip) {
  const TripLine ordered = in_order(trip);
  Refusal fault = disorder(ordered);
  if (!fault) {
    fault = gap(ordered);
  }
  return fault ? std::optional(told(trip, *fault)) : std::nullopt;
}

Trip usable_trip(const TripLine& line) {
  if (const auto lack = trip_lacks(line)) {
    throw InputError(*lack);
  }
  TripLine ordered = in_order(line);
  Trip trip{ordered.key, ordered.name, std::move(ordered.legs), {}};
  for (const TripStopDraft& stop : ordered.stops) {
    TripStop& added = trip.stops.emplace_back();
    added.date = stop.date;
    added.place = stop.place;
    for (const std::string& word : stop.sold) {
      added.sold.push_back(parse_sold(word));
    }
    added.parcels = stop.parcels;
    added.extra_days = stop.extra_days;
  }
  return trip;
}

TripLine shifted(TripLine trip, int by) {
  using namespace std::chrono;
  constexpr Date kFirst = sys_days{year{1950} / January / 1};
  constexpr Date kLast = sys_days{year{2199} / December / 31};
  const auto move = [&](Date& day) {
    if (by < days_between(day, kFirst) || by > days_between(day, kLast)) {
      refuse("{} moved by {} days leaves the years 1950 to 2199; example: --shift 7", to_text(day),
             by);
    }
    day += std::chrono::days{by};
  };
  for (TripLegDraft& leg : trip.legs) {
    move(leg.from);
    move(leg.to);
  }
  for (TripStopDraft& stop : trip.stops) {
    move(stop.date);
  }
  return trip;
}

}  // namespace shearpin::domain
