#pragma once
/// What is believed of a part's life and of its lead time, with the records it rests on.

#include <optional>
#include <string>
#include <vector>

#include "shearpin/domain/life_records.hpp"
#include "shearpin/domain/snapshot.hpp"
#include "shearpin/stats/constant_rate.hpp"
#include "shearpin/stats/lead_time.hpp"
#include "shearpin/stats/weibull_posterior.hpp"

namespace shearpin::advice {

/// Another part of the class whose record moved the belief.
struct Lender {
  std::string part;
  int failures = 0;
  double exposure = 0;
  double shift = 0;  ///< of the mean of ln characteristic life, by this part alone
};

/// Life of one part: the class belief updated by the part's own records.
struct LifeBelief {
  std::string class_key;  ///< empty: no class, the vague prior was used
  domain::Basis basis = domain::Basis::days;
  stats::WeibullPrior class_prior{};       ///< as the class has it
  stats::WeibullPrior prior{};             ///< after hearing the class's other parts; else the same
  std::vector<Lender> lenders;             ///< who were heard
  double shared_share = 0;                 ///< of the class's spread, believed shared by its parts
  std::vector<domain::AgeRecord> records;  ///< as read from the history, with their remarks
  std::vector<stats::LifeRecord> lives;    ///< the same as the likelihood takes them
  stats::WeibullPosterior posterior{};
};

/// Lead time of one part: what the supplier and the resupply class together say.
struct LeadBelief {
  std::string supplier_key;  ///< empty: no supplier named, belief alone
  domain::Resupply resupply = domain::Resupply::order_online;
  stats::LeadTimePrior prior{};
  std::vector<double> completed;  ///< days, in order of ordering
  std::vector<double> open;       ///< days waited so far
  stats::LeadTimePosterior posterior{};
  double planning_quantile = 0.9;
  double planning_days = 0;
  double mean_days = 0;
  /// An order that has waited longer counts as not coming: by then 995 in 1000 would be here, by
  /// the belief and the completed orders alone.
  double given_up_days = 0;
};

}  // namespace shearpin::advice
