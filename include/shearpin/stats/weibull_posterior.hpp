#pragma once
/// Posterior of a Weibull life given a class belief and the owner's records, as a weighted set of
/// nodes.

#include <cstddef>
#include <span>
#include <vector>

#include "shearpin/stats/weibull.hpp"

namespace shearpin::stats {

/// Belief about a class of parts: ln scale ~ N(ln scale_median, ln_scale_sd()^2), ln shape ~ N(ln
/// shape_median, shape_log_sd^2), independent. [scale_low, scale_high] is the 80 % range of the
/// characteristic life. 0 < scale_low < scale_high; shape_median > 0; shape_log_sd >= 0, 0 fixes
/// the shape at shape_median.
struct WeibullPrior {
  double scale_median;
  double scale_low;
  double scale_high;
  double shape_median;
  double shape_log_sd = 0.35;

  /// (ln high - ln low) / (2 * 1.2815516).
  double ln_scale_sd() const;
};

/// So many positions whose units have one age, and the exposure that each has ahead; in the unit of
/// the scale, all >= 0.
struct ExposureAhead {
  double age;
  double exposure;
  double positions = 1;
  /// Exposure before it since the age was known, in which nothing is replaced: however long, it
  /// brings one failure at most.
  double untested = 0;
};

/// How fine the nodes must be.
struct PosteriorOptions {
  /// Largest error allowed in a predictive probability.
  double tolerance = 1e-6;
  /// Events as sharp as the count of this many failures must be resolved (>= 1). 1: the first
  /// failure of one unit. The chance of the k-th failure falls from 1 to 0 over a range of ln scale
  /// that narrows as 1/(shape sqrt(k)), so a wide posterior needs closer nodes for large k.
  double lives = 1;
  /// What all positions together have ahead. The nodes are laid for as many failures as would be
  /// expected of them 1.5 deviations below the posterior mode, where that is more than `lives`: up
  /// to 300, or as many as 1500 nodes in a row can resolve. Their total is sharper than the count
  /// of one position: laid for the lives of one alone, the chances of 250 positions of ten lives
  /// each were off by 2e-2.
  std::span<const ExposureAhead> ahead = {};
};

/// Nodes [first, first + count) of a posterior share one shape exactly.
struct ShapeRow {
  std::size_t first;
  std::size_t count;
  double shape;
  double weight;  ///< sum of the weights of the row's nodes
};

/// Nodes whose weights sum to 1, in rows of one shape (shape rising), scale rising inside a row.
struct WeibullPosterior {
  std::vector<WeibullNode> nodes;
  std::vector<ShapeRow> rows;
  double max_error_estimate;  ///< of a predictive probability; at most PosteriorOptions::tolerance
  double mode_scale;          ///< of the density in (ln scale, ln shape)
  double mode_shape;
  double log_evidence;  ///< ln of the integral of prior density times likelihood
  double mean_log_scale;
  double variance_log_scale;
  int failures;
  double exposure;
};

/// Posterior by quadrature, never by one point estimate.
/// Method: rows equidistant in ln shape; in each row nodes equidistant in ln scale about the row's
/// own mode (there the log posterior is concave, so the row has one mode). The trapezoid rule on
/// such bell-shaped integrands converges faster than any power of the step. Rows and nodes go out
/// until what lies beyond is below 1e-10 of the whole; steps are halved until the error estimated
/// from every second node and every second row is below the tolerance. Records as for
/// log_likelihood (weibull_likelihood.hpp), any order; none gives the prior. Handles: a range of
/// factor 1.01, a record that contradicts the belief, no exposure, hundreds of records. InputError
/// for a prior or a record outside its domain; NumericError when the tolerance is not reached.
/// Accuracy: predictive probabilities to `tolerance` for shape beliefs 0.5 to 8, ranges of
/// factor 1.01 to 1000 and up to 500 records (tests/unit/stats/posterior_accuracy_test.cpp, against
/// a grid several times finer).
WeibullPosterior weibull_posterior(const WeibullPrior& prior, std::span<const LifeRecord> records,
                                   const PosteriorOptions& options = {});

/// Chance that a unit of effective age `age` survives `exposure` more: mixture over the nodes of
/// exp(-[H(age+x) - H(age)]). age >= 0, exposure >= 0. The nodes are used as they are: their
/// weights are not updated for the unit having reached `age` (its own record, alive at `age`,
/// belongs among the records).
double predictive_survival(const WeibullPosterior& posterior, double age, double exposure);

/// 10 %, 50 % and 90 % points.
struct Quantiles {
  double low;
  double median;
  double high;
};

/// What is believed of a life, in the words an owner reads.
struct PosteriorSummary {
  Quantiles scale;  ///< characteristic life
  Quantiles mtbf;   ///< scale * Gamma(1 + 1/shape); medians, since the mean of this need not exist
  Quantiles shape;
  double share_learnt;  ///< max(0, 1 - var(posterior ln scale) / var(prior ln scale))
  bool variance_grew;  ///< posterior variance of ln scale above the prior's: the record contradicts
                       ///< the belief
  int failures;
  double exposure;
};

/// Summary with quantiles good to 1e-6 in probability. Same domain and refusals as
/// weibull_posterior.
PosteriorSummary posterior_summary(const WeibullPrior& prior, std::span<const LifeRecord> records);

/// Chance, under the prior alone, of a record that contradicts it at least as much: two-sided tail
/// of the number of failures given the watched exposure, p = min(1, 2 min(P(N <= r), P(N >= r))). N
/// given a node is Poisson with the node's cumulative hazard over the watched ages as its mean
/// (failures counted in cumulative hazard are a unit Poisson process), mixed over the prior. An
/// interval is watched to its middle. No exposure gives 1. Below about 0.01 the class belief and
/// the record do not fit together. Looks at the number of failures, not at the shape.
double prior_predictive_p(const WeibullPrior& prior, std::span<const LifeRecord> records);

}  // namespace shearpin::stats
