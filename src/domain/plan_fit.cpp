#include "domain/plan_fit.hpp"

#include <fmt/format.h>

#include <cmath>

#include "base/refuse.hpp"
#include "base/text.hpp"
#include "domain/plan_spare.hpp"
#include "shearpin/base/error.hpp"

namespace shearpin::domain {

using namespace planning;

namespace {

void check_dates(const When& when, std::optional<Date> made, std::optional<Date> ends) {
  if (made && *made > when.on) {
    refuse("--made {} lies after the day it was fitted, {}; give the date on the piece",
           to_text(*made), to_text(when.on));
  }
  if (made && ends && *ends < *made) {
    refuse("--ends {} lies before --made {}; the marked end comes after the making", to_text(*ends),
           to_text(*made));
  }
}

void check_request(const FitRequest& request) {
  check_when(request.when);
  check_dates(request.when, request.made, request.ends);
  if (request.age && request.age_unknown) {
    refuse("--age is either a number or unknown, such as --age 310 or --age unknown");
  }
  if (request.age && (!std::isfinite(*request.age) || *request.age < 0)) {
    refuse("--age {}: an age is zero or more, such as --age 310", *request.age);
  }
}

/// Places to fill: those named, which must not be fitted, else all that hold nothing sound.
std::vector<int> units_to_fill(const Position& position, const std::vector<UnitPlace>& places,
                               const std::vector<int>& named) {
  std::vector<int> units = check_units(position, named);
  for (const int unit : units) {
    const UnitPlace& place = places.at(static_cast<std::size_t>(unit - 1));
    if (place.state == PlaceState::fitted) {
      refuse("{}; log what became of that unit: fail {} or renew {}", open_text(position, place),
             unit_name(position, unit), unit_name(position, unit));
    }
  }
  if (!units.empty()) {
    return units;
  }
  for (const UnitPlace& place : places) {
    if (place.state != PlaceState::fitted) {
      units.push_back(place.unit);
    }
  }
  if (units.empty()) {
    throw InputError(
        position.units == 1
            ? fmt::format("{}; log what became of that unit: fail {} or renew {}",
                          open_text(position, places.front()), position.key, position.key)
            : fmt::format("all {} units of {} are fitted; log what became of one: fail {}/1 or "
                          "renew {}/1",
                          position.units, position.key, position.key, position.key));
  }
  return units;
}

[[noreturn]] void refuse_nameless(const Position& position) {
  refuse(
      "{0} has no part number; name what goes in: fit {0} PART, or --no-part TEXT for something "
      "without one, or give it one: position set {0} --part PART",
      position.key);
}

bool never_held(const std::vector<UnitPlace>& places, const std::vector<int>& units) {
  for (const int unit : units) {
    const UnitPlace& place = places.at(static_cast<std::size_t>(unit - 1));
    if (place.life || place.last) {
      return false;
    }
  }
  return true;
}

/// What the person said about age and dates goes before what the lot says.
void take_over(Fill& fill, const Catalogue& catalogue, const FitRequest& request, Outside origin) {
  fill.origin = request.origin.value_or(origin);
  if (request.age || request.age_unknown) {
    fill.age = request.age;
    fill.age_unknown = request.age_unknown;
  }
  if (request.made) {
    fill.made = request.made;
  }
  if (fill.part && request.made) {
    const Part& part = catalogue.at(*fill.part);
    const ComponentClass* kind = catalogue.class_of(part);
    if (kind && kind->dated) {
      fill.marked_end = end_from_made(catalogue, part, request.made);
    }
  }
  if (request.ends) {
    fill.marked_end = request.ends;
  }
}

/// A piece fitted from outside while sound ones lie aboard: likely one of these was taken.
void hint_aboard(Outcome& outcome, const Snapshot& now, const Position& position,
                 const FitRequest& request) {
  if (request.pick.from || request.pick.from_outside || !outcome.part_used) {
    return;
  }
  const StockLine* first = nullptr;
  std::int64_t pieces = 0;
  for (const StockLine& line : now.stock) {
    if (line.part == *outcome.part_used && sound(line, request.when.on) &&
        !now.catalogue->at(line.bin).ashore && line.quantity > 0) {
      first = first && taken_before(*first, line) ? first : &line;
      pieces += line.quantity;
    }
  }
  if (first) {
    outcome.hints.push_back(fmt::format(
        "taken as bought or given and fitted at once: the {} of {} aboard {} left alone. If it was "
        "one of those: shearpin undo, then shearpin fit {} --from {}",
        pieces, now.catalogue->at(*outcome.part_used).key, pieces == 1 ? "is" : "are", position.key,
        now.catalogue->at(first->bin).key));
  }
}

void note_end(Outcome& outcome, const When& when) {
  if (outcome.marked_end && *outcome.marked_end <= when.on) {
    add_notes(outcome.notes, {fmt::format("the unit fitted is past its marked end, {}",
                                          to_text(*outcome.marked_end))});
  }
}

}  // namespace

Plan plan_fit(const Snapshot& now, const FitRequest& request) {
  check_request(request);
  const Position& position = now.catalogue->at(request.position);
  const std::vector<UnitPlace> places = places_of(now, position, request.when.on);

  Plan plan;
  Outcome& outcome = plan.outcome;
  outcome.position = position.id;
  outcome.units = units_to_fill(position, places, request.units);
  Pick pick = request.pick;
  if (!position.part && !pick.part && pick.no_part.empty()) {
    refuse_nameless(position);
  }
  pick.from_outside = !pick.from;
  const auto fills = choose_fills(now, position, outcome.units.size(), pick, request.when.on);
  const Outside origin = never_held(places, outcome.units) ? Outside::before : Outside::supplier;

  EntryDraft entry = start_entry(EntryKind::fit, request.when);
  for (std::size_t i = 0; i < outcome.units.size(); ++i) {
    const int unit = outcome.units[i];
    const UnitPlace& place = places.at(static_cast<std::size_t>(unit - 1));
    if (place.life) {
      end_unit(entry, *place.life, EndKind::stand_in_removed, Outside::scrapped);
      add_notes(outcome.notes, {open_text(position, place) + "; the stand-in is taken out"});
    }
    Fill fill = *fills[i];
    take_over(fill, *now.catalogue, request, origin);
    apply_fill(entry, position, unit, fill);
    add_fill_line(outcome, fill);
  }
  note_end(outcome, request.when);
  outcome.was_there = origin == Outside::before;
  if (!outcome.was_there) {  // what was there when the ledger began came from no bin
    hint_aboard(outcome, now, position, request);
  }
  plan.entries.push_back(entry);
  if (const auto part = outcome.part_used ? outcome.part_used : position.part) {
    add_stock_line(outcome, now, plan.entries, *part, request.when.on);
  }
  return plan;
}

}  // namespace shearpin::domain
