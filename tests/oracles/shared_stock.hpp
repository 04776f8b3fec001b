#pragma once
/// One stock that stands in for others: a dearer or temporary part that also fits where several
/// parts are wanted. Exact by convolution; demands independent given what the caller conditions on
/// (a node of the posterior).

#include <span>
#include <vector>

#include "stocking/distribution.hpp"

namespace shearpin::stocking {

/// A part that may fall back on the shared stock.
struct SharingPart {
  Pmf demand;
  long stock = 0;  ///< of its own, >= 0; used before the shared stock
};

/// The shared stock and who draws on it, in order of preference: its own demand first, then every
/// part for what its own stock does not cover.
struct SharedStock {
  Pmf own_demand;  ///< {1} for a part carried only to stand in
  long stock = 0;  ///< >= 0
  std::vector<SharingPart> parts;
};

/// What is left uncovered at the end of the stretch.
struct SharedShortage {
  /// Chance that nobody goes short. It does not depend on the order.
  double chance_of_none = 1;
  /// Pieces short: of the shared stock's own positions, then of every part, in order.
  std::vector<Pmf> pieces_short;
};

/// With T_0 the own demand and T_i = T_(i-1) + (D_i - n_i)^+, part i goes short of
/// (T_i - n)^+ - (T_(i-1) - n)^+ pieces, n the shared stock. That is who is short when pieces are
/// handed out in the order given; a piece lent to a part further down is taken back when one
/// further up needs it. The total short does not depend on that. InputError for negative stocks,
/// empty or negative distributions.
/// Accuracy: kTail for every distribution cut.
SharedShortage shared_shortage(const SharedStock& shared);

/// Mixture over nodes: weights >= 0 that sum to 1 within 1e-6 (InputError), one problem each, all
/// with as many parts.
SharedShortage shared_shortage(std::span<const double> weights, std::span<const SharedStock> nodes);

/// Expected positions standing dead out of `units`: E min(short, units), units >= 0. Integrated
/// over the days of a stretch this is the days without of a part.
double expected_dead(std::span<const double> pieces_short, long units);

}  // namespace shearpin::stocking
