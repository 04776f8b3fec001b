#include "domain/last_good.hpp"
#include "domain/watched_unit.hpp"

namespace shearpin::domain {

FittedNow LifeReader::now_of(const UnitLife& life) const {
  FittedNow place;
  place.position = life.position;
  place.unit = life.unit;
  place.life = life.id;
  if (life.stand_in) {
    place.part = snapshot_->catalogue->at(life.position).part;
    place.state = PlaceState::stand_in;
    return place;
  }
  const Watched unit = watch(life);
  const Exposure run = unit.run_to(snapshot_->as_of);
  place.part = life.part;
  place.marked_end = life.marked_end;
  place.assumed = run.class_rate || unit.start.assumed_age;
  place.age = unit.start.entry + run.effective;
  if (unit.kind != nullptr && unit.kind->hidden) {
    const LastGood good = last_good(list_of(tests_, life.position), life, snapshot_->as_of);
    place.age = unit.start.entry + unit.run_to(good.date).effective;
    place.untested =
        exposure_->between(unit.position, unit.kind, good.date, snapshot_->as_of).effective;
  }
  return place;
}

std::vector<FittedNow> LifeReader::now(PositionId position) const {
  const Position& asked = snapshot_->catalogue->at(position);
  std::map<int, FittedNow> places;
  for (int unit = 1; unit <= asked.units; ++unit) {
    FittedNow& place = places[unit];
    place.position = position;
    place.unit = unit;
    place.part = asked.part;
    place.state = PlaceState::empty;
  }
  const auto open = open_.find(position);
  if (open != open_.end()) {
    for (const OpenPlace* hole : open->second) {
      const auto place = places.find(hole->unit);
      if (place != places.end()) {
        place->second.state = hole->state;
      }
    }
  }
  for (const UnitLife* life : list_of(fitted_, position)) {
    places[life->unit] = now_of(*life);
  }
  std::vector<FittedNow> list;
  for (const auto& [unit, place] : places) {
    list.push_back(place);
  }
  return list;
}

std::optional<double> LifeReader::age(const UnitLife& life, Date on) const {
  const Watched unit = watch(life);
  if (unit.start.assumed_age) {
    return std::nullopt;
  }
  const Date until = life.end ? std::min(on, life.end->date) : on;
  return unit.start.entry + unit.run_to(until).effective;
}

std::vector<FittedNow> fitted_now(const Snapshot& snapshot, const ExposureReader& exposure) {
  const LifeReader reader(snapshot, exposure);
  std::vector<FittedNow> all;
  for (const Position& position : snapshot.catalogue->positions) {
    if (!position.retired) {
      const std::vector<FittedNow> places = reader.now(position.id);
      all.insert(all.end(), places.begin(), places.end());
    }
  }
  return all;
}

}  // namespace shearpin::domain
