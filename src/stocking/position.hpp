#pragma once
/// One position under one known life: where in the stretch its first demand falls, and from there
/// the count of later ones.

#include <algorithm>
#include <cstddef>
#include <memory>
#include <optional>
#include <vector>

#include "stocking/count_table.hpp"
#include "stocking/fitted_demand.hpp"
#include "stocking/inverted_count.hpp"
#include "stocking/life.hpp"
#include "stocking/many_lives.hpp"
#include "stocking/tabulated_life.hpp"
#include "stocking/trip_clock.hpp"

namespace shearpin::stocking {

/// A position as the engine sees it; several alike are counted together.
struct Position {
  UnitState state;
  std::size_t copies = 1;
  std::shared_ptr<const TabulatedLife> other;  ///< set when the unit fitted is of another part
  std::optional<TripClock> clock = {};  ///< of uneven use; then nothing is renewed in the stretch

  /// Exposure from the start to a day; none before it, infinite on a day that never comes.
  double exposure_by(double day) const {
    if (day == kNever) return kNever;
    return clock ? clock->at(std::max(0.0, day)) : std::max(0.0, day) * state.exposure_per_day;
  }
  /// Exposure after which the unit fitted falls due: infinite past the end of the stretch.
  double due_exposure(double due_day, double days) const {
    return clock && due_day > days ? kNever : exposure_by(due_day);
  }
  bool starts_with_demand() const {
    return state.down || (state.due_days <= 0 && !(state.before > 0) && !(state.before_days > 0));
  }
  /// Only what one shape's table and the residual life of one unit can answer.
  bool is_plain(double longest_days) const {
    return !other && !(state.before > 0) && exposure_by(longest_days) > 0 &&
           !(state.renewed_every_days <= longest_days) && state.due_days >= 0;
  }
  /// Plain, and nothing falls due: an InvertedCount can answer.
  bool is_invertible(double longest_days) const {
    return is_plain(longest_days) && (starts_with_demand() || state.due_days > longest_days);
  }
};

/// First demand of a position within a stretch: it falls where `rest` of the exposure is still to
/// come, with chance `weight`. A sum over these stands for the integral over the first life.
struct FirstDemand {
  double chance = 0;  ///< of any demand; exact, not the sum of the weights
  std::vector<double> rest;
  std::vector<double> weight;

  void clear();
  void add(double rest_exposure, double chance_there);
};

/// A unit that may have been put in before the start and be the one there at the start.
struct CarriedUnit {
  double age;       ///< at the start
  double weight;    ///< expected number put in at that age, not yet thinned by survival
  double due_days;  ///< its planned renewal, from the start
};

/// The units carried to the start of a stretch of `days` besides the one fitted now, as points of
/// an integral. Depends on `days` only through planned renewals.
std::vector<CarriedUnit> carried_units(const Position& position, const Life& life, double days);

/// The first demand of `position` within `days`, under `life` for the units of this part.
/// points: Gauss points a piece. carried: see carried_units.
void first_demand(FirstDemand& out, const Position& position, const Life& life, double days,
                  const std::vector<CarriedUnit>& carried, std::size_t points);

/// Count of a position that stands still: only what is dead or falls due.
PmfBand standing_still(const Position& position, const Life& life, double days,
                       const std::vector<CarriedUnit>& carried);

/// Count over very many lives (more than kLongestTable scales). carried: see carried_units.
PmfBand over_many_lives(const Position& position, const Life& life, double days, double tail_cutoff,
                        const std::vector<CarriedUnit>& carried = {});

/// The same without the error of that series; the position is_invertible.
PmfBand over_many_lives(const Position& position, double scale, double days, double tail_cutoff,
                        InvertedCount& counts);

}  // namespace shearpin::stocking
