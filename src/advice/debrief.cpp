#include "advice/debrief.hpp"

#include <algorithm>
#include <map>

#include "advice/past_demand.hpp"
#include "advice/shared.hpp"

namespace shearpin::advice {
namespace {

std::string what_happened(domain::EndKind kind) {
  switch (kind) {
    case domain::EndKind::failed:
      return "failed";
    case domain::EndKind::failed_on_test:
      return "found failed";
    case domain::EndKind::expired:
      return "ran out";
    case domain::EndKind::lost:
      return "lost";
    case domain::EndKind::renewed:
    case domain::EndKind::stand_in_removed:
      break;
  }
  return "";
}

/// When the same place next held something sound, if ever.
std::optional<Date> next_fit(const domain::Snapshot& snapshot, const domain::UnitLife& ended) {
  std::optional<Date> next;
  for (const auto& life : snapshot.lives) {
    const bool here = life.position == ended.position && life.unit == ended.unit;
    if (here && !life.stand_in && life.id != ended.id && life.fitted >= ended.end->date &&
        (!next || life.fitted < *next)) {
      next = life.fitted;
    }
  }
  return next;
}

std::vector<DebriefEvent> events_of(const domain::Snapshot& today, Date from, Date to) {
  std::vector<DebriefEvent> events;
  for (const auto& life : today.lives) {
    if (!life.end || life.stand_in || life.end->date < from || life.end->date > to) {
      continue;
    }
    DebriefEvent event;
    event.what = what_happened(life.end->kind);
    if (event.what.empty()) {
      continue;
    }
    const auto& position = today.catalogue->at(life.position);
    event.date = life.end->date;
    event.position = position.key;
    event.name = position.name;
    const auto part = position.part ? position.part : life.part;
    event.part = part ? today.catalogue->at(*part).key : "";
    event.cause = life.end->cause;
    const auto next = next_fit(today, life);
    event.still_open = !next || *next > to;
    event.days_open = days_between(event.date, event.still_open ? to : *next);
    events.push_back(std::move(event));
  }
  std::stable_sort(events.begin(), events.end(),
                   [](const auto& a, const auto& b) { return a.date < b.date; });
  return events;
}

bool worst_first(const DebriefLine& a, const DebriefLine& b) {
  if ((a.short_of > 0) != (b.short_of > 0)) {
    return a.short_of > 0;
  }
  if ((a.asked > 0) != (b.asked > 0)) {
    return a.asked > 0;
  }
  return a.part < b.part;
}

}  // namespace

DebriefAnswer advise_debrief(const domain::Snapshot& today, const domain::Snapshot& then,
                             const domain::Trip& trip, const domain::Trip& again) {
  DebriefAnswer answer;
  answer.as_of = today.as_of;
  answer.trip = trip.key;
  answer.name = trip.name;
  answer.from = trip.departure();
  answer.to = std::min(trip.end(), today.as_of);
  answer.under_way = today.as_of < trip.end();
  answer.events = events_of(today, answer.from, answer.to);

  const Analyst analyst_then(then);
  const Analyst analyst_now(today);
  const auto told =
      carry_answer(analyst_then, trip_window(trip, then.as_of), parts_asked(analyst_then, {}));
  const auto now =
      carry_answer(analyst_now, trip_window(again, today.as_of), parts_asked(analyst_now, {}));
  answer.readiness_told = told.readiness_aboard;
  std::map<PartId, std::int64_t> advised_now;
  for (const auto& line : now.lines) {
    advised_now[line.id] = line.carry;
  }
  const auto demand = past_demand(today);
  for (const auto& line : told.lines) {
    DebriefLine part;
    part.part = line.part;
    part.name = line.name;
    part.severity = line.severity;
    part.aboard = line.stock.aboard;
    part.advised = line.carry;
    part.chance_told = line.chance_aboard;
    if (const auto found = demand.find(line.id); found != demand.end()) {
      part.asked = pieces_between(found->second, answer.from - std::chrono::days(1), answer.to);
    }
    part.short_of = std::max<std::int64_t>(0, part.asked - part.aboard);
    part.for_nothing = std::max<std::int64_t>(0, part.aboard - part.asked);
    part.advised_now = advised_now[line.id];
    for (const auto& event : answer.events) {
      part.days_without += event.part == line.part ? event.days_open : 0;
    }
    if (part.aboard > 0 || part.advised > 0 || part.asked > 0) {
      answer.lines.push_back(std::move(part));
    }
  }
  std::stable_sort(answer.lines.begin(), answer.lines.end(), worst_first);
  return answer;
}

}  // namespace shearpin::advice
