#pragma once
/// Counts of a position over a trip of very many lives, interval by interval.

#include <optional>
#include <vector>

#include "stocking/count_table.hpp"
#include "stocking/many_lives.hpp"
#include "stocking/trip_lives.hpp"

namespace shearpin::stocking {

/// For trips of very many lives. An interval that starts at the departure
/// goes on from the unit that is there; one that starts later meets a process that has long settled
/// (the life left at its start has density survival / mean: Cox 1962, ch. 5), even where its
/// cut-off follows the departure within a few lives. Planned renewals are left out, since units
/// fail long before.
class StationaryCounts {
 public:
  /// By interval and reading.
  using Bands = std::vector<std::vector<PmfBand>>;

  explicit StationaryCounts(double shape) : shape_(shape) {}

  Bands counts(const TripPosition& position, const TripClock& clock, const RowNode& node,
               std::span<const TripInterval> intervals, const TripPoints& points,
               double tail_cutoff);

 private:
  PmfBand settled(double z, double tail_cutoff);
  PmfBand from_start(const TripPosition& position, double exposure, const RowNode& node,
                     double tail_cutoff);
  const CountTable& table();

  double shape_;
  std::optional<CountTable> table_;
};

}  // namespace shearpin::stocking
