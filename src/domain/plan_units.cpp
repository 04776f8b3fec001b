#include <fmt/format.h>

#include <algorithm>

#include "base/refuse.hpp"
#include "base/text.hpp"
#include "domain/plan_support.hpp"

namespace shearpin::domain::planning {

namespace {

/// Works out one place from the lives seen there; `open` lists what the ledger holds open.
UnitPlace place_at(const Snapshot& now, const Position& position, int unit, Date on) {
  UnitPlace place;
  place.unit = unit;
  for (const UnitLife& life : now.lives) {
    if (life.position != position.id || life.unit != unit || life.fitted > on) {
      continue;
    }
    if (!life.end || life.end->date > on) {
      place.life = &life;
    } else if (!place.last || life.end->date >= place.last->end->date) {
      place.last = &life;
    }
  }
  for (const OpenPlace& open : now.open_places) {
    if (open.position == position.id && open.unit == unit && open.since <= on) {
      place.state = open.state;
      place.since = open.since;
      place.note = open.note;
    }
  }
  if (place.life) {
    place.state = place.life->stand_in ? PlaceState::stand_in : PlaceState::fitted;
    place.since = place.life->fitted;
    place.note = place.life->no_part;
  }
  return place;
}

/// Longest fitted first, the smaller number among equals.
void sort_by_fit(std::vector<const UnitPlace*>& places) {
  std::stable_sort(places.begin(), places.end(), [](const UnitPlace* a, const UnitPlace* b) {
    return a->life->fitted < b->life->fitted;
  });
}

std::string why_these(const std::vector<const UnitPlace*>& pool, std::size_t count) {
  if (pool.size() <= count) {
    return {};
  }
  if (pool.front()->state == PlaceState::stand_in && pool.back()->state != PlaceState::stand_in) {
    return "on a stand-in";
  }
  const bool alike = std::all_of(pool.begin(), pool.end(), [&](const UnitPlace* place) {
    return place->life->fitted == pool.front()->life->fitted;
  });
  return alike ? fmt::format("first of {} fitted the same day", pool.size())
               : fmt::format("longest fitted of {}", pool.size());
}

[[noreturn]] void refuse_few(const Position& position, const std::vector<UnitPlace>& places,
                             std::size_t fitted, int count) {
  std::vector<std::string> open;
  for (const UnitPlace& place : places) {
    if (!place.life) {
      open.push_back(open_text(position, place));
    }
  }
  refuse("{}: {} of {} units hold something and {} asked ({}); name the unit, such as {}/{}",
         position.key, fitted, position.units, counted(count, "unit"), join_words(open),
         position.key, position.units);
}

}  // namespace

std::vector<UnitPlace> places_of(const Snapshot& now, const Position& position, Date on) {
  std::vector<UnitPlace> places;
  for (int unit = 1; unit <= position.units; ++unit) {
    places.push_back(place_at(now, position, unit, on));
  }
  return places;
}

std::vector<int> check_units(const Position& position, const std::vector<int>& named) {
  std::vector<int> units = named;
  std::sort(units.begin(), units.end());
  for (std::size_t i = 0; i < units.size(); ++i) {
    if (units[i] < 1 || units[i] > position.units) {
      refuse("{}/{}: {} has {}, numbered from 1: {}", position.key, units[i], position.key,
             counted(position.units, "unit"), unit_name(position, position.units));
    }
    if (i > 0 && units[i] == units[i - 1]) {
      refuse("{}/{} is named twice; name each unit once", position.key, units[i]);
    }
  }
  return units;
}

ChosenUnits choose_units(const Position& position, const std::vector<UnitPlace>& places,
                         const std::vector<int>& named, int count, bool stand_ins_first) {
  if (!named.empty()) {
    return {check_units(position, named), {}};
  }
  if (count < 1 || count > position.units) {
    refuse("--count {}: {} has {}, so a count is from 1 to {}", count, position.key,
           counted(position.units, "unit"), position.units);
  }
  std::vector<const UnitPlace*> fitted;
  std::vector<const UnitPlace*> stand_ins;
  std::vector<const UnitPlace*> open;
  for (const UnitPlace& place : places) {
    (!place.life                           ? open
     : place.state == PlaceState::stand_in ? stand_ins
                                           : fitted)
        .push_back(&place);
  }
  sort_by_fit(fitted);
  sort_by_fit(stand_ins);
  std::vector<const UnitPlace*> pool = fitted;
  if (stand_ins_first || fitted.empty()) {
    pool.insert(pool.begin(), stand_ins.begin(), stand_ins.end());
  }
  if (pool.empty() && open.size() == 1) {
    return {{open.front()->unit}, {}};
  }
  const auto wanted = static_cast<std::size_t>(count);
  if (pool.size() < wanted) {
    refuse_few(position, places, pool.size(), count);
  }
  ChosenUnits chosen;
  chosen.why = why_these(pool, wanted);
  std::for_each(pool.begin(), pool.begin() + count,
                [&](const UnitPlace* place) { chosen.units.push_back(place->unit); });
  std::sort(chosen.units.begin(), chosen.units.end());
  return chosen;
}

}  // namespace shearpin::domain::planning
