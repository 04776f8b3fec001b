#pragma once
/// Demand for parts that are used, not fitted (tape, connectors, hose washers): events at an
/// unknown constant rate, each taking one piece or more.

#include <cstdint>
#include <span>

#include "stocking/distribution.hpp"

namespace shearpin::stocking {

/// Mean size of an event believed before any record, and the number of events that belief is worth.
inline constexpr double kBelievedEventSize = 1.5;
inline constexpr double kBelievedEventWeight = 2;

/// Class belief: exposure that one piece lasts, its median and 80 % range; 0 < low < high and
/// low <= life_median <= high. The owner's own figures may stand for the two beliefs about events:
/// event_size >= 1, event_weight > 0.
struct ConsumptionBelief {
  double life_median;
  double low;
  double high;
  double event_size = kBelievedEventSize;
  double event_weight = kBelievedEventWeight;
};

/// Gamma belief of the event rate and mean pieces an event.
/// rate of events ~ Gamma(shape, rate); piece count an event ~ 1 + geometric with mean `mean_size`.
struct ConsumptionRate {
  double shape;
  double rate;  ///< exposure; mean event rate is shape / rate
  double mean_size;

  /// Mean pieces per exposure.
  double piece_rate() const { return shape / rate * mean_size; }
};

/// Belief and record together. With u = ln(high/low) / (2 x 1.2815516) the prior event rate has
/// gamma shape 1/(exp(u^2) - 1) and mean exp(u^2/2) / (event_size life_median): the first two
/// moments of 1/life. sizes: pieces of each recorded event, >= 1, any order, possibly none;
/// exposure >= 0 since the first record of the part, in the unit of the belief. InputError for
/// anything outside.
ConsumptionRate consumption_rate(const ConsumptionBelief& belief,
                                 std::span<const std::int64_t> sizes, double exposure);

/// Pieces used over `exposure` >= 0: Panjer's recursion (Panjer 1981, ASTIN Bulletin 12, eq. 10)
/// with negative binomial counts (a = t/(1+t), b = (shape-1) t/(1+t), t = exposure/rate) and the
/// shifted geometric size, cut to kTail. InputError for a negative exposure; NumericError where
/// more than 4 x 10^6 entries would be needed.
Pmf consumption_demand(const ConsumptionRate& rate, double exposure);

/// The general recursion for counts of Panjer's class (a, b, 0): p_n = (a + b/n) p_(n-1); sizes[j]
/// is the chance of a size of j + 1. log_zero = ln P(no event). Cut to kTail. Same limits; the
/// sizes must sum to 1 within 1e-9.
Pmf panjer(double a, double b, double log_zero, std::span<const double> sizes);

}  // namespace shearpin::stocking
