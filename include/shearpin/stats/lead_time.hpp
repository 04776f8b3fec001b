#pragma once
/// Lead time of a supplier: lognormal, with a belief about its median updated by the owner's own
/// orders.

#include <span>
#include <vector>

namespace shearpin::stats {

/// Belief: predictive median and 80 % range of a lead time in days; 0 < low < high, 0 < median.
struct LeadTimePrior {
  double median_days;
  double low_days;
  double high_days;
  double within_share = 0.8;   ///< of the range's deviation: within one supplier (belief)
  double between_share = 0.6;  ///< how unsure a supplier's own middle is (belief)
  double least_days = 0.5;     ///< an order received the same day counts as this long (belief)

  /// Standard deviation of ln days that the range implies.
  double ln_sd() const;
};

/// One value of the supplier's mean of ln days, with its weight.
struct LeadTimeNode {
  double log_mean;
  double weight;
};

/// Mixture of lognormals of one spread: ln L given a node ~ N(log_mean, spread^2). Weights sum to
/// 1, log_mean rises.
struct LeadTimePosterior {
  std::vector<LeadTimeNode> nodes;
  double spread;
  int completed;
  int open;
};

/// Posterior of a supplier's mean of ln L ~ N(ln median, (0.6 sd)^2) with spread 0.8 sd within the
/// supplier (the shares are beliefs; 0.6^2 + 0.8^2 = 1, so with no orders the predictive is the
/// belief itself). completed: days from order to receipt, >= 0, each enters as ln max(days, 0.5)
/// (an order received the same day). open: days waited so far, >= 0, each enters as the chance of
/// not having come yet; 0 tells nothing. Method: trapezoid rule about the mode (the log posterior
/// is concave). InputError outside the domain. Accuracy: predictive probabilities to 1e-8; with no
/// open order it equals the closed normal form.
LeadTimePosterior lead_time_posterior(const LeadTimePrior& prior, std::span<const double> completed,
                                      std::span<const double> open);

/// P(L <= days) for the next order; days <= 0 gives 0.
double lead_time_cdf(const LeadTimePosterior& posterior, double days);

/// Smallest days with P(L <= days) >= probability, to 1e-10 relative; 0 < probability < 1.
/// Planning lead time: probability 0.90, and 0.99 for what is safety or would strand.
double lead_time_quantile(const LeadTimePosterior& posterior, double probability);

/// Mean days of the next order: sum of weight * exp(log_mean + spread^2 / 2).
double lead_time_mean(const LeadTimePosterior& posterior);

/// Chance that an order that has not come after `waited` days (and is among the open ones of the
/// posterior) comes within `further` days more: mixture over the nodes of P(L <= waited + further |
/// L > waited). waited >= 0, further >= 0.
double chance_arrived(const LeadTimePosterior& posterior, double waited, double further);

}  // namespace shearpin::stats
