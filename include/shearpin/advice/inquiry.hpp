#pragma once
/// Answers to "how often does it fail" and "why that many": the whole chain with its numbers.

#include <optional>
#include <string>
#include <vector>

#include "shearpin/advice/answers.hpp"
#include "shearpin/advice/belief.hpp"
#include "shearpin/stats/life_comparison.hpp"
#include "shearpin/stats/weibull_interval.hpp"

namespace shearpin::advice {

/// One life record as shown.
struct RecordLine {
  std::string position;
  int unit = 1;
  std::string kind;  ///< failed, alive, interval, repaired
  double entry = 0, lower = 0, exit = 0;
  double plain = 0;  ///< as run, without condition factors
  std::string remark;
};

/// How a condition ages a part, learnt from exposure with and without it.
struct FactorLine {
  std::string condition;
  double believed = 1;             ///< the class's factor
  stats::Quantiles factor{};       ///< low to high hold 80 %
  double chance_hurts = 0;         ///< P(factor > 1)
  double chance_above_belief = 0;  ///< P(factor > believed)
  double share_learnt = 0;
  double exposed = 0;  ///< plain exposure under the condition, of the records
};

/// Replacing before a failure.
struct ReplacementLine {
  std::optional<double> age;  ///< effective age; none: never pays
  double gain = 0;            ///< share of the cost of running to failure that is saved
  double chance_wears_out = 0;
  double cost_planned = 0, cost_failure = 0;
  bool belief = true;  ///< fewer than three failures, or wear-out not yet nine in ten sure
};

/// Testing what fails unseen.
struct TestIntervalLine {
  double availability = 0;        ///< wanted
  double age = 0;                 ///< of the fitted unit that wants the shortest interval; 0: new
  double interval = 0;            ///< exposure, averaged over the belief
  std::optional<double> days;     ///< the same at the usual use of the place; none: stands still
  std::optional<int> class_days;  ///< the class's custom
};

/// Maximum likelihood beside the posterior, with 90 % likelihood-ratio intervals.
struct ClassicalFit {
  stats::Weibull life{};
  stats::LifeInterval scale, shape;
};

/// `rate PART|CLASS`: what the record says, what was believed, what is believed now.
struct RateAnswer {
  Date as_of;
  std::string part, name, class_key, unit;  ///< unit of exposure: days, km, h ...
  bool of_class = false;                    ///< `part` is empty, `name` is the class's
  std::vector<std::string> parts_together;  ///< of a class: the keys of its parts
  std::string belief_source;  ///< where the class belief comes from; empty: not stated
  stats::WeibullPrior prior{};
  stats::PosteriorSummary life{};
  stats::RateInterval constant_rate{};  ///< r/T with its 90 % chi-square interval; needs T > 0
  double level = 0.9;
  double prior_p = 1;                 ///< chance, under the belief, of a record as contradicting
  double plain_exposure = 0;          ///< of the records as run, without condition factors
  stats::WeibullPrior class_prior{};  ///< before the other parts of the class were heard
  std::vector<Lender> lenders;        ///< whom `prior` has heard
  double shared_share = 0;
  std::optional<ClassicalFit> classical;  ///< where the failures allow one
  std::vector<FactorLine> factors;
  std::optional<ReplacementLine> replacement;
  std::optional<TestIntervalLine> test_interval;
  std::vector<FaultSign> signs;
  std::vector<RecordLine> records;
  std::vector<std::string> notes;
};

/// `compare PART PART`: which lasts longer. Both are judged from one belief and nothing is
/// borrowed, so that only their records differ; `first` and `second` are as `rate` has them.
struct CompareAnswer {
  Date as_of;
  RateAnswer first, second;
  bool one_class = true;
  stats::WeibullPrior prior{};  ///< of both: their class's, or half of either class's
  stats::PosteriorSummary first_life{}, second_life{};  ///< from that belief and its own record
  stats::LifeComparison lives{};
  std::vector<std::string> notes;
};

/// One row of the worth table of `explain`.
struct WorthRow {
  int n = 0;
  double chance = 0;  ///< of no shortage
  double days_without = 0;
  double cost_of_days = 0, cost_of_holding = 0;
  double total() const { return cost_of_days + cost_of_holding; }
};

/// A position whose declared workaround takes it one severity down.
struct Eased {
  std::string position, workaround;
  domain::Severity own = domain::Severity::degraded, after = domain::Severity::degraded;
};

/// `explain PART`: the reasoning behind carry (with a window) or reorder (without).
struct ExplainAnswer {
  RateAnswer rate;
  std::optional<CarryLine> carry;  ///< with a window
  std::optional<Window> window;
  ReorderLine reorder;
  LeadBelief lead;
  std::vector<double> lead_demand;        ///< P(D(L) = k)
  std::vector<double> protection_demand;  ///< P(D(review + L) = k)
  bool lead_demand_bounded = false;       ///< some of these are bounds, never too little demand
  std::vector<WorthRow> worth;            ///< for the window, else for the base
  double cost_of_day = 0;                 ///< of the severest position
  double holding_of_one = 0;              ///< cost of one piece for the time aboard
  double exposure_ahead = 0;  ///< effective, all units, over the window (or review + E L)
  double review_days = 0;
  std::vector<std::string> conditions;  ///< factors that count in the window, in words
  /// With signs of a fault: the level at base without the failures that look like one.
  std::optional<int> level_without_signs;
  std::vector<Eased> eased;  ///< severest first
};

}  // namespace shearpin::advice
