#include "advice/simulate_kit.hpp"

#include <algorithm>
#include <map>

#include "shearpin/base/error.hpp"
#include "shearpin/stocking/trip_simulation.hpp"

namespace shearpin::advice {
namespace {

std::map<std::string, std::int64_t> pieces_of(const CarryAnswer& answer) {
  std::map<std::string, std::int64_t> pieces;
  for (const auto& line : answer.lines) {
    pieces[line.part] = std::max<std::int64_t>(line.carry, line.stock.aboard);
  }
  if (answer.kit && answer.kit->found) {
    for (const auto& line : answer.kit->lines) {
      pieces[line.part] = line.kit;
    }
  }
  return pieces;
}

/// Places in the list of the parts that may stand in for `part` everywhere.
std::vector<std::size_t> substitutes_of(const Analyst& analyst, PartId part,
                                        const std::vector<TripCase>& trips) {
  std::vector<const domain::Substitute*> declared;
  for (const auto& substitute : analyst.catalogue().substitutes) {
    if (substitute.stands_for == part && !substitute.forbidden && !substitute.only) {
      declared.push_back(&substitute);
    }
  }
  std::stable_sort(declared.begin(), declared.end(),
                   [](const auto* a, const auto* b) { return a->temporary < b->temporary; });
  std::vector<std::size_t> places;
  for (const auto* substitute : declared) {
    const auto found = std::find_if(trips.begin(), trips.end(), [&](const TripCase& other) {
      return other.line.id == substitute->part;
    });
    if (found != trips.end()) {
      places.push_back(static_cast<std::size_t>(found - trips.begin()));
    }
  }
  return places;
}

}  // namespace

SimulationView simulate_kit(const Analyst& analyst, const std::vector<TripCase>& trips,
                            const CarryAnswer& answer, const SimulateOptions& options) {
  if (trips.empty()) {
    throw InputError(
        "only a trip can be simulated; example: shearpin carry --trip marrow --simulate");
  }
  const auto pieces = pieces_of(answer);
  std::vector<stocking::SimulatedPart> parts;
  for (const auto& found : trips) {
    stocking::SimulatedPart part;
    part.demand = found.input;
    part.plan = found.plan;
    part.stock = static_cast<long>(pieces.at(found.line.part));
    if (options.random_leads) {
      part.lead =
          stocking::lead_sampler(analyst.lead_belief(found.line.id, found.line.severity).posterior);
    }
    part.substitutes = substitutes_of(analyst, found.line.id, trips);
    parts.push_back(std::move(part));
  }
  const auto played =
      stocking::simulate_trip(parts, {options.runs, options.seed, options.progress});
  SimulationView view;
  view.runs = played.runs;
  view.seed = played.seed;
  view.random_leads = options.random_leads;
  view.readiness = played.no_shortage.mean;
  view.readiness_error = played.no_shortage.standard_error;
  for (std::size_t i = 0; i < trips.size(); ++i) {
    const auto& result = played.parts[i];
    view.lines.push_back({trips[i].line.part, parts[i].stock, result.no_shortage.mean,
                          result.no_shortage.standard_error, result.days_without.mean,
                          result.days_without.standard_error});
  }
  return view;
}

}  // namespace shearpin::advice
