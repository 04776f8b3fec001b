#pragma once
/// Counts of one position over all intervals of a trip, under one known life.

#include <cstddef>
#include <limits>
#include <vector>

#include "stocking/trip_points.hpp"

namespace shearpin::stocking {

inline constexpr std::size_t kNoCell = std::numeric_limits<std::size_t>::max();

/// An end at one instant: in cell `cell` (which its right end belongs to), `right` of the way
/// through it.
struct InstantEnd {
  std::size_t cell = kNoCell;
  double right = 1;
  double chance = 0;
};

/// Ends of units that start new at each point: chance of ending in each later cell, exact, and the
/// planned renewals.
struct NewUnitEnds {
  std::size_t cells = 0;
  std::vector<double> chance;  ///< row by row: started at point i, ended in cell j >= i
  /// Empty without renewals. By point, for units that start just there; chance is that of lasting
  /// until then, set for renewals after the trip, too.
  std::vector<InstantEnd> renewed;
  /// By cell, for units that start anywhere in it: shares of the time in which they are renewed
  /// that fall in cells from `first` on.
  struct Spread {
    std::size_t first = 0;
    std::vector<double> shares;
  };
  std::vector<Spread> spread;

  const double* row(std::size_t i) const { return chance.data() + i * cells; }
};

/// Ends of the unit fitted now.
struct FirstUnitEnds {
  std::vector<double> chance;  ///< by cell
  InstantEnd due;
  double at_start = 0;           ///< chance that it is demand on day 0
  double replaced_at_first = 0;  ///< chance that it is replaced at the first point, before day 0
};

/// P(count in (from, t] >= m) at the readings t of each interval, m = 1 .. orders.
struct IntervalTails {
  std::size_t orders = 0;
  std::vector<double> tails;  ///< (m - 1) x readings

  double at(std::size_t order, std::size_t reading, std::size_t readings) const {
    return order <= orders ? tails[(order - 1) * readings + reading] : 0;
  }
};

/// By interval.
using TripTails = std::vector<IntervalTails>;

/// Works on the points of one set: every `stride`-th. A unit that ends within a cell is replaced
/// half at its left end and half at its right (trapezoid rule with exact increments of the
/// distribution); the renewal of what replaces it is spread as the end is.
class TripSolver {
 public:
  TripSolver(const TripPoints& points, std::size_t stride);

  /// Tails below `tail_cutoff` are left out.
  void solve(const FirstUnitEnds& first, const NewUnitEnds& later, double tail_cutoff,
             TripTails& out);

 private:
  void count_window(const TripWindow& window, const NewUnitEnds& later, double at_start,
                    double tail_cutoff, IntervalTails& out);

  const TripPoints& points_;
  std::size_t stride_;
  std::size_t cells_;
  // Running through the trip, by cell: failures and renewals spread over it, and ends at one
  // instant; by point: units started by those, from its left and from its right.
  struct Flow {
    std::vector<double> ends;
    std::vector<double> renewals;
    std::vector<double> instant;
    std::vector<double> left;
    std::vector<double> right;

    void assign(std::size_t cells);
    void clear(std::size_t from, std::size_t to);
    double spread_over(std::size_t cell) const { return ends[cell] + renewals[cell]; }
    void end_at(const InstantEnd& end, double weight, std::size_t to);
    void start_at_instant(const NewUnitEnds& later, std::size_t point, std::size_t to);
    void fail_later(const NewUnitEnds& later, std::size_t point, double units, std::size_t from,
                    std::size_t to);
    void renew_later(const NewUnitEnds& later, std::size_t cell, double units, std::size_t to);
  };
  Flow flow_;
  Flow now_;
  Flow next_;
};

}  // namespace shearpin::stocking
