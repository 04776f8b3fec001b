#include "advice/fault_watch.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <set>

#include "advice/part_by_part.hpp"
#include "stats/trend_tests.hpp"
#include "stocking/failure_chance.hpp"

namespace shearpin::advice {
namespace {

using domain::AgeRecord;
using domain::UnitLife;

constexpr int kLeastFailures = 2;
/// A run of failures may be short beside the policy's window: a third and a ninth of it are looked
/// at too. The three lie one inside the other, so they are nearly one chance and are not counted as
/// three.
constexpr std::array<int, 3> kPartsOfWindow{1, 3, 9};
/// What is counted at most: the chance of so many or more stands in for that of more, which is
/// less.
constexpr long kMostFailures = 30;
/// Below this many the trend tests' laws are too rough.
constexpr std::size_t kLeastForTrend = 4;

bool failed(const UnitLife& life) {
  return life.end && (life.end->kind == domain::EndKind::failed ||
                      life.end->kind == domain::EndKind::failed_on_test);
}

const domain::Fault* fault_of(const domain::Snapshot& snapshot, const UnitLife& life) {
  if (!life.end || !life.end->fault) {
    return nullptr;
  }
  const auto found =
      std::find_if(snapshot.faults.begin(), snapshot.faults.end(),
                   [&](const domain::Fault& fault) { return fault.id == *life.end->fault; });
  return found == snapshot.faults.end() ? nullptr : &*found;
}

bool closed(const domain::Snapshot& snapshot, const domain::Fault& fault) {
  return fault.closed && *fault.closed <= snapshot.as_of;
}

/// What happened at one position, stand-ins left out.
struct Watch {
  std::vector<const UnitLife*> lives;
  std::vector<const UnitLife*> failures;  ///< not put down to a closed fault, by date
  std::string open_fault;
};

Watch watch(const Analyst& analyst, PositionId position) {
  const auto& snapshot = analyst.snapshot();
  Watch seen;
  const auto first = std::lower_bound(
      snapshot.lives.begin(), snapshot.lives.end(), position,
      [](const UnitLife& life, PositionId wanted) { return life.position < wanted; });
  for (auto life = first; life != snapshot.lives.end() && life->position == position; ++life) {
    if (life->stand_in) {
      continue;
    }
    seen.lives.push_back(&*life);
    if (!failed(*life)) {
      continue;
    }
    const auto* fault = fault_of(snapshot, *life);
    if (fault != nullptr && closed(snapshot, *fault)) {
      continue;
    }
    if (fault != nullptr) {
      seen.open_fault = fault->key;
    }
    seen.failures.push_back(&*life);
  }
  std::stable_sort(
      seen.failures.begin(), seen.failures.end(),
      [](const UnitLife* a, const UnitLife* b) { return a->end->date < b->end->date; });
  return seen;
}

/// The part's records as they would stand had nothing been seen of the position since `start`.
std::vector<AgeRecord> records_before(const Analyst& analyst, PartId part, const Watch& seen,
                                      Date start) {
  std::map<UnitId, const UnitLife*> here;
  for (const auto* life : seen.lives) {
    here.emplace(life->id, life);
  }
  std::vector<AgeRecord> records;
  for (auto record : analyst.lives().of_part(part)) {
    const auto found = here.find(record.unit);
    if (found == here.end() || record.to <= start) {
      records.push_back(record);
      continue;
    }
    const auto age =
        found->second->fitted < start ? analyst.lives().age(*found->second, start) : std::nullopt;
    if (record.kind != AgeRecord::Kind::repaired && age && *age > record.entry) {
      record.kind = AgeRecord::Kind::alive;
      record.exit = record.lower = *age;
      records.push_back(record);
    }
  }
  return records;
}

/// Age of whatever stood in each place when the window began, and what the place saw since.
std::vector<stocking::WatchedPlace> places_of(const Analyst& analyst,
                                              const domain::Position& position, const Watch& seen,
                                              Date start) {
  // Never less than the usual use: a meter not read yet must not turn failures into a wonder.
  domain::PlannedStretch usual;
  usual.start = start;
  usual.days = days_between(start, analyst.snapshot().as_of);
  const auto exposure =
      std::max(analyst.exposure().between(position, start, analyst.snapshot().as_of).effective,
               analyst.exposure().stretch(position, usual).effective);
  std::vector<stocking::WatchedPlace> places(static_cast<std::size_t>(position.units),
                                             {0, exposure});
  for (const auto* life : seen.lives) {
    const bool stood = life->fitted < start && (!life->end || life->end->date >= start);
    if (stood && life->unit >= 1 && life->unit <= position.units) {
      places[static_cast<std::size_t>(life->unit - 1)].age =
          analyst.lives().age(*life, start).value_or(0);
    }
  }
  return places;
}

/// Times of the failures from the first fit at the position on, in days.
stats::EventHistory history_of(const Analyst& analyst, const Watch& seen) {
  Date first = analyst.snapshot().as_of;
  for (const auto* life : seen.lives) {
    first = std::min(first, life->fitted);
  }
  stats::EventHistory history;
  history.end = days_between(first, analyst.snapshot().as_of) + 1.0;
  for (const auto* life : seen.failures) {
    history.ages.push_back(days_between(first, life->end->date) + 0.5);
  }
  return history;
}

long positions_watched(const Analyst& analyst) {
  const auto& positions = analyst.catalogue().positions;
  return std::max<long>(1, std::count_if(positions.begin(), positions.end(),
                                         [](const auto& position) { return !position.retired; }));
}

void describe(const Analyst& analyst, const domain::Position& position, PartId part,
              FaultSign& sign) {
  sign.position = position.key;
  sign.name = position.name;
  sign.part = analyst.catalogue().at(part).key;
  sign.part_name = analyst.catalogue().at(part).name;
  if (const auto* its_class = analyst.catalogue().class_of(position)) {
    sign.safety_note = its_class->safety_note;
  }
}

void add_trend(const Analyst& analyst, const Watch& seen, FaultSign& sign) {
  if (seen.failures.size() < kLeastForTrend) {
    return;
  }
  const auto history = history_of(analyst, seen);
  sign.laplace = stats::laplace_test({&history, 1}).chances.worsening;
  sign.handbook = stats::military_handbook_test({&history, 1}).chances.worsening;
}

/// The failures of the last `days`.
FaultSign look(const Analyst& analyst, const Watch& seen, int days) {
  FaultSign sign;
  sign.window_days = days;
  sign.first_day = analyst.snapshot().as_of - std::chrono::days(days);
  for (const auto* life : seen.failures) {
    if (life->end->date >= sign.first_day) {
      ++sign.failures;
      sign.units.push_back(life->id);
      const std::string what = life->part ? analyst.catalogue().at(*life->part).key : life->no_part;
      if (std::find(sign.failed.begin(), sign.failed.end(), what) == sign.failed.end()) {
        sign.failed.push_back(what);
      }
    }
  }
  return sign;
}

/// What failed last there, else what the position calls for.
std::optional<PartId> sign_part(const domain::Position& position, const Watch& seen) {
  return !seen.failures.empty() && seen.failures.back()->part ? seen.failures.back()->part
                                                              : position.part;
}

void add_chance(const Analyst& analyst, const domain::Position& position, PartId part,
                const Watch& seen, FaultSign& sign) {
  if (sign.failures == 0) {
    return;
  }
  const auto places = places_of(analyst, position, seen, sign.first_day);
  if (!(places.front().exposure > 0)) {
    return;  // what has not run cannot be judged
  }
  const long failures = std::min<long>(sign.failures, kMostFailures);
  const auto belief =
      analyst.life_belief_from(part, records_before(analyst, part, seen, sign.first_day),
                               {.lives = static_cast<double>(failures)});
  sign.chance = stocking::chance_of_as_many(belief.posterior.nodes, places, failures,
                                            positions_watched(analyst))
                    .anywhere;
}

}  // namespace

std::optional<FaultSign> fault_sign(const Analyst& analyst, const domain::Position& position) {
  const auto seen = watch(analyst, position.id);
  const int longest = static_cast<int>(std::lround(analyst.policy().fault_window_days));
  FaultSign sign = look(analyst, seen, longest);
  if (!sign_part(position, seen) || (sign.failures < kLeastFailures && seen.open_fault.empty())) {
    return std::nullopt;
  }
  const PartId part = *sign_part(position, seen);
  add_chance(analyst, position, part, seen, sign);
  for (std::size_t i = 1; i < kPartsOfWindow.size(); ++i) {
    FaultSign nearer = look(analyst, seen, std::max(1, longest / kPartsOfWindow[i]));
    if (nearer.failures >= kLeastFailures) {
      add_chance(analyst, position, part, seen, nearer);
      sign = nearer.chance < sign.chance ? nearer : sign;
    }
  }
  describe(analyst, position, part, sign);
  sign.open_fault = seen.open_fault;
  add_trend(analyst, seen, sign);
  const double least = analyst.policy().fault_chance;
  const double trend = static_cast<double>(positions_watched(analyst)) *
                       std::min(sign.laplace.value_or(1), sign.handbook.value_or(1));
  const bool told = sign.chance < least || trend < least || !sign.open_fault.empty();
  return told ? std::optional(sign) : std::nullopt;
}

std::vector<FaultSign> fault_signs(const Analyst& analyst, PartId part) {
  std::set<PositionId> positions;
  for (const auto& caller : analyst.callers_of(part)) {
    positions.insert(caller.position->id);
  }
  std::vector<FaultSign> signs;
  for (const PositionId id : positions) {
    if (auto sign = fault_sign(analyst, analyst.catalogue().at(id))) {
      signs.push_back(std::move(*sign));
    }
  }
  return signs;
}

std::vector<FaultSign> fault_signs(const Analyst& analyst, std::vector<std::string>& notes) {
  std::vector<const domain::Position*> positions;
  for (const auto& position : analyst.catalogue().positions) {
    if (!position.retired) {
      positions.push_back(&position);
    }
  }
  std::vector<std::optional<FaultSign>> found(positions.size());
  const auto reasons = for_each_apart(
      positions.size(), [&](std::size_t i) { found[i] = fault_sign(analyst, *positions[i]); });
  note_unworked(
      reasons, [&](std::size_t i) { return positions[i]->key; }, notes);
  std::vector<FaultSign> signs;
  for (auto& sign : found) {
    if (sign) {
      signs.push_back(std::move(*sign));
    }
  }
  std::stable_sort(signs.begin(), signs.end(),
                   [](const auto& a, const auto& b) { return a.chance < b.chance; });
  return signs;
}

std::vector<AgeRecord> records_without(const Analyst& analyst, PartId part,
                                       const std::vector<FaultSign>& signs) {
  std::set<UnitId> suspect;
  for (const auto& sign : signs) {
    suspect.insert(sign.units.begin(), sign.units.end());
  }
  auto records = analyst.lives().of_part(part);
  for (auto& record : records) {
    if (suspect.contains(record.unit) && record.kind != AgeRecord::Kind::repaired) {
      record.exit = record.kind == AgeRecord::Kind::interval ? record.lower : record.exit;
      record.lower = record.exit;
      record.kind = AgeRecord::Kind::alive;
    }
  }
  return records;
}

}  // namespace shearpin::advice
