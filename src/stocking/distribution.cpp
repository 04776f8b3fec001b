#include "stocking/distribution.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>

#include "shearpin/base/error.hpp"

namespace shearpin::stocking {
namespace {

constexpr double kLargestMean = 1e6;
// The closed forms go further than promised, so that expected shortages are good to 1e-10 too.
constexpr double kClosedFormTail = 1e-12;
// What may be dropped at the low end of a factor before multiplying; far below any tail we state.
constexpr double kLowEnd = 1e-17;

std::size_t first_that_counts(std::span<const double> pmf) {
  double sum = 0;
  std::size_t k = 0;
  while (k + 1 < pmf.size() && sum + pmf[k] < kLowEnd) sum += pmf[k++];
  return k;
}

// Fills pmf upward from its mode and downward from it, given ratio(k) = p(k)/p(k-1), starting with
// ln p(mode). Upward until what is left is below the tail (ratios fall, so the rest is geometric).
template <class Ratio>
Pmf fill_from_mode(std::size_t mode, double log_at_mode, Ratio ratio) {
  Pmf pmf(mode + 1, 0.0);
  pmf[mode] = std::exp(log_at_mode);
  for (std::size_t k = mode; k > 0 && pmf[k] > 0; --k) pmf[k - 1] = pmf[k] / ratio(k);
  for (std::size_t k = mode + 1;; ++k) {
    if (k > kMostEntries) {
      throw NumericError(
          fmt::format("a demand distribution needs more than {} entries; ask for a shorter stretch",
                      kMostEntries));
    }
    const double step = ratio(k);
    const double rest = step < 1 ? pmf.back() * step / (1 - step) : 1.0;
    if (rest < kClosedFormTail) break;
    pmf.push_back(pmf.back() * step);
  }
  return pmf;
}

}  // namespace

Pmf no_demand() { return {1.0}; }

Pmf poisson_pmf(double mean) {
  if (!(mean >= 0) || !std::isfinite(mean)) {
    throw InputError(fmt::format("a mean demand of {} is not a number >= 0, such as 1.5", mean));
  }
  if (mean > kLargestMean) {
    throw NumericError(
        fmt::format("a mean demand of {} is above the limit of {}", mean, kLargestMean));
  }
  if (mean == 0) return no_demand();
  const auto mode = static_cast<std::size_t>(mean);
  const double m = static_cast<double>(mode);
  const double log_at_mode = m * std::log(mean) - mean - std::lgamma(m + 1);
  return fill_from_mode(mode, log_at_mode,
                        [mean](std::size_t k) { return mean / static_cast<double>(k); });
}

Pmf gamma_poisson_pmf(double shape, double rate, double exposure) {
  if (!(shape > 0) || !(rate > 0) || !(exposure >= 0) || !std::isfinite(shape + rate + exposure)) {
    throw InputError(fmt::format(
        "gamma-Poisson demand needs shape > 0, rate > 0, exposure >= 0, such as 2, 1400, 100; "
        "got {}, {}, {}",
        shape, rate, exposure));
  }
  if (exposure == 0) return no_demand();
  const double fail = exposure / (rate + exposure);
  const double odds = exposure / rate;
  const double mode_at = std::floor(std::max(0.0, (shape - 1) * odds));
  if (!(mode_at < static_cast<double>(kMostEntries))) {
    throw NumericError(fmt::format(
        "a demand distribution about {} needs more than {} entries; ask for a shorter stretch",
        mode_at, kMostEntries));
  }
  const double log_at_mode = std::lgamma(shape + mode_at) - std::lgamma(shape) -
                             std::lgamma(mode_at + 1) - shape * std::log1p(odds) +
                             mode_at * std::log(fail);
  return fill_from_mode(static_cast<std::size_t>(mode_at), log_at_mode,
                        [shape, fail](std::size_t k) {
                          const double n = static_cast<double>(k);
                          return fail * (shape + n - 1) / n;
                        });
}

Pmf convolve(std::span<const double> a, std::span<const double> b, double tail) {
  if (a.empty() || b.empty()) return no_demand();
  const std::size_t a0 = first_that_counts(a);
  const std::size_t b0 = first_that_counts(b);
  Pmf sum(a.size() + b.size() - 1, 0.0);
  for (std::size_t i = a0; i < a.size(); ++i) {
    const double weight = a[i];
    double* out = sum.data() + i;
    for (std::size_t j = b0; j < b.size(); ++j) out[j] += weight * b[j];
  }
  trim(sum, tail);
  return sum;
}

Pmf convolve_copies(std::span<const double> one, std::size_t copies, double tail) {
  Pmf result = no_demand();
  if (copies == 0) return result;
  // Each of the at most 2 log2(copies) products may cut a share of the tail, weighted by how often
  // it enters the result.
  const double cut = tail / (4.0 * static_cast<double>(copies));
  Pmf power(one.begin(), one.end());
  for (std::size_t left = copies;;) {
    if (left & 1U) result = convolve(result, power, cut);
    left >>= 1U;
    if (left == 0) break;
    power = convolve(power, power, cut);
  }
  trim(result, tail / 2);
  return result;
}

void add_weighted(Pmf& target, std::span<const double> pmf, double weight) {
  if (target.size() < pmf.size()) target.resize(pmf.size(), 0.0);
  for (std::size_t k = 0; k < pmf.size(); ++k) target[k] += weight * pmf[k];
}

void trim(Pmf& pmf, double tail) {
  double cut = 0;
  while (pmf.size() > 1 && cut + pmf.back() <= tail) {
    cut += pmf.back();
    pmf.pop_back();
  }
}

double chance_at_most(std::span<const double> pmf, long n) {
  if (n < 0) return 0;
  const std::size_t end = std::min(pmf.size(), static_cast<std::size_t>(n) + 1);
  // Both ends of a unimodal distribution are small: add them first.
  std::size_t low = 0;
  std::size_t high = end;
  double sum = 0;
  while (low < high) sum += pmf[low] < pmf[high - 1] ? pmf[low++] : pmf[--high];
  return std::min(sum, 1.0);
}

double chance_above(std::span<const double> pmf, long n) {
  if (n < 0) return 1;
  double sum = 0;
  for (std::size_t k = pmf.size(); k > static_cast<std::size_t>(n) + 1; --k) sum += pmf[k - 1];
  return sum;
}

long smallest_covering(std::span<const double> pmf, double chance) {
  if (!(chance >= 0) || chance > kLargestChance) {
    throw InputError(
        fmt::format("a target chance of {} is outside 0 to {}; an accepted example is 0.95", chance,
                    kLargestChance));
  }
  double sum = 0;
  for (std::size_t n = 0; n < pmf.size(); ++n) {
    sum += pmf[n];
    if (sum >= chance - 1e-12) return static_cast<long>(n);
  }
  return static_cast<long>(pmf.size());
}

double mean(std::span<const double> pmf) {
  double sum = 0;
  for (std::size_t k = pmf.size(); k-- > 0;) sum += static_cast<double>(k) * pmf[k];
  return sum;
}

double expected_shortage(std::span<const double> pmf, long n) {
  double sum = 0;
  for (std::size_t k = pmf.size(); k-- > 0 && static_cast<long>(k) > n;) {
    sum += static_cast<double>(static_cast<long>(k) - n) * pmf[k];
  }
  return sum;
}

}  // namespace shearpin::stocking
