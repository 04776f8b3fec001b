#pragma once
/// Choosing the pieces that a plan takes. Private to the domain module.

#include <string>
#include <vector>

#include "domain/plan_fitting.hpp"
#include "domain/plan_support.hpp"

namespace shearpin::domain::planning {

/// Where pieces may be taken from.
struct Source {
  std::optional<BinId> bin;  ///< none: any bin aboard
  std::string batch;
  std::optional<LotState> state;
  bool doubtful_too = false;  ///< expired and quarantined ones last
  bool ashore_too = false;    ///< without a bin: those ashore last
};

/// The stock while a plan draws on it.
class Shelf {
 public:
  Shelf(const Snapshot& now, Date on) : now_(&now), on_(on), lines_(now.stock) {}

  /// Pieces of `part` that the source offers.
  std::int64_t count(PartId part, const Source& source) const;

  /// Takes `pieces` in the order of taken_before, sound ones first. InputError that says what is
  /// there and where else pieces lie when the source offers fewer; nothing is then taken.
  std::vector<Taken> take(PartId part, std::int64_t pieces, const Source& source);

  /// Why the next piece of `part` from this source comes first: "only lot", "first to expire" ...
  std::string why_first(PartId part, const Source& source) const;

  /// Pieces of `part` that are ashore, quarantined or expired.
  std::vector<Elsewhere> elsewhere(PartId part) const;

 private:
  std::vector<StockLine*> offered(PartId part, const Source& source);
  [[noreturn]] void refuse_shortage(PartId part, std::int64_t pieces, const Source& source) const;

  const Snapshot* now_;
  Date on_;
  std::vector<StockLine> lines_;
};

/// What goes into one unit place.
struct Fill {
  std::optional<PartId> part;
  std::string no_part;  ///< description where there is no part number
  std::vector<Taken> taken;
  bool substitute = false, temporary = false;
  std::optional<double> age;
  bool age_unknown = false;
  std::optional<Date> made, marked_end;
  std::string batch;                   ///< of a lot made for it
  Outside origin = Outside::supplier;  ///< where it comes from when not from a bin
  std::string why;
  std::vector<std::string> notes;
};

/// A fill for each of `units` units by the rule of plan_fail. With an empty pick a unit for which
/// nothing sound is aboard gets none; a pick that cannot be met for all of them is an InputError.
std::vector<std::optional<Fill>> choose_fills(const Snapshot& now, const Position& position,
                                              std::size_t units, const Pick& pick, Date on);

/// Adds the FitLine, the movements and, for pieces from outside, a lot.
void apply_fill(EntryDraft& entry, const Position& position, int unit, const Fill& fill);

/// Parts, pieces, reasons and notes of the fills into the outcome.
void add_fill_line(Outcome& outcome, const Fill& fill);

/// Pieces that could have served at `position` but for where or how they are.
std::vector<Elsewhere> elsewhere_for(const Snapshot& now, const Position& position, Date on);

/// Where a position calls for no part: sentences on sound pieces aboard of its class, with the
/// command to fit one. Left out are fuses that may not follow what was in.
std::vector<std::string> class_spares(const Snapshot& now, const Position& position, Date on);

/// Remarks on pieces taken although expired or quarantined, or from ashore.
std::vector<std::string> doubts(const Snapshot& now, const std::vector<Taken>& taken, Date on);

/// Adds `notes` that are not there yet.
void add_notes(std::vector<std::string>& to, const std::vector<std::string>& notes);

}  // namespace shearpin::domain::planning
