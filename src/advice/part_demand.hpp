#pragma once
/// Demand for one part over a stretch: fitted units, things used up, losses, put together.

#include <memory>
#include <string>
#include <vector>

#include "advice/analyst.hpp"
#include "advice/part_extras.hpp"
#include "stocking/consumption.hpp"
#include "stocking/fitted_demand.hpp"
#include "stocking/levels.hpp"
#include "stocking/losses.hpp"

namespace shearpin::advice {

/// The stretch as the exposure reader takes it; at least one day long, since rates are per day.
domain::PlannedStretch planned(const Window& window);

/// How the stretch is meant: a window ahead with what stands dead as demand at its start, or the
/// base, where open places are owed by the stock position and not counted again.
enum class Setting { stretch, base };

/// Positions whose day without costs the same; the severest first. Days without are costed group
/// by group, since what is at hand serves the severest first.
struct CostGroup {
  double cost_of_day = 0;
  bool safety = false;
  stocking::FittedDemand fitted;  ///< of this group and all severer ones together
  stocking::Standing standing;    ///< in these
};

/// Expected cost of days without for stock 0, 1, ..., and its share at safety positions.
struct CostOfDays {
  stocking::DaysWithout cost, safety;
};

/// Everything about one part's demand for a stretch of up to `longest_days`.
class PartDemand {
 public:
  PartDemand(const Analyst& analyst, PartId part, const LifeBelief& belief, const Window& window,
             Setting setting, double longest_days);

  /// Distribution of the total demand over each stretch of days from the window's start.
  std::vector<stocking::Pmf> totals(std::span<const double> days) const;
  stocking::Pmf total(double days) const;

  /// Days without, all positions alike.
  stocking::DaysWithout stretch_days_without(double days) const;
  /// Expected cost of the days without for stock 0, 1, ..., over the stretch; `days_without` is
  /// what stretch_days_without gave for it.
  CostOfDays stretch_cost(double days, stocking::DaysWithout days_without) const;
  /// Cost of the days without at base for stock 0, 1, ...; `days_without`: those of all positions
  /// alike, from the demand over the lead time.
  stocking::DaysWithout base_cost(const stats::LeadTimePosterior& lead, double review_days,
                                  double mean_lead_days, stocking::DaysWithout days_without) const;

  /// Days at which the demand jumps, in order.
  std::span<const double> breaks() const { return breaks_; }

  /// `total`: what total(days) gave.
  double mean_fitted(double days, const stocking::Pmf& total) const;
  double mean_consumed(double days) const;
  double mean_losses(double days) const;
  int units() const { return units_; }
  int down() const { return down_; }
  bool assumed_exposure() const { return assumed_; }
  double exposure_per_day() const { return exposure_per_day_; }
  /// Pieces that one need takes at once; the least of them where they differ.
  long set() const;
  bool any() const { return !groups_.empty() || consumed_ || losses_.losses > 0; }

 private:
  std::vector<stocking::Pmf> fitted(std::size_t group, std::span<const double> days) const;
  std::vector<stocking::Pmf> of_group(std::size_t group, std::span<const double> days) const;
  void add_units(const Analyst& analyst, PartId part, const LifeBelief& belief,
                 const Window& window, Setting setting, double longest_days);
  void add_breaks(const stocking::UnitState& unit, double longest_days);
  void add_consumption(const Analyst& analyst, PartId part, const Window& window);

  std::vector<CostGroup> groups_;
  bool consumed_ = false;
  stocking::ConsumptionRate consumption_{1, 1, 1};
  double consumed_exposure_per_day_ = 0;
  double consumed_cost_of_day_ = 0;
  bool consumed_safety_ = false;
  stocking::LossRecord losses_;
  stocking::LossBelief loss_belief_;
  std::vector<double> breaks_;
  RepairShare repairs_;
  int units_ = 0, down_ = 0;
  bool assumed_ = false;
  double exposure_per_day_ = 0;
};

}  // namespace shearpin::advice
