
#include "base/refuse.hpp"
#include "domain/plan_spare.hpp"
#include "domain/plan_stock.hpp"

namespace shearpin::domain {

using namespace planning;

Plan plan_lose_unit(const Snapshot& now, const LoseUnitRequest& request) {
  check_when(request.when);
  if (!request.refit && !request.pick.empty()) {
    refuse(
        "--with and --from name the spare that is put in its place, and none is; log that as fit");
  }
  const Position& position = now.catalogue->at(request.position);
  const std::vector<UnitPlace> places = places_of(now, position, request.when.on);
  const ChosenUnits chosen = choose_units(position, places, request.units, request.count, false);
  Plan plan;
  Outcome& outcome = plan.outcome;
  outcome.position = position.id;
  outcome.units = chosen.units;
  outcome.unit_why = chosen.why;
  std::vector<std::optional<Fill>> fills(chosen.units.size());
  if (request.refit) {
    fills = choose_fills(now, position, chosen.units.size(), request.pick, request.when.on);
  }
  EntryDraft entry = start_entry(EntryKind::lose, request.when);
  for (std::size_t i = 0; i < chosen.units.size(); ++i) {
    const UnitPlace& place = places.at(static_cast<std::size_t>(chosen.units[i] - 1));
    if (!place.life) {
      refuse("{}, so nothing can be lost there; lose a spare by its part: lose PART 1",
             open_text(position, place));
    }
    EndLine& line = end_unit(entry, *place.life, EndKind::lost, Outside::lost);
    line.cause = request.cause;
    line.left = fills[i] ? PlaceState::empty : PlaceState::dead;
    if (place.life->part) {
      entry.usages.push_back({place.life->part, position.id, position.pieces, true});
    }
    if (fills[i]) {
      apply_fill(entry, position, chosen.units[i], *fills[i]);
      add_fill_line(outcome, *fills[i]);
    } else {
      outcome.left_open.push_back(chosen.units[i]);
      outcome.left_state = PlaceState::dead;
    }
  }
  plan.entries.push_back(entry);
  if (const auto part = outcome.part_used ? outcome.part_used : position.part) {
    add_stock_line(outcome, now, plan.entries, *part, request.when.on);
  }
  if (!outcome.left_open.empty()) {
    outcome.gets_by = gets_by(*now.catalogue, position);
    outcome.elsewhere = elsewhere_for(now, position, request.when.on);
  }
  return plan;
}

}  // namespace shearpin::domain
