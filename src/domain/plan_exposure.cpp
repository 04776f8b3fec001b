#include "domain/plan_exposure.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "base/quantity.hpp"
#include "base/refuse.hpp"
#include "base/text.hpp"
#include "domain/plan_support.hpp"
#include "domain/use_curve.hpp"
#include "shearpin/domain/exposure.hpp"

namespace shearpin::domain {

using namespace planning;

namespace {

// Beliefs: times the usual rate at which a reading is remarked upon, and asked about; the days
// added to those since the last reading before it is asked about (a day on a winch is worth many
// usual ones).
constexpr double kSteepRise = 3;
constexpr double kDoubtfulRise = 20;
constexpr int kDaysOfGrace = 30;

const MeterReading* last_reading(const Snapshot& now, MeterId meter, Date on) {
  const MeterReading* last = nullptr;
  for (const MeterReading& reading : now.readings) {
    if (reading.meter == meter && reading.date <= on && (!last || reading.date >= last->date)) {
      last = &reading;
    }
  }
  return last;
}

/// As the person reads it on the dial.
std::string shown(const Meter& meter, double stored) {
  const double value = meter.unit == "mi" ? stored / kKilometresPerMile : stored;
  return plain_number(std::round(value * 1000) / 1000) + " " + meter.unit;
}

/// Mean rate a day over the readings up to `last`, since the meter was last replaced; else its
/// usual one.
std::optional<double> known_rate(const Snapshot& now, const Meter& meter,
                                 const MeterReading& last) {
  const MeterReading* first = nullptr;
  for (const MeterReading& reading : now.readings) {
    if (reading.meter == meter.id && reading.date <= last.date && (!first || reading.replaced)) {
      first = &reading;
    }
  }
  if (first && first->date < last.date && last.value > first->value) {
    return (last.value - first->value) / days_between(first->date, last.date);
  }
  return meter.usual_per_day;
}

void hint_steep(Outcome& outcome, const Snapshot& now, const Meter& meter, const MeterReading& last,
                double value, Date on) {
  const std::optional<double> usual = known_rate(now, meter, last);
  const int days = days_between(last.date, on);
  if (beyond_days(value - last.value, days, most_a_day(meter.unit)) ||
      (usual.value_or(0) > 0 &&
       value - last.value > kDoubtfulRise * *usual * (days + kDaysOfGrace))) {
    outcome.doubt =
        fmt::format("{} read {} on {}; {} is {} more in {}, many times the usual.", meter.key,
                    shown(meter, last.value), to_text(last.date), shown(meter, value),
                    shown(meter, value - last.value), counted(days, "day"));
    return;
  }
  if (!usual || *usual <= 0 || days <= 0 || value - last.value <= kSteepRise * *usual * days) {
    return;
  }
  outcome.hints.push_back(
      fmt::format("{} in {} is over three times the usual rate of {}; if a digit "
                  "slipped, take it back with undo and read again",
                  shown(meter, value - last.value), counted(days, "day"), meter.key));
}

}  // namespace

Plan plan_reading(const Snapshot& now, const ReadingRequest& request) {
  check_when(request.when);
  const Meter& meter = now.catalogue->at(request.meter);
  if (!std::isfinite(request.value) || request.value < 0) {
    refuse("{} reads {}: a reading is zero or more, such as 148200", meter.key, request.value);
  }
  const double value = meter.unit == "mi" ? request.value * kKilometresPerMile : request.value;
  const MeterReading* last = last_reading(now, meter.id, request.when.on);
  // Miles do not survive the way to kilometres and back to the last bit.
  const double slack = 1e-9 * (last ? last->value : 0);
  Plan plan;
  if (last && !request.replaced && value < last->value - slack) {
    refuse(
        "{} read {} on {} and does not run backwards to {}; take a mistyped reading back with "
        "undo, or for a new meter add --replaced",
        meter.key, shown(meter, last->value), to_text(last->date), shown(meter, value));
  }
  if (last && !request.replaced) {
    hint_steep(plan.outcome, now, meter, *last, value, request.when.on);
  }
  EntryDraft entry = start_entry(EntryKind::reading, request.when);
  entry.readings.push_back({meter.id, value, request.replaced});
  plan.entries.push_back(std::move(entry));
  return plan;
}

namespace {

/// The meter that nights are counted on; none where none is kept.
std::optional<MeterId> nights_meter(const Catalogue& catalogue, const StayRequest& request) {
  if (request.meter) {
    if (catalogue.at(*request.meter).unit != "nights") {
      refuse("{} counts {}, not nights; name a meter of nights", catalogue.at(*request.meter).key,
             catalogue.at(*request.meter).unit);
    }
    return request.meter;
  }
  std::vector<const Meter*> found;
  std::vector<std::string> keys;
  for (const Meter& meter : catalogue.meters) {
    if (meter.unit == "nights" && !meter.retired) {
      found.push_back(&meter);
      keys.push_back(meter.key);
    }
  }
  if (found.size() > 1) {
    refuse("several meters count nights: {}; say which: --meter {}", join_words(keys),
           keys.front());
  }
  return found.empty() ? std::nullopt : std::optional(found.front()->id);
}

}  // namespace

Plan plan_stay(const Snapshot& now, const StayRequest& request) {
  check_when(request.when);
  if (request.nights < 1 || request.nights > 366) {
    refuse("{} nights: a stay is from 1 to 366 nights, such as stay 3", request.nights);
  }
  Plan plan;
  EntryDraft entry = start_entry(EntryKind::stay, request.when);
  entry.stays.push_back({request.nights, request.place});
  const std::optional<MeterId> meter = nights_meter(*now.catalogue, request);
  if (!meter) {
    plan.outcome.notes.push_back(
        "no meter of nights is kept, so no exposure is counted; add one: meter add nights --rig "
        "KEY "
        "--unit nights");
    plan.entries.push_back(std::move(entry));
    return plan;
  }
  const MeterReading* last = last_reading(now, *meter, request.when.on);
  const Date start = request.when.on - std::chrono::days{request.nights};
  if (last && last->date > start) {
    refuse(
        "{} nights up to {} begin before the last count of {}, on {}; give the nights since then, "
        "at most {}",
        request.nights, to_text(request.when.on), now.catalogue->at(*meter).key,
        to_text(last->date), days_between(last->date, request.when.on));
  }
  if (!last) {
    EntryDraft zero = start_entry(EntryKind::reading, request.when);
    zero.happened = start;
    zero.readings.push_back({*meter, 0, false});
    plan.entries.push_back(std::move(zero));
    plan.outcome.notes.push_back(
        fmt::format("{} is set to 0 on {}", now.catalogue->at(*meter).key, to_text(start)));
  }
  entry.readings.push_back({*meter, (last ? last->value : 0) + request.nights, false});
  plan.entries.push_back(std::move(entry));
  return plan;
}

Plan plan_condition(const Snapshot& now, const ConditionRequest& request) {
  check_when(request.when);
  const std::string name = parse_key(request.condition, "condition");
  if (request.to && (*request.to < request.when.on || *request.to > request.when.today)) {
    refuse(
        "--to {} of {}: the last day lies between the first, {}, and today, {}; leave it out while "
        "it lasts",
        to_text(*request.to), name, to_text(request.when.on), to_text(request.when.today));
  }
  for (const ConditionPeriod& period : now.conditions) {
    const bool same_rig = !period.rig || !request.rig || *period.rig == *request.rig;
    const bool apart =
        (period.to && *period.to < request.when.on) || (request.to && *request.to < period.from);
    if (period.condition == name && same_rig && !apart) {
      refuse(
          "{} is already recorded from {} {}; to change it, undo entry {} and add it again: "
          "condition add {} --from {} --to DATE",
          name, to_text(period.from), period.to ? "to " + to_text(*period.to) : "with no end",
          period.entry.value, name, to_text(period.from));
    }
  }
  Plan plan;
  note_unknown_condition(plan.outcome, *now.catalogue, name);
  EntryDraft entry = start_entry(EntryKind::condition, request.when);
  entry.conditions.push_back({name, request.rig, request.when.on, request.to});
  plan.entries.push_back(std::move(entry));
  return plan;
}

}  // namespace shearpin::domain
