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

/// Life of one part: the class belief updated by the part's own records.
struct LifeBelief {
  std::string class_key;  ///< empty: no class, the vague prior was used
  domain::Basis basis = domain::Basis::days;
  stats::WeibullPrior prior{};
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
};

}  // namespace shearpin::advice
