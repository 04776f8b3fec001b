
#include "base/refuse.hpp"
#include "domain/plan_fail.hpp"
#include "domain/plan_spare.hpp"

namespace shearpin::domain {

using namespace planning;

namespace {

/// The unit that a test speaks of; none: all.
std::optional<int> tested_unit(const Position& position, const std::vector<UnitPlace>& places,
                               const TestRequest& request) {
  if (request.unit) {
    check_units(position, {*request.unit});
    return request.unit;
  }
  if (position.units == 1) {
    return 1;
  }
  if (request.passed) {
    return std::nullopt;
  }
  std::optional<int> only;
  for (const UnitPlace& place : places) {
    if (place.life && only) {
      refuse("{} has {} units fitted; say which one failed: test {}/{} fail", position.key,
             position.units, position.key, place.unit);
    }
    only = place.life ? std::optional(place.unit) : only;
  }
  return only;
}

void refuse_unfitted(const Position& position, const std::vector<UnitPlace>& places,
                     std::optional<int> unit, const When& when) {
  for (const UnitPlace& place : places) {
    if ((!unit || place.unit == *unit) && place.life) {
      return;
    }
  }
  const UnitPlace& place = places.at(unit ? static_cast<std::size_t>(*unit - 1) : 0);
  refuse("nothing is there to test on {}: {}; fit a unit first: fit {} --on DATE", to_text(when.on),
         open_text(position, place), unit_name(position, place.unit));
}

void end_tested(EntryDraft& entry, Outcome& outcome, const Snapshot& now, const UnitLife& life,
                const TestRequest& request) {
  const ComponentClass* kind = now.catalogue->class_of(now.catalogue->at(life.position));
  const bool unseen = kind && kind->hidden && !life.stand_in;
  EndLine& line =
      end_unit(entry, life, unseen ? EndKind::failed_on_test : EndKind::failed, Outside::scrapped);
  line.cause = request.cause;
  line.left = PlaceState::dead;
  if (unseen) {
    line.test_date = request.when.on;
    line.last_good = last_known_good(now, life, request.when.on);
    outcome.last_good = line.last_good;
  }
  outcome.left_open = {life.unit};
  outcome.left_state = PlaceState::dead;
}

}  // namespace

Plan plan_test(const Snapshot& now, const TestRequest& request) {
  check_when(request.when);
  const Position& position = now.catalogue->at(request.position);
  const std::vector<UnitPlace> places = places_of(now, position, request.when.on);
  const std::optional<int> unit = tested_unit(position, places, request);
  refuse_unfitted(position, places, unit, request.when);

  Plan plan;
  Outcome& outcome = plan.outcome;
  outcome.position = position.id;
  EntryDraft entry = start_entry(EntryKind::test, request.when);
  entry.tests.push_back({position.id, unit, request.passed, request.reading});
  for (const UnitPlace& place : places) {
    if (place.life && (!unit || place.unit == *unit)) {
      outcome.units.push_back(place.unit);
    }
  }
  if (!request.passed) {
    const UnitPlace& place = places.at(static_cast<std::size_t>(*unit - 1));
    end_tested(entry, outcome, now, *place.life, request);
    outcome.gets_by = gets_by(*now.catalogue, position);
    outcome.elsewhere = elsewhere_for(now, position, request.when.on);
  }
  plan.entries.push_back(entry);
  if (position.part && !request.passed) {  // nobody asks for spares of what works
    add_stock_line(outcome, now, plan.entries, *position.part, request.when.on);
  }
  return plan;
}

}  // namespace shearpin::domain
