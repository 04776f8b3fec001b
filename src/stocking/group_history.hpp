#pragma once
/// One history of a group of parts on a trip, played with any pieces aboard: the same lives, the
/// same shares, the same events of use, whoever serves them.

#include <cstdint>
#include <limits>
#include <span>
#include <vector>

#include "stocking/stand_ins.hpp"
#include "stocking/trip_clock.hpp"

namespace shearpin::stocking {

/// What came of one play.
struct Played {
  std::vector<char> short_of;  ///< by part: some demand of it waited
  double days = 0, cost = 0, safety = 0;
};

class GroupHistories {
 public:
  explicit GroupHistories(std::span<const StandInPart> parts);

  /// Goes to history `number`; false where nothing is ever asked for in it.
  bool start(std::uint64_t number);

  /// Plays it with `stock` pieces, by part. Nothing stands in unless `lend`. `only`: no other part
  /// is played (then nothing is lent).
  Played play(const std::vector<long>& stock, bool lend) const { return run(stock, lend, kAll); }
  Played play_alone(std::size_t part, long stock) const;

 private:
  static constexpr std::size_t kAll = std::numeric_limits<std::size_t>::max();

  /// A position, with what its first unit does in the history at hand.
  struct Place {
    std::size_t part;
    const UnitState* unit;
    TripClock clock;
    TripStart start;
    DayCost cost;
    double first_day = 0;   ///< on which it asks first; infinity: never
    std::size_t lives = 0;  ///< drawn until then
  };
  struct Use {
    double day;
    long pieces;
  };
  struct Order {
    double day;
    double receipt;
    std::size_t part;
  };
  class Run;
  friend class Run;

  double number(std::size_t stream, std::size_t place) const;
  double life(std::size_t place, std::size_t part, std::size_t count, double age) const;
  double first_life(std::size_t place) const;
  void start_place(std::size_t place);
  void draw_use(std::size_t part);
  long taken_of(std::size_t place, std::size_t count, long pieces) const;
  Played run(const std::vector<long>& stock, bool lend, std::size_t only) const;

  std::span<const StandInPart> parts_;
  double days_ = 0;
  std::vector<Place> places_;
  std::vector<Order> orders_;  ///< by day
  std::uint64_t history_ = 0;
  std::vector<const stats::WeibullNode*> nodes_;  ///< by part, of the history at hand
  std::vector<double> taken_;                     ///< by part: share of failures that take a piece
  std::vector<std::vector<Use>> uses_;            ///< by part, by day
};

}  // namespace shearpin::stocking
