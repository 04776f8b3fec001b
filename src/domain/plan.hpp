#pragma once
/// The rules of the commands that write: from what the ledger says on a day and what the person
/// reports, the entries to record and the facts to tell. Pure: no file, no clock, no printing.
///
/// Every `plan_...` takes a Snapshot as of `request.when.on`, with the whole catalogue and the
/// lives, stock and orders of the positions and parts concerned (a position's part and every part
/// declared as its substitute). What happened later is not seen here; the ledger checks the entries
/// against it.
///
/// All throw InputError (nothing planned) for what the rules refuse: value, rule and an accepted
/// example are named. A day after `today` is always refused.
///
/// Conventions of the entries:
/// - A fitted unit of a part number is followed through the books by one piece of its lot, which
/// moves
///   to the position when it is fitted and leaves it when its life ends. Where a unit takes several
///   pieces (cells that drain together, Position::pieces) the others go to Outside::consumed at the
///   fit, without a UsageLine: they belong to that one life.
/// - A failed, renewed or expired unit goes to Outside::scrapped, a lost one to Outside::lost, one
///   kept as a worn spare to Outside::taken_off and from there, as a lot of its own, into its bin.
/// - A unit with no lot (no part number) moves nothing.

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "shearpin/domain/draft.hpp"
#include "shearpin/domain/snapshot.hpp"

namespace shearpin::domain {

/// The day a thing happened, and the day it is told.
struct When {
  Date on;
  Date today;                    ///< `on` may not lie after it
  std::optional<Date> recorded;  ///< declared day of writing, for imported lines
  std::string note;              ///< goes into the entry
};

/// Pieces taken from one lot in one bin, or from outside (no bin; lot unset as it is made here).
struct Taken {
  PartId part;
  std::optional<LotId> lot;
  std::optional<BinId> bin;
  std::int64_t pieces = 0;
  LotState state = LotState::fresh;
};

/// Why pieces that exist do not count as spares at hand.
enum class Unusable { ashore, quarantined, expired };
std::string_view to_text(Unusable);  // ashore, quarantined, expired

/// Fitting pieces that were not taken, and why: what the person is told when nothing sound is
/// aboard.
struct Elsewhere {
  PartId part;
  BinId bin;
  std::int64_t pieces = 0;
  Unusable why = Unusable::ashore;
  std::optional<Date> expired_on;
};

/// Facts for the person, to be put into words or JSON by the caller.
struct Outcome {
  std::optional<PositionId> position;
  std::vector<int> units;           ///< unit places concerned, ascending
  std::string unit_why;             ///< "longest fitted of 4"; empty where named or the only one
  std::optional<PartId> part_used;  ///< the first, where several parts were used
  std::int64_t pieces_used = 0;
  std::string no_part;        ///< what was fitted, where it has no part number
  bool repaired = false;      ///< the same unit goes on
  std::vector<Taken> taken;   ///< every lot drawn on
  std::optional<BinId> from;  ///< where the first piece came from; none: from outside
  std::string chosen_why;   ///< "first to expire", "oldest lot", "only lot", "worn spare"; or empty
  bool substitute = false;  ///< a declared substitute was fitted
  bool temporary = false;   ///< ... one declared temporary
  std::optional<double> age_taken_over;  ///< effective age the fitted unit starts with
  bool age_unknown = false;
  bool was_there = false;                   ///< what is fitted was there when the ledger began
  std::optional<Date> marked_end;           ///< of the unit fitted
  std::optional<Date> last_good;            ///< of a failure found on a test
  std::optional<BinId> kept_in;             ///< where a worn unit was put
  std::optional<PartId> stock_of;           ///< the part whose stock is told next
  std::optional<std::int64_t> left_aboard;  ///< sound pieces of `stock_of` aboard afterwards
  std::int64_t left_ashore = 0;             ///< sound pieces of it ashore afterwards
  PlaceState left_state =
      PlaceState::fitted;      ///< of the places concerned; worst, where they differ
  std::vector<int> left_open;  ///< unit places that hold nothing sound afterwards
  std::string gets_by;         ///< workaround to tell: the position's own, else the class's advice
  std::vector<Elsewhere> elsewhere;
  std::vector<OrderId> open_orders;           ///< of `stock_of`, nothing received or partly
  std::optional<OrderId> order;               ///< matched by a receipt
  std::optional<std::int64_t> book, counted;  ///< of a stocktake
  std::vector<std::string> notes;  ///< what was decided for the person, one sentence each
  std::vector<std::string> hints;  ///< doubtful but recorded: a likely double entry
  std::string doubt;  ///< so unlikely that a person is asked before it is recorded; else empty
};

struct Plan {
  std::vector<EntryDraft> entries;  ///< in the order to record
  Outcome outcome;
};

/// Which pieces to take. All fields optional: none of them means the rule of `plan_fail`.
struct Pick {
  std::optional<PartId> part;
  std::optional<BinId> from;  ///< a bin named by the person may be ashore or hold doubtful pieces
  std::string batch;          ///< only pieces of this batch
  std::optional<LotState> state;  ///< only worn (a take-off), only new ...
  std::string no_part;            ///< fitted from outside, with no part number: its description
  bool from_outside = false;      ///< bought or given and fitted at once, never in a bin
  bool empty() const {
    return !part && !from && batch.empty() && !state && no_part.empty() && !from_outside;
  }
};

/// The effective age of a fitted unit on the day of the plan; none where it is not known. Called
/// for units that are kept as worn spares, once each.
using AgeOf = std::function<std::optional<double>(const UnitLife&)>;

}  // namespace shearpin::domain
