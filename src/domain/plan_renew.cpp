#include <fmt/format.h>

#include "base/refuse.hpp"
#include "base/text.hpp"
#include "domain/plan_fit.hpp"
#include "domain/plan_spare.hpp"

namespace shearpin::domain {

using namespace planning;

namespace {

EndKind end_kind(const UnitLife& life, const RenewRequest& request) {
  if (life.stand_in) {
    return EndKind::stand_in_removed;
  }
  const bool past = life.marked_end && *life.marked_end <= request.when.on;
  return request.expired || past ? EndKind::expired : EndKind::renewed;
}

void check_keep(const Position& position, const UnitLife& life, EndKind kind) {
  const std::string name = unit_name(position, life.unit);
  if (!life.part) {
    refuse(
        "--keep: what comes off {} has no part number, and spares are kept by part; leave out "
        "--keep",
        name);
  }
  if (kind == EndKind::expired) {
    refuse("--keep: what comes off {} has reached its marked end and is no spare; leave out --keep",
           name);
  }
}

/// The old unit goes into its bin as a worn lot of its own.
void keep_unit(EntryDraft& entry, Outcome& outcome, const Snapshot& now, const Position& position,
               const UnitLife& life, const RenewRequest& request) {
  LotDraft lot;
  lot.part = *life.part;
  lot.state = LotState::worn;
  lot.ends = life.marked_end;
  lot.age = request.age_of ? request.age_of(life) : std::nullopt;
  if (const StockLine* sisters = life.lot ? line_of(now, *life.lot) : nullptr) {
    lot.batch = sisters->batch;
    lot.made = sisters->made;
    lot.quarantined = sisters->quarantined;
  }
  if (!lot.age) {
    add_notes(outcome.notes, {fmt::format("the age of what came off {} is not known",
                                          unit_name(position, life.unit))});
  }
  entry.lots.push_back(lot);
  add_movement(entry,
               {NewLot{entry.lots.size() - 1}, position.pieces, Outside::taken_off, *request.keep});
  outcome.kept_in = request.keep;
}

void end_old(EntryDraft& entry, Outcome& outcome, const Snapshot& now, const Position& position,
             const UnitLife& life, const RenewRequest& request) {
  const EndKind kind = end_kind(life, request);
  const bool keep = request.keep && kind != EndKind::stand_in_removed;
  if (keep) {
    check_keep(position, life, kind);
  }
  EndLine& line = end_unit(entry, life, kind, keep ? Outside::taken_off : Outside::scrapped);
  line.cause = request.cause;
  if (keep) {
    keep_unit(entry, outcome, now, position, life, request);
  }
  if (kind == EndKind::stand_in_removed) {
    add_notes(outcome.notes,
              {fmt::format("the stand-in at {} is taken out", unit_name(position, life.unit))});
  } else if (kind == EndKind::expired && !request.expired) {
    add_notes(outcome.notes,
              {fmt::format("{} had reached its marked end, {}", unit_name(position, life.unit),
                           to_text(*life.marked_end))});
  }
}

/// Where pieces lie that do not count, for the refusal.
std::string elsewhere_words(const Catalogue& catalogue, const std::vector<Elsewhere>& places) {
  std::vector<std::string> words;
  for (const Elsewhere& place : places) {
    words.push_back(fmt::format("{} {} {} in {}", place.pieces, catalogue.at(place.part).key,
                                to_text(place.why), catalogue.at(place.bin).key));
  }
  return words.empty() ? std::string() : " (" + join_words(words) + ")";
}

[[noreturn]] void refuse_no_spare(const Snapshot& now, const Position& position, const When& when) {
  if (!position.part) {
    refuse("{} has no part number; say what goes in: renew {} --with PART, or --no-part TEXT",
           position.key, position.key);
  }
  refuse(
      "no sound spare for {} is aboard on {}{}; name a bin with --from, or receive one first: "
      "receive {} 1 --into BIN",
      position.key, to_text(when.on),
      elsewhere_words(*now.catalogue, elsewhere_for(now, position, when.on)),
      now.catalogue->at(*position.part).key);
}

}  // namespace

Plan plan_renew(const Snapshot& now, const RenewRequest& request) {
  check_when(request.when);
  const Position& position = now.catalogue->at(request.position);
  const std::vector<UnitPlace> places = places_of(now, position, request.when.on);
  const ChosenUnits chosen = choose_units(position, places, request.units, request.count, true);
  for (const int unit : chosen.units) {
    const UnitPlace& place = places.at(static_cast<std::size_t>(unit - 1));
    if (!place.life) {
      refuse("{}, so there is nothing to renew; fit a unit: fit {} --from BIN",
             open_text(position, place), unit_name(position, unit));
    }
  }
  Plan plan;
  Outcome& outcome = plan.outcome;
  outcome.position = position.id;
  outcome.units = chosen.units;
  outcome.unit_why = chosen.why;
  const auto fills =
      choose_fills(now, position, chosen.units.size(), request.pick, request.when.on);
  EntryDraft entry = start_entry(EntryKind::renew, request.when);
  for (std::size_t i = 0; i < chosen.units.size(); ++i) {
    if (!fills[i]) {
      refuse_no_spare(now, position, request.when);
    }
    const UnitPlace& place = places.at(static_cast<std::size_t>(chosen.units[i] - 1));
    end_old(entry, outcome, now, position, *place.life, request);
    apply_fill(entry, position, chosen.units[i], *fills[i]);
    add_fill_line(outcome, *fills[i]);
  }
  plan.entries.push_back(entry);
  if (const auto part = outcome.part_used ? outcome.part_used : position.part) {
    add_stock_line(outcome, now, plan.entries, *part, request.when.on);
  }
  return plan;
}

}  // namespace shearpin::domain
