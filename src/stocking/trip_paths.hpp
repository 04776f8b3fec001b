#pragma once
/// Histories of a trip, drawn coordinate by coordinate.

#include <cstdint>
#include <span>
#include <vector>

#include "stocking/life.hpp"
#include "stocking/trip_clock.hpp"

namespace shearpin::stocking {

/// Exposure left to a unit of age `age`, from a number in (0, 1).
inline double life_left(const stats::WeibullNode& node, double age, double number) {
  return Life(node.scale, node.shape).reach(age, -std::log(number));
}

/// Uniform numbers in (0, 1) of one history: the first coordinates are given, the rest generated.
class PathNumbers {
 public:
  PathNumbers(std::span<const std::uint64_t> points, std::span<const std::uint64_t> shifts,
              std::uint64_t seed)
      : points_(points), shifts_(shifts), state_(seed) {}

  /// Coordinate `place`, or a generated number past those given.
  double at(std::size_t place);
  double generated();

 private:
  std::span<const std::uint64_t> points_;
  std::span<const std::uint64_t> shifts_;
  std::uint64_t state_;
};

/// One step of the splitmix64 generator (Steele, Lea and Flood 2014).
std::uint64_t next_number(std::uint64_t& state);

/// Draws histories and finds the largest demand of any interval.
class TripPaths {
 public:
  TripPaths(const TripDemandInput& input, const TripPlan& plan);

  /// Coordinates that are worth giving.
  std::size_t useful_coordinates() const;
  /// The largest D(c_k, d_(k+1)] of one history, less what was brought by then; at least 0.
  long largest_demand(PathNumbers& numbers);

 private:
  void run_unit(std::size_t unit, std::size_t node, PathNumbers& numbers);
  void run_extra(std::size_t extra, PathNumbers& numbers);
  void add_demand(double day, long pieces);
  double first_life(std::size_t unit, std::size_t node, PathNumbers& numbers) const;

  const TripDemandInput& input_;
  std::vector<TripInterval> intervals_;
  double days_;
  std::vector<TripClock> clocks_;
  std::vector<TripStart> starts_;
  std::vector<TripClock> extra_clocks_;
  std::vector<double> reach_;    // of the nodes' weights, added up
  std::vector<double> hazards_;  // node by node: of each first life over the whole trip
  std::vector<double> bounds_;   // days that part the intervals; 0 first
  struct Bins {
    std::size_t from;
    std::size_t to;
  };
  std::vector<Bins> bins_;    // of each interval: (from, to]
  std::vector<long> demand_;  // at the start, then by part between the bounds
  double taken_ = 1;          // share of pieces taken in the history at hand
  PathNumbers* numbers_ = nullptr;
};

}  // namespace shearpin::stocking
