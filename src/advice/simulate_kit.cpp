#include <algorithm>
#include <map>

#include "advice/kit_task.hpp"
#include "shearpin/base/error.hpp"
#include "stocking/trip_simulation.hpp"

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

}  // namespace

SimulationView simulate_kit(const Analyst& analyst, const std::vector<CarryCase>& trips,
                            const CarryAnswer& answer, const SimulateOptions& options) {
  if (trips.empty()) {
    throw InputError(
        "only a trip can be simulated; example: shearpin carry --trip marrow --simulate");
  }
  const auto pieces = pieces_of(answer);
  std::vector<PartId> ids;
  for (const auto& found : trips) {
    ids.push_back(found.line.id);
  }
  const auto stand_ins = stand_ins_among(analyst, ids);
  std::vector<stocking::SimulatedPart> parts;
  for (const auto& found : trips) {
    stocking::SimulatedPart part;
    part.demand = found.outlook.input;
    part.plan = found.outlook.plan;
    part.stock = static_cast<long>(pieces.at(found.line.part));
    if (options.random_leads) {
      part.lead =
          stocking::lead_sampler(analyst.lead_belief(found.line.id, found.line.severity).posterior);
    }
    part.substitutes = stand_ins[parts.size()];
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
