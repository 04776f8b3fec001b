#pragma once
/// How many to hold: the level that meets a target chance, the level worth its cost, and the larger
/// of the two. Nothing here knows severities or names; targets and costs come in as numbers.

#include <functional>
#include <limits>
#include <span>
#include <vector>

#include "stocking/distribution.hpp"
#include "stocking/lead_demand.hpp"

namespace shearpin::stocking {

/// The answer for one part.
struct Level {
  long target = 0;   ///< smallest n with P(demand <= n) >= target chance
  long worth = 0;    ///< n with the least cost of days without plus holding
  long advised = 0;  ///< the larger one
};

/// Combines two levels.
Level larger_of(long target, long worth);

/// Smallest n with P(demand <= n) >= chance: see smallest_covering.
long target_level(std::span<const double> demand, double chance);

/// Days without for every stock n = 0, 1, ...: entry n of a sequence that never rises. Past its
/// end the value is taken as 0.
using DaysWithout = std::vector<double>;

/// Cost of carrying one piece for the whole time it is aboard, in the ledger's currency:
/// price x yearly_share x days/365.25 + mass_kg x kg_month x days/30.4375.
struct HoldingCost {
  double price = 0;           ///< >= 0
  double mass_kg = 0;         ///< >= 0
  double yearly_share = 0.6;  ///< money tied up and spares never used (belief)
  double kg_month = 2.0;      ///< cost of a kilogram carried a month (belief)

  double of_one_piece(double days) const;
};

/// The n that minimises days_without[n] x cost_of_day + n x piece_cost; the smallest of equals.
/// cost_of_day, piece_cost >= 0. A piece cost of 0 gives the first n from which days without stay
/// below 1e-9.
long worth_level(std::span<const double> days_without, double cost_of_day, double piece_cost);

inline constexpr long kUnlimited = std::numeric_limits<long>::max();

/// What can stand dead for want of a part. A set of several pieces is one need: pieces that do not
/// make up a set help nobody. Where needs are sets of unlike sizes, `set` is the smallest, and days
/// without are an upper bound.
struct Standing {
  long most = 1;  ///< units; kUnlimited for consumables
  long set = 1;   ///< pieces that one takes at once; >= 1
};
/// InputError for a count below 0 or a set below 1.
void check_standing(Standing standing);

/// From P(D > n) for n = 0, 1, ... to the mean number that stands dead with n pieces,
/// sum_{j=0..most-1} P(D > n + j set), in place.
void add_up_dead(std::vector<double>& above, Standing standing);

/// Days without over a stretch of `days` from a shelf of n = 0, 1, ...:
/// integral over t in [0, days] of sum_{j=0..most-1} P(D(t) > n + j set) dt.
/// Clenshaw-Curtis in x, t = days x^2, points doubled until the result settles, pieces halved where
/// it does not. Accuracy: 1e-6 x days for each unit that may stand dead. `breaks`: days in the
/// stretch at which the demand jumps (planned renewals, marked ends); the integral is split there.
/// The result ends where the value falls below 1e-9 x days. Days 0: {0}. InputError for negative
/// days or units.
DaysWithout days_without_stretch(const DemandByDays& demand, double days, Standing standing,
                                 std::span<const double> breaks = {});

/// Days without at base for n = 0, 1, ...: (review + E L) x E (D(L) - n)^+, with D(L) the demand
/// over the lead time alone: a failure without a spare orders at once. `set`: pieces that one need
/// takes at once, counted in needs then.
DaysWithout days_without_base(std::span<const double> lead_demand, double review_days,
                              double mean_lead_days, long set = 1);

/// The policy at base: order up to `level` when the stock position is at or below `reorder_point`.
struct BasePolicy {
  Level level;  ///< S: target from D(review + L), worth from days_without_base
  long order_up_to =
      0;  ///< S; with review 0: reorder point + 1, or 0 when nothing is to be stocked
  long reorder_point = -1;  ///< S - 1; -1: do not stock
};

/// review_days > 0: S = larger of the smallest n covering protection_demand = D(review + L) and the
/// worth level; R = S - 1. review_days 0 (every use is acted on at once; pass D(L)):
/// R = smallest n covering D(L) and S = R + 1, or S = worth level if larger, then R = S - 1.
/// level.target is S before the worth level is looked at. days_without: see days_without_base.
BasePolicy base_policy(std::span<const double> protection_demand, double chance,
                       std::span<const double> days_without, double cost_of_day, double piece_cost,
                       double review_days);

/// Smallest multiple of pack >= pieces; pack >= 1. pieces <= 0 gives 0. InputError unless pack
/// >= 1.
long round_up_to_packs(long pieces, long pack);

}  // namespace shearpin::stocking
