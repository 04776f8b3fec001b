#pragma once
/// A trip as one part sees it: when it can be received on the way, how hard its units run on each
/// leg, and what else takes the part. Days are counted from the departure, day 0.

#include <optional>
#include <span>
#include <vector>

#include "stocking/consumption.hpp"
#include "stocking/losses.hpp"
#include "stocking/unit_state.hpp"

namespace shearpin::stocking {

/// A stop at which this part can be received.
struct ReceiptStop {
  double receipt = 0;  ///< day d_k on which it comes aboard
  /// Last day c_k of use that the receipt makes good: d_k where the part is sold, the day of the
  /// order where it comes by parcel. 0 <= cutoff <= receipt.
  double cutoff = 0;
  /// Pieces ordered before the departure that come aboard then, whatever has failed; >= 0. What the
  /// part is brought back to rises by them.
  long brings = 0;
  /// False: those pieces alone come; nothing can be had there else, and the cut-off is not read.
  bool sells = true;
};

/// The chances to receive one part on a trip of `days` days. stops: receipts rise strictly, 0 <=
/// receipt <= days; none for a trip without a chance. Coming home on the last day need not be
/// listed.
struct TripPlan {
  double days = 0;
  std::vector<ReceiptStop> stops;
};

/// What fails in (from, to] is not replaced before `to`; the shelf runs short of it in (receipt,
/// to].
struct TripInterval {
  double from;                 ///< c_k
  double receipt;              ///< d_k
  double to;                   ///< d_(k+1)
  long brought = 0;            ///< pieces brought by then besides the n of the departure
  bool takes_in_start = true;  ///< what is dead at the start is demand of it
};

/// The intervals k = 0..K of a plan. The first starts at 0 and takes in what is dead at the start.
/// A cut-off before an earlier one is raised to that one: the shelf is no worse than without the
/// later stop. After a stop that only brings pieces the interval before it goes on, with more.
/// InputError for days that are negative, not finite or disordered.
std::vector<TripInterval> intervals_of(const TripPlan& plan);

/// Pieces taken by events of an unknown constant rate: consumption, or losses. Independent of the
/// failures.
struct ExtraDemand {
  ConsumptionRate rate = {};
  double exposure_per_day = 0;
  std::vector<ExposureSegment> legs = {};  ///< as for a unit
};

/// Losses as extra demand: Gamma rate per item as in loss_demand, one piece a loss. Nothing where
/// no loss is recorded or there is nothing to lose. InputError as loss_demand.
std::optional<ExtraDemand> loss_as_extra(const LossRecord& record, const LossBelief& belief = {});

/// Failures that are repaired without a part: the chance p that a piece is taken is Beta(took,
/// none), the same for all failures of a trip. Both > 0.
struct TakenShare {
  double took;
  double none;
};

/// Everything that takes one part (or a pool of alike parts) on a trip.
struct TripDemandInput {
  /// As for FittedDemand.
  std::vector<stats::WeibullNode> nodes;
  std::vector<UnitState> units = {};
  std::vector<ExtraDemand> extras = {};
  /// Set: only this share of the pieces that the units ask for is taken.
  std::optional<TakenShare> taken = std::nullopt;
};

}  // namespace shearpin::stocking
