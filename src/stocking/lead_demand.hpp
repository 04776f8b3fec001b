#pragma once
/// Demand over a random time: the distribution of D(review + L) for a lead time L.

#include <functional>
#include <span>
#include <vector>

#include "shearpin/stats/lead_time.hpp"
#include "stocking/distribution.hpp"

namespace shearpin::stocking {

/// Gives the demand distribution of each stretch of days asked for, in order. Must be monotone in
/// days (more days never less demand). Called a few times, with many stretches at once.
using DemandByDays = std::function<std::vector<Pmf>(std::span<const double> days)>;

/// The longest stretch of days that demand_over_lead asks for: review + the lead time that all but
/// 1e-9 are shorter than (for FittedDemand's longest_days).
double longest_days(const stats::LeadTimePosterior& lead, double review_days);

struct LeadDemand {
  Pmf demand;
  /// Some of it did not settle: counted there is a bound, never less demand than there is.
  bool bounded = false;
};

/// Mixture of demand(review_days + L) over the lead time, all but 1e-9 of it at either end (or 6
/// spreads past the outermost mean), to 1e-6: the points of each piece are doubled until no P(D <=
/// n) moves by more than 1e-7. `breaks`: days at which the demand jumps (marked ends, renewals), in
/// any order; the integral is split there. Where a piece does not settle in some hundreds of
/// points, as at a jump that is not named, the larger of two bounds of its demand counts. Nodes
/// that carry less than 1e-10 of the weight are left out. review_days >= 0. InputError for bad
/// input.
LeadDemand demand_over_lead(const DemandByDays& demand, const stats::LeadTimePosterior& lead,
                            double review_days, std::span<const double> breaks = {});

/// The same integrator over any density of ln L on [low, high], which must hold all but 1e-9 of
/// the mass. NumericError where it holds none.
LeadDemand demand_over_log_time(const DemandByDays& demand,
                                const std::function<double(double)>& density, double low,
                                double high, double review_days,
                                std::span<const double> breaks = {});

}  // namespace shearpin::stocking
