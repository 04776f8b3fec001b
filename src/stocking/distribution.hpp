#pragma once
/// Probability mass functions of counts (demand in pieces): the few operations stock levels need.
/// A Pmf holds P(X = k) at index k, from 0, down to a tail of kTail: the entries may add up to less
/// than 1 by that much and are never rescaled. Sums run from small to large.

#include <cstddef>
#include <span>
#include <vector>

namespace shearpin::stocking {

/// Entries of the longest distribution that is worked out.
inline constexpr std::size_t kMostEntries = 4'000'000;

using Pmf = std::vector<double>;

/// Mass that may be cut off above the last entry of a Pmf.
inline constexpr double kTail = 1e-9;

/// The largest chance a stock level can be asked for; above it the cut tail would decide.
inline constexpr double kLargestChance = 1 - 1e-7;

/// {1}: no demand for certain.
Pmf no_demand();

/// Poisson; mean >= 0 (mean 0 is no demand). InputError for a negative or not finite mean,
/// NumericError past a mean of 10^6. Accuracy 1e-12 relative near the mode.
Pmf poisson_pmf(double mean);

/// Negative binomial: Poisson whose rate is Gamma(shape, rate), observed over `exposure`; shape >
/// 0, rate > 0, exposure >= 0, all finite. P(X = 0) = (rate / (rate + exposure))^shape. InputError
/// outside, NumericError where more than 4 x 10^6 entries would be needed.
Pmf gamma_poisson_pmf(double shape, double rate, double exposure);

/// Distribution of the sum of two independent counts, cut to `tail`.
Pmf convolve(std::span<const double> a, std::span<const double> b, double tail = kTail);

/// Distribution of the sum of `copies` independent counts, cut to `tail`; 0 copies: no demand.
Pmf convolve_copies(std::span<const double> one, std::size_t copies, double tail = kTail);

/// target += weight * pmf, target growing as needed.
void add_weighted(Pmf& target, std::span<const double> pmf, double weight);

/// Drops the highest entries whose sum is at most `tail`; at least one entry stays.
void trim(Pmf& pmf, double tail = kTail);

/// P(X <= n); 0 for n < 0.
double chance_at_most(std::span<const double> pmf, long n);

/// P(X > n), summed from the small end; the cut tail counts as nothing. 1 for n < 0.
double chance_above(std::span<const double> pmf, long n);

/// The smallest n >= 0 with P(X <= n) >= chance; a shortfall of 1e-12 counts as reached.
/// InputError unless 0 <= chance <= kLargestChance.
long smallest_covering(std::span<const double> pmf, double chance);

/// Mean of the entries.
double mean(std::span<const double> pmf);

/// E (X - n)^+, the expected shortage (expected backorders) with stock n >= 0.
double expected_shortage(std::span<const double> pmf, long n);

}  // namespace shearpin::stocking
