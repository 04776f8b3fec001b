#include "stocking/consumption.hpp"

#include <fmt/format.h>
#include <cmath>
#include <limits>

#include "shearpin/base/error.hpp"

namespace shearpin::stocking {
namespace {

constexpr double kSpreadOf80 = 2 * 1.2815515655446004;

// Runs the recursion from P(no event) and keeps it in range: g(0) may be far below the smallest
// double, so g is carried as value x exp(log_scale) and rescaled when it grows large.
class Recursion {
 public:
  explicit Recursion(double log_zero) : pmf_{1.0}, log_scale_(log_zero) {}

  double value(std::size_t k) const { return pmf_[k]; }
  std::size_t size() const { return pmf_.size(); }

  // Returns the factor by which everything kept so far shrank (1 almost always).
  double push(double next) {
    pmf_.push_back(next);
    if (next < kLarge) return 1;
    for (double& p : pmf_) p /= kLarge;
    log_scale_ += std::log(kLarge);
    return 1 / kLarge;
  }

  // True mass reached so far, given the sum of the kept values.
  double mass(double kept) const { return kept > 0 ? std::exp(std::log(kept) + log_scale_) : 0; }

  Pmf take() && {
    const double scale = log_scale_;
    for (double& p : pmf_) p = p > 0 ? std::exp(std::log(p) + scale) : 0;
    trim(pmf_, kTail / 2);
    return std::move(pmf_);
  }

 private:
  static constexpr double kLarge = 1e200;
  Pmf pmf_;
  double log_scale_;
};

[[noreturn]] void too_long() {
  throw NumericError(fmt::format(
      "a demand distribution needs more than {} entries; ask for a shorter stretch", kMostEntries));
}

}  // namespace

ConsumptionRate consumption_rate(const ConsumptionBelief& belief,
                                 std::span<const std::int64_t> sizes, double exposure) {
  if (!(belief.low > 0) || !(belief.high > belief.low) || !(belief.life_median >= belief.low) ||
      !(belief.life_median <= belief.high) || !std::isfinite(belief.high)) {
    throw InputError(fmt::format(
        "a consumption belief needs 0 < low <= median <= high, such as 20 60 180; got {} {} {}",
        belief.low, belief.life_median, belief.high));
  }
  if (!(exposure >= 0) || !std::isfinite(exposure)) {
    throw InputError(fmt::format("an exposure of {} is not a number >= 0, such as 365", exposure));
  }
  if (!(belief.event_size >= 1) || !(belief.event_weight >= 0)) {
    throw InputError(fmt::format(
        "an event size of {} worth {} events: a size of 1 or more, a weight of 0 or more",
        belief.event_size, belief.event_weight));
  }
  double pieces = belief.event_size * belief.event_weight;
  for (const std::int64_t size : sizes) {
    if (size < 1) throw InputError(fmt::format("a use of {} pieces is not 1 or more", size));
    pieces += static_cast<double>(size);
  }
  const double events = static_cast<double>(sizes.size());
  const double u = std::log(belief.high / belief.low) / kSpreadOf80;
  const double shape = 1 / std::expm1(u * u);
  const double mean_rate = std::exp(u * u / 2) / (belief.event_size * belief.life_median);
  return {.shape = shape + events,
          .rate = shape / mean_rate + exposure,
          .mean_size = pieces / (belief.event_weight + events)};
}

Pmf consumption_demand(const ConsumptionRate& rate, double exposure) {
  if (!(rate.shape > 0) || !(rate.rate > 0) || !(rate.mean_size >= 1) || !(exposure >= 0) ||
      !std::isfinite(rate.shape + rate.rate + rate.mean_size + exposure)) {
    throw InputError(fmt::format(
        "consumption needs shape > 0, rate > 0, mean size >= 1, exposure >= 0; got {}, {}, {}, {}",
        rate.shape, rate.rate, rate.mean_size, exposure));
  }
  if (exposure == 0) return no_demand();
  const double t = exposure / rate.rate;
  const double a = t / (1 + t);
  const double b = (rate.shape - 1) * a;
  const double p = 1 / rate.mean_size;  // of the last piece of an event
  const double q = 1 - p;
  // Panjer: g(s) = sum_j (a + b j/s) f(j) g(s-j), f(j) = p q^(j-1). The two sums over j obey
  // one-step recursions, so an entry costs the same however large s is.
  Recursion g(-rate.shape * std::log1p(t));
  double plain = 0;     // sum_j q^(j-1) g(s-j)
  double weighted = 0;  // sum_j j q^(j-1) g(s-j)
  double kept = 1;
  while (g.mass(kept) < 1 - kTail / 4) {
    const std::size_t s = g.size();
    if (s > kMostEntries) too_long();
    plain = q * plain + g.value(s - 1);
    weighted = q * weighted + plain;
    const double next = p * (a * plain + b * weighted / static_cast<double>(s));
    kept += next;
    const double shrink = g.push(next);
    plain *= shrink;
    weighted *= shrink;
    kept *= shrink;
    // Rounding may leave the mass a little short for good: stop where nothing more is added.
    if (g.mass(kept) > 0.5 && next * shrink < kept * 1e-14) break;
  }
  return std::move(g).take();
}

Pmf panjer(double a, double b, double log_zero, std::span<const double> sizes) {
  double total = 0;
  for (const double f : sizes) {
    if (!(f >= 0)) throw InputError(fmt::format("a chance of a size of {} is not >= 0", f));
    total += f;
  }
  if (!(std::fabs(total - 1) < 1e-9) || !(log_zero <= 0) || !std::isfinite(a + b)) {
    throw InputError(
        fmt::format("Panjer's recursion needs sizes that sum to 1 and ln P(0) <= 0; got {} and {}",
                    total, log_zero));
  }
  Recursion g(log_zero);
  double kept = 1;
  while (g.mass(kept) < 1 - kTail / 4) {
    const std::size_t s = g.size();
    if (s > kMostEntries) too_long();
    double next = 0;
    for (std::size_t j = std::min(s, sizes.size()); j >= 1; --j) {
      const double share = static_cast<double>(j) / static_cast<double>(s);
      next += (a + b * share) * sizes[j - 1] * g.value(s - j);
    }
    kept += next;
    kept *= g.push(next);
    if (g.mass(kept) > 0.5 && s > sizes.size() && next < kept * 1e-14) break;
  }
  return std::move(g).take();
}

}  // namespace shearpin::stocking
