#pragma once
/// What several plans share: dates, unit places, lines of an entry. Private to the domain module.

#include <string>
#include <vector>

#include "domain/plan.hpp"
#include "shearpin/base/date.hpp"
#include "shearpin/base/money.hpp"

namespace shearpin::domain {
using shearpin::to_text;  // dates and money beside the word lists of this namespace
}

namespace shearpin::domain::planning {

/// Throws InputError for a day after today.
void check_when(const When& when);

/// A note where no component class is sensitive to a condition of this name, with the known ones.
void note_unknown_condition(Outcome& outcome, const Catalogue& catalogue, const std::string& name);

/// Throws InputError unless 1 <= pieces <= 1,000,000.
void check_pieces(std::int64_t pieces, const std::string& part_key);

/// An entry with its day, declared day of writing and note.
EntryDraft start_entry(EntryKind kind, const When& when);

/// `text` put before what the note says already.
void add_note(EntryDraft& entry, const std::string& text);

/// A unit place of a position on a day.
struct UnitPlace {
  int unit = 1;
  PlaceState state = PlaceState::empty;
  const UnitLife* life = nullptr;  ///< fitted that day, stand-ins included; into the snapshot
  const UnitLife* last = nullptr;  ///< of those ended by that day, the latest
  std::optional<Date> since;       ///< of an open place
  std::string note;                ///< of an open place
};

/// All places 1..units; lives that began after `on` are not seen.
std::vector<UnitPlace> places_of(const Snapshot& now, const Position& position, Date on);

/// `l21`, or `l10/2` where the position has several units.
std::string unit_name(const Position& position, int unit);

/// `l12 is dead since 2025-04-06`: what stands in a place that holds nothing sound.
std::string open_text(const Position& position, const UnitPlace& place);

/// Units of a position, ascending, and why these.
struct ChosenUnits {
  std::vector<int> units;
  std::string why;
};

/// The named units after checking that they exist and differ, else the longest fitted; stand-ins
/// before all others where wanted, else only where nothing else is fitted. Where nothing is fitted
/// and one place is open, that one. InputError where there are fewer fitted than `count`.
ChosenUnits choose_units(const Position& position, const std::vector<UnitPlace>& places,
                         const std::vector<int>& named, int count, bool stand_ins_first);

/// Checks the units that a person named; ascending.
std::vector<int> check_units(const Position& position, const std::vector<int>& named);

/// Adds `line`, joined with an equal one (same lot and places) already there.
void add_movement(EntryDraft& entry, const MovementLine& line);

/// Ends a life and moves its piece, if it has a lot, to `where_to`.
EndLine& end_unit(EntryDraft& entry, const UnitLife& life, EndKind kind, Outside where_to);

/// The last day a unit is known to have been good: the latest of its fit, its repairs and the
/// passed tests of its place on or before `on`.
Date last_known_good(const Snapshot& now, const UnitLife& life, Date on);

/// A line of stock of this lot, any bin; nullptr where none is left.
const StockLine* line_of(const Snapshot& now, LotId lot);

/// Made + shelf life of the part, where it has one.
std::optional<Date> end_from_made(const Catalogue& catalogue, const Part& part,
                                  std::optional<Date> made);

/// Sums sound stock of `part` after `entries`, and its open orders, into the outcome.
void add_stock_line(Outcome& outcome, const Snapshot& now, const std::vector<EntryDraft>& entries,
                    PartId part, Date on);

/// What gets the person by at a position: its own words, else its class's advice.
std::string gets_by(const Catalogue& catalogue, const Position& position);

}  // namespace shearpin::domain::planning
