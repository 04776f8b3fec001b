#pragma once
/// Histories of parts on a trip, each played with any pieces aboard: the same lives, the same
/// shares, the same events of use, the same lead times, whoever serves them.

#include <cstdint>
#include <limits>
#include <span>
#include <vector>

#include "stocking/stand_ins.hpp"
#include "stocking/trip_clock.hpp"
#include "stocking/trip_simulation.hpp"

namespace shearpin::stocking {

/// What came of one play.
struct Played {
  struct Part {
    bool was_short = false;  ///< some demand of it waited
    double days = 0;         ///< without, unit by unit
    double asked = 0;        ///< pieces
  };
  std::vector<Part> parts;
  double days = 0, cost = 0, safety = 0;
};

/// Pieces asked for on a day.
struct Ask {
  double day;
  long pieces;
};

/// One step of the splitmix64 generator (Steele, Lea and Flood 2014).
std::uint64_t next_number(std::uint64_t& state);
/// A number in (0, 1) from 64 random bits.
double uniform(std::uint64_t bits);

class TripHistories {
 public:
  /// `leads`: by part, or none at all: parcels take their planned time.
  explicit TripHistories(std::span<const StandInPart> parts,
                         std::span<const LeadSampler> leads = {});

  /// Goes to the history of that key; false where nothing is ever asked for in it. Keys may share
  /// their last 48 bits. `given`: numbers in (0, 1) for the first draws of a history of one part,
  /// in the order of their weight: its life, the share of failures that take a piece, rate and
  /// first event of each extra demand, three lives of every unit.
  bool start(std::uint64_t key, std::span<const double> given = {});

  /// What one part is asked for, by day, with more pieces aboard than can be asked for.
  std::vector<Ask> asked() const;

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
  struct Order {
    double day;
    std::size_t part;
    std::size_t stop;
  };
  class Run;
  friend class Run;

  double number(std::size_t stream, std::size_t place) const;
  std::size_t given_place(std::size_t stream, std::size_t place) const;
  double life(std::size_t place, std::size_t part, std::size_t count, double age) const;
  double first_life(std::size_t place) const;
  void start_place(std::size_t place);
  void draw_use(std::size_t part);
  long taken_of(std::size_t place, std::size_t count, long pieces) const;
  double arrival(const Order& order) const;
  Played run(const std::vector<long>& stock, bool lend, std::size_t only) const;

  std::span<const StandInPart> parts_;
  std::span<const LeadSampler> leads_;
  double days_ = 0;
  std::vector<Place> places_;
  std::vector<Order> orders_;  ///< by day
  std::uint64_t key_ = 0;
  std::span<const double> given_;
  std::vector<const stats::WeibullNode*> nodes_;  ///< by part, of the history at hand
  std::vector<double> taken_;                     ///< by part: share of failures that take a piece
  std::vector<std::vector<Ask>> uses_;            ///< by part, by day
};

}  // namespace shearpin::stocking
