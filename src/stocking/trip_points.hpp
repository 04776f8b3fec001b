#pragma once
/// The days at which the renewal sums of a trip are carried out, and where they are read.

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "stocking/trip_clock.hpp"

namespace shearpin::stocking {

/// A day at which something begins, ends or jumps.
struct TripBreak {
  double day;
  bool fresh = false;  ///< units start new here: demand goes on like a power of the time since
};

/// Fine cells of a coarse one.
inline constexpr std::size_t kFineCells = 4;

/// A point at which the demand of an interval is read; `weight` integrates over (receipt, to].
struct TripReading {
  std::size_t point;
  double weight;
};

/// Where one interval starts, and its readings in order; the last one is its end.
struct TripWindow {
  std::size_t from;
  std::size_t to;
  std::vector<TripReading> readings;
  bool takes_in_start = true;
};

/// Points of one fineness. Each coarse cell is cut in kFineCells fine ones; intervals start and are
/// read at the ends of coarse cells. Sums over every point, every second and every fourth are
/// extrapolated.
struct TripPoints {
  std::vector<double> days;
  std::size_t start = 0;  ///< of day 0
  std::vector<TripWindow> windows;

  std::size_t cells() const { return days.size() - 1; }
};

/// Lays points over a trip.
class TripLayout {
 public:
  /// breaks: what matters besides the intervals' own days and the clocks' breaks; those past the
  /// end of the trip are left out. longest_cell_days: no coarse cell is longer.
  TripLayout(std::vector<TripInterval> intervals, std::span<const TripClock> clocks,
             std::vector<TripBreak> breaks, double longest_cell_days);

  /// The most exposure of any clock, from its start to the end of the trip.
  double reach() const { return reach_; }
  /// Points whose coarse cells hold no more than `exposure` of any clock.
  TripPoints points(double exposure) const;

 private:
  struct Piece {
    double low;
    double high;
    double exposure;
    bool fresh;
    bool instant;  // holds a jump, and no time to speak of
  };

  std::vector<TripInterval> intervals_;
  std::vector<Piece> pieces_;
  double reach_ = 0;
  double longest_cell_days_;
};

/// Exposures of one clock between all pairs of points, each value kept once.
struct ClockTable {
  std::vector<double> exposure;      ///< at each point
  std::vector<double> differences;   ///< distinct, rising
  std::vector<std::uint32_t> index;  ///< of exposure[j] - exposure[i], row i, i <= j
  std::size_t points = 0;

  ClockTable(const TripClock& clock, const TripPoints& points_of);
  const std::uint32_t* row(std::size_t i) const { return index.data() + i * points; }
};

}  // namespace shearpin::stocking
