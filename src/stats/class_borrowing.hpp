#pragma once
/// Borrowing strength: what the other parts of a class tell about the life of a part with few
/// failures of its own.

#include <cstddef>
#include <span>
#include <vector>

#include "shearpin/stats/weibull_posterior.hpp"

namespace shearpin::stats {

/// What one other part lent.
struct Lender {
  std::size_t part;  ///< its place among the parts given
  int failures;
  double exposure;
  double shift;  ///< mean of ln life with this part less the mean without it, the others kept
};

/// The belief of one part after hearing the others.
struct BorrowedPrior {
  WeibullPrior prior;
  double shared_share;  ///< posterior mean of the shared share; the prior's own where none lent
  std::vector<Lender>
      lenders;  ///< parts with exposure or failures, in the order given; none: alone
};

/// How much of a class's spread its parts share.
struct BorrowingBelief {
  /// Shares s of u^2, each as likely as the next: ln median life of the class ~ N(ln m, s u^2), and
  /// the ln scale of each part about it ~ N(., (1 - s) u^2). 0 <= s < 1. The default (belief) runs
  /// from nothing shared to three quarters: nobody knows how alike the parts of a class are, so the
  /// parts' own records decide, and unlike parts lend little. Against any one share it gives up
  /// little where parts are alike and loses far less where they are not
  /// (tests/property/class_borrowing_test.cpp).
  std::vector<double> shared_shares{0, 0.25, 0.5, 0.75};
};

/// For each part of a class, the class prior updated by the records of all the *other* parts.
/// Model: ln s_k | mu ~ N(mu, (1 - s) u^2), mu ~ N(ln m, s u^2), s as BorrowingBelief; u the
/// prior's deviation. Whatever s, one part alone is N(ln m, u^2), so a part alone in its class
/// keeps its prior. Shapes are not shared: each part keeps the class's belief about the shape. Each
/// part's likelihood of ln s, its shape integrated out, comes from its posterior under the class
/// prior; mu and s are integrated by the trapezoid rule. The answer is the normal with the mean and
/// the deviation of the mixture, never wider than the class prior: scale_median and the 80 % range
/// about it. A part whose others have neither exposure nor failures gets `prior` itself, bit for
/// bit. parts: one span of records a part, all ages in the unit of the prior; any number.
/// InputError for a prior, a record or a share outside its domain. The order of the parts only
/// orders the answer. Accuracy: mean and deviation to 1e-6 of u.
/// Source: normal hierarchical model, Gelman et al., Bayesian Data Analysis, ch. 5 (from memory).
std::vector<BorrowedPrior> borrowed_priors(const WeibullPrior& prior,
                                           std::span<const std::span<const LifeRecord>> parts,
                                           const BorrowingBelief& belief = {});

}  // namespace shearpin::stats
