#include "domain/plan_trip.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "base/refuse.hpp"
#include "base/text.hpp"
#include "domain/plan_support.hpp"

namespace shearpin::domain {

using namespace planning;

namespace {

template <class T>
bool holds(const std::vector<T>& things, const std::string& key) {
  return std::any_of(things.begin(), things.end(), [&key](const T& one) { return one.key == key; });
}

/// A stop may sell only what the ledger knows: a slip would make it sell nothing.
void check_sold(const Catalogue& catalogue, const TripLine& trip, const TripStopDraft& stop,
                const Sold& sold) {
  const auto need = [&](bool known, std::string_view kind) {
    if (!known) {
      refuse("trip {}: {} sells {}, but no {} has that key; see: shearpin {} list", trip.key,
             quoted(stop.place), to_text(sold), kind, kind);
    }
  };
  switch (sold.kind) {
    case Sold::Kind::part:
      return need(holds(catalogue.parts, sold.key), "part");
    case Sold::Kind::component_class:
      return need(holds(catalogue.classes, sold.key), "class");
    case Sold::Kind::supplier:
      return need(holds(catalogue.suppliers, sold.key), "supplier");
    case Sold::Kind::all:
    case Sold::Kind::resupply:
      return;
  }
}

/// In order, with the words of the stops spelt alike and named once.
TripLine tidy(const Catalogue& catalogue, const TripLine& told) {
  TripLine trip = in_order(told);
  for (TripStopDraft& stop : trip.stops) {
    std::vector<std::string> words;
    for (const std::string& word : stop.sold) {
      const Sold sold = parse_sold(word);
      check_sold(catalogue, trip, stop, sold);
      if (std::find(words.begin(), words.end(), to_text(sold)) == words.end()) {
        words.push_back(to_text(sold));
      }
    }
    stop.sold = std::move(words);
  }
  return trip;
}

Plan plan_of(const When& when, TripLine trip) {
  EntryDraft entry = start_entry(EntryKind::trip, when);
  entry.trips.push_back(std::move(trip));
  Plan plan;
  plan.entries.push_back(std::move(entry));
  return plan;
}

}  // namespace

Plan plan_trip(const Catalogue& catalogue, const TripRequest& request) {
  check_when(request.when);
  check_trip(request.trip);
  for (const TripLegDraft& leg : request.trip.legs) {
    for (const auto& [meter, amount] : leg.use) {
      check_use(catalogue.at(meter), amount, days_between(leg.from, leg.to) + 1,
                fmt::format("leg {} to {}", to_text(leg.from), to_text(leg.to)));
    }
  }
  Plan plan = plan_of(request.when, tidy(catalogue, request.trip));
  const TripLine& trip = plan.entries.front().trips.front();
  std::set<std::string> conditions;
  for (const TripLegDraft& leg : trip.legs) {
    conditions.insert(leg.conditions.begin(), leg.conditions.end());
  }
  for (const std::string& name : conditions) {
    note_unknown_condition(plan.outcome, catalogue, name);
  }
  if (const auto lack = trip_lacks(trip)) {
    plan.outcome.notes.push_back("not whole yet: " + *lack);
  }
  return plan;
}

Plan plan_trip_removal(const When& when, const std::string& key) {
  check_when(when);
  TripLine removed;
  removed.key = key;
  return plan_of(when, removed);
}

}  // namespace shearpin::domain
