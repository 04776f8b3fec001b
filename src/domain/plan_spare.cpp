#include "domain/plan_spare.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <tuple>

#include "base/quantity.hpp"
#include "base/refuse.hpp"
#include "base/text.hpp"

namespace shearpin::domain::planning {

namespace {

Source source_of(const Pick& pick) {
  return {pick.from, pick.batch, pick.state, pick.from.has_value(), false};
}

/// Age and dates that a unit takes over from the lot of its first piece.
void inherit(Fill& fill, const Snapshot& now) {
  const Catalogue& catalogue = *now.catalogue;
  const StockLine* line = line_of(now, *fill.taken.front().lot);
  const Part& part = catalogue.at(*fill.part);
  const ComponentClass* kind = catalogue.class_of(part);
  fill.age = line->age;
  fill.age_unknown = line->state == LotState::worn && !line->age;
  fill.made = line->made;
  if (kind && kind->dated) {
    fill.marked_end = line->ends ? line->ends : end_from_made(catalogue, part, line->made);
  }
}

Fill take_fill(Shelf& shelf, const Snapshot& now, const Position& position, const Fitting& fitting,
               const Source& source, Date on) {
  Fill fill;
  fill.part = fitting.part;
  fill.substitute = fitting.substitute;
  fill.temporary = fitting.temporary;
  fill.why = shelf.why_first(fitting.part, source);
  fill.taken = shelf.take(fitting.part, position.pieces, source);
  fill.notes = doubts(now, fill.taken, on);
  if (fitting.substitute) {
    const Catalogue& catalogue = *now.catalogue;
    const std::string& key = catalogue.at(fitting.part).key;
    const std::string& for_key = catalogue.at(*position.part).key;
    fill.notes.push_back(
        fitting.temporary
            ? fmt::format("{} stands for {} for the time being only; fit {} when it can be had",
                          key, for_key, for_key)
            : fmt::format("{} is a declared substitute for {}", key, for_key));
  }
  inherit(fill, now);
  return fill;
}

/// Of the units with a part number fitted there by that day the latest one's part.
std::optional<PartId> latest_part(const Snapshot& now, const Position& position, Date on) {
  const UnitLife* latest = nullptr;
  for (const UnitLife& life : now.lives) {
    if (life.position == position.id && life.part && life.fitted <= on &&
        (!latest || std::tuple(life.fitted, life.id) > std::tuple(latest->fitted, latest->id))) {
      latest = &life;
    }
  }
  return latest ? latest->part : std::nullopt;
}

/// The parts to try, best first: the one named, else all that fit.
std::vector<Fitting> candidates(const Snapshot& now, const Position& position, const Pick& pick,
                                Date on) {
  const Catalogue& catalogue = *now.catalogue;
  std::vector<Fitting> fitting = fitting_parts(catalogue, position);
  if (!pick.part) {
    return fitting;
  }
  check_fits(catalogue, position, *pick.part);
  if (const auto before = latest_part(now, position, on); before && !position.part) {
    check_follows(catalogue, position, *before, *pick.part);
  }
  const auto named = std::find_if(fitting.begin(), fitting.end(),
                                  [&](const Fitting& one) { return one.part == *pick.part; });
  if (named != fitting.end()) {
    return {*named};
  }
  return {{*pick.part, false, false, {}}};
}

[[noreturn]] void refuse_no_part(const Position& position) {
  refuse(
      "{} has no part number; name what goes in: --with PART, or --stand-in TEXT for something of "
      "no part number, or give it one: position set {} --part PART",
      position.key, position.key);
}

Fill outside_fill(const Snapshot& now, const Position& position, const Pick& pick, Date on) {
  Fill fill;
  fill.no_part = pick.no_part;
  fill.batch = pick.batch;
  if (!pick.no_part.empty()) {
    return fill;
  }
  const std::vector<Fitting> fitting = candidates(now, position, pick, on);
  if (fitting.empty()) {
    refuse_no_part(position);
  }
  fill.part = fitting.front().part;
  fill.substitute = fitting.front().substitute;
  fill.temporary = fitting.front().temporary;
  fill.age_unknown = pick.state == LotState::worn;
  fill.taken.push_back({*fill.part, {}, {}, position.pieces, pick.state.value_or(LotState::fresh)});
  return fill;
}

/// What to look at where the rating of what goes in cannot be compared with that of the place, and
/// where its class is not that of the place.
std::vector<std::string> rating_notes(const Snapshot& now, const Position& position,
                                      const Fill& fill, Date on) {
  const Catalogue& catalogue = *now.catalogue;
  const ComponentClass* kind = catalogue.class_of(position);
  std::vector<std::string> notes;
  if (fill.part && !position.part && kind) {
    const ComponentClass* own = catalogue.class_of(catalogue.at(*fill.part));
    if (own && own->id != kind->id) {
      notes.push_back(fmt::format("{} is of class {} and {} of class {}",
                                  catalogue.at(*fill.part).key, own->key, position.key, kind->key));
    }
  }
  const bool guards = fill.part ? protects_by_rating(catalogue, catalogue.at(*fill.part))
                                : protects_by_rating(catalogue, position);
  if (!guards) {
    return notes;
  }
  const auto reference = position.part ? position.part : latest_part(now, position, on);
  const bool compared = fill.part && reference;
  if (!compared && reference && catalogue.at(*reference).rating_ampere) {
    notes.push_back(
        fmt::format("{} takes {} A: what goes in must have that rating or a smaller one",
                    position.key, plain_number(*catalogue.at(*reference).rating_ampere)));
  } else if (!compared) {
    notes.push_back(
        fmt::format("the rating that {} takes is not known here: read it off the holder "
                    "or the wire, and fit no larger one",
                    position.key));
  }
  return notes;
}

std::optional<Fill> best_fill(Shelf& shelf, const Snapshot& now, const Position& position,
                              const std::vector<Fitting>& fitting, const Source& source, Date on) {
  for (const Fitting& one : fitting) {
    if (shelf.count(one.part, source) >= position.pieces) {
      return take_fill(shelf, now, position, one, source, on);
    }
  }
  return std::nullopt;
}

/// The lot of pieces that come from outside: those of one entry are alike and share one.
NewLot outside_lot(EntryDraft& entry, const Position& position, const Fill& fill) {
  for (const MovementLine& move : entry.movements) {
    const auto* made_here = std::get_if<NewLot>(&move.lot);
    if (made_here && move.from == Place{fill.origin} && move.to == Place{position.id}) {
      return *made_here;
    }
  }
  LotDraft lot;
  lot.part = *fill.part;
  lot.batch = fill.batch;
  lot.made = fill.made;
  lot.ends = fill.marked_end;
  lot.age = fill.age;
  lot.state = fill.age_unknown || fill.age.value_or(0) > 0 ? LotState::worn : LotState::fresh;
  entry.lots.push_back(lot);
  return {entry.lots.size() - 1};
}

void check_pick(const Pick& pick) {
  if (!pick.no_part.empty() && (pick.part || pick.from)) {
    refuse(
        "--no-part {}: something without a part number is neither a part nor in a bin; leave out "
        "the part and --from",
        quoted(pick.no_part));
  }
  if (pick.from_outside && pick.from) {
    throw std::logic_error("a pick from outside names a bin");
  }
}

}  // namespace

std::vector<std::optional<Fill>> choose_fills(const Snapshot& now, const Position& position,
                                              std::size_t units, const Pick& pick, Date on) {
  check_pick(pick);
  if (!pick.no_part.empty() || pick.from_outside) {
    Fill fill = outside_fill(now, position, pick, on);
    add_notes(fill.notes, rating_notes(now, position, fill, on));
    return std::vector<std::optional<Fill>>(units, fill);
  }
  const std::vector<Fitting> fitting = candidates(now, position, pick, on);
  if (fitting.empty() && !pick.empty()) {
    refuse_no_part(position);
  }
  const Source source = source_of(pick);
  Shelf shelf(now, on);
  std::vector<std::optional<Fill>> fills;
  for (std::size_t i = 0; i < units; ++i) {
    fills.push_back(best_fill(shelf, now, position, fitting, source, on));
    if (fills.back()) {
      add_notes(fills.back()->notes, rating_notes(now, position, *fills.back(), on));
    }
    if (!fills.back() && !pick.empty()) {
      const std::int64_t needed = static_cast<std::int64_t>(units) * position.pieces;
      Shelf(now, on).take(fitting.front().part, needed, source);  // refuses with what is there
      refuse("{} takes {} of one part and no single fitting part has that many", position.key,
             counted(position.pieces, "piece"));
    }
  }
  return fills;
}

void apply_fill(EntryDraft& entry, const Position& position, int unit, const Fill& fill) {
  FitLine line;
  line.position = position.id;
  line.unit = unit;
  line.part = fill.part;
  line.no_part = fill.no_part;
  line.age = fill.age;
  line.age_unknown = fill.age_unknown;
  line.made = fill.made;
  line.marked_end = fill.marked_end;
  for (const Taken& taken : fill.taken) {
    if (!taken.bin) {
      line.lot = outside_lot(entry, position, fill);
      add_movement(entry, {*line.lot, 1, fill.origin, position.id});
      continue;
    }
    const std::int64_t followed = line.lot ? 0 : 1;
    if (followed == 1) {
      line.lot = *taken.lot;
      add_movement(entry, {*taken.lot, 1, *taken.bin, position.id});
    }
    if (taken.pieces > followed) {
      add_movement(entry, {*taken.lot, taken.pieces - followed, *taken.bin, Outside::consumed});
    }
  }
  entry.fits.push_back(line);
}

void add_fill_line(Outcome& outcome, const Fill& fill) {
  outcome.no_part = fill.no_part;
  for (const Taken& taken : fill.taken) {
    if (!outcome.part_used) {
      outcome.part_used = taken.part;
      outcome.from = taken.bin;
      outcome.chosen_why = fill.why;
    }
    outcome.pieces_used += taken.pieces;
    const auto same = std::find_if(outcome.taken.begin(), outcome.taken.end(), [&](const Taken& t) {
      return t.part == taken.part && t.lot == taken.lot && t.bin == taken.bin;
    });
    if (same == outcome.taken.end()) {
      outcome.taken.push_back(taken);
    } else {
      same->pieces += taken.pieces;
    }
  }
  outcome.substitute = outcome.substitute || fill.substitute;
  outcome.temporary = outcome.temporary || fill.temporary;
  outcome.age_taken_over = fill.age;
  outcome.age_unknown = fill.age_unknown;
  outcome.marked_end = fill.marked_end;
  add_notes(outcome.notes, fill.notes);
}

std::vector<Elsewhere> elsewhere_for(const Snapshot& now, const Position& position, Date on) {
  std::vector<Elsewhere> all;
  const Shelf shelf(now, on);
  for (const Fitting& one : fitting_parts(*now.catalogue, position)) {
    const std::vector<Elsewhere> places = shelf.elsewhere(one.part);
    all.insert(all.end(), places.begin(), places.end());
  }
  return all;
}

std::vector<std::string> class_spares(const Snapshot& now, const Position& position, Date on) {
  const Catalogue& catalogue = *now.catalogue;
  std::vector<std::string> sentences;
  if (position.part || !position.component_class) {
    return sentences;
  }
  const auto before = latest_part(now, position, on);
  for (const StockLine& line : now.stock) {
    const Part& part = catalogue.at(line.part);
    const Bin& bin = catalogue.at(line.bin);
    const bool serves =
        part.component_class == position.component_class && !bin.ashore &&
        line.quantity >= position.pieces && sound(line, on) &&
        (!before || rating_objection(catalogue, part, catalogue.at(*before)).empty());
    if (serves) {
      sentences.push_back(
          fmt::format("{} of {}, of the same class, in {}; if it fits there: fit {} {} --from {}",
                      line.quantity, part.key, bin.key, position.key, part.key, bin.key));
    }
  }
  return sentences;
}

std::vector<std::string> doubts(const Snapshot& now, const std::vector<Taken>& taken, Date on) {
  std::vector<std::string> notes;
  for (const Taken& one : taken) {
    const StockLine* line = one.lot ? line_of(now, *one.lot) : nullptr;
    if (!line || !one.bin) {
      continue;
    }
    const std::string& part = now.catalogue->at(one.part).key;
    const Bin& bin = now.catalogue->at(*one.bin);
    if (line->quarantined) {
      notes.push_back(fmt::format("{} from {} is quarantined{}; do not trust it", part, bin.key,
                                  line->batch.empty() ? "" : " (batch " + line->batch + ")"));
    }
    if (expired(*line, on)) {
      notes.push_back(
          fmt::format("{} from {} is past its end, {}", part, bin.key, to_text(*line->ends)));
    }
    if (bin.ashore) {
      notes.push_back(fmt::format("{} is ashore", bin.key));
    }
  }
  return notes;
}

void add_notes(std::vector<std::string>& to, const std::vector<std::string>& notes) {
  for (const std::string& note : notes) {
    if (std::find(to.begin(), to.end(), note) == to.end()) {
      to.push_back(note);
    }
  }
}

}  // namespace shearpin::domain::planning
