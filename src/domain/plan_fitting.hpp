#pragma once
/// What fits where, and which pieces are sound: the rules behind every choice of a spare.

#include <optional>
#include <string>
#include <vector>

#include "shearpin/domain/catalogue.hpp"
#include "shearpin/domain/history.hpp"

namespace shearpin::domain {

/// A part that may serve at a position.
struct Fitting {
  PartId part;
  bool substitute = false;  ///< not the part called for
  bool temporary = false;
  std::string note;  ///< of the declaration
};

/// Parts that may serve at `position`, in order of preference: the part called for, approved
/// substitutes, temporary ones (each group in the order declared). Left out: forbidden ones, those
/// declared for another position only, and between fuses one whose rating is larger or where either
/// rating is unknown. Empty where the position calls for no part.
std::vector<Fitting> fitting_parts(const Catalogue& catalogue, const Position& position);

/// True for what protects by its rating (a fuse, a fuse link, a breaker): its class key, else its
/// own key or name, has the word fuse or breaker and not holder.
bool protects_by_rating(const Catalogue& catalogue, const Part& part);

/// The same of a place that calls for no part: by its class, else its own key or name.
bool protects_by_rating(const Catalogue& catalogue, const Position& position);

/// Why `part` may never stand for `stands_for`: a fuse of a larger or unknown rating, in words that
/// name both ratings; empty where nothing forbids it, and for a part and itself.
std::string rating_objection(const Catalogue& catalogue, const Part& part, const Part& stands_for);

/// Both fuses or breakers of known rating, and `after` is the larger one.
bool larger_rating(const Catalogue& catalogue, const Part& before, const Part& after);

/// Throws InputError saying why unless `part` may be fitted at `position`: it is called for or
/// declared as a substitute, or the position calls for no part.
void check_fits(const Catalogue& catalogue, const Position& position, PartId part);

/// Where a position calls for no part, what may follow the part that was in it: throws InputError
/// for a fuse or breaker of a larger or unknown rating, and for anything else in its place.
void check_follows(const Catalogue& catalogue, const Position& position, PartId before,
                   PartId part);

/// A marked end takes away the worth on that day: expired when `on` is the day or later.
bool expired(const StockLine& line, Date on);

/// Neither expired on that day nor quarantined. Where it lies does not matter here.
bool sound(const StockLine& line, Date on);

/// Sound pieces of a part, by where they lie.
struct SoundStock {
  std::int64_t aboard = 0;
  std::int64_t ashore = 0;
};
SoundStock sound_stock(const Catalogue& catalogue, const std::vector<StockLine>& stock, PartId part,
                       Date on);

/// The order in which pieces of one part are taken: new and repaired before worn, then first to
/// expire (no end last), then oldest received, then smaller lot number.
bool taken_before(const StockLine& a, const StockLine& b);

}  // namespace shearpin::domain
