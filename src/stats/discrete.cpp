#include "shearpin/stats/discrete.hpp"

#include <fmt/format.h>

#include <boost/math/distributions/negative_binomial.hpp>
#include <boost/math/distributions/poisson.hpp>
#include <cmath>

#include "shearpin/base/error.hpp"
#include "stats/check.hpp"

namespace shearpin::stats {
namespace {

namespace bm = boost::math;

constexpr long kMostPieces = 2'000'000'000;

void check_law(const NegativeBinomial& law) {
  require_positive("the size", law.size);
  if (!(law.p > 0 && law.p <= 1)) {
    throw InputError(fmt::format("p is {}: it must lie above 0 and be at most 1, e.g. 0.4", law.p));
  }
}

void check_probability(double probability) {
  if (!(probability >= 0 && probability < 1)) {
    throw InputError(
        fmt::format("the chance is {}: it must be 0 or more and below 1, e.g. 0.95", probability));
  }
}

/// Smallest n with tail(n) = P(X > n) <= 1 - probability, by doubling and halving: the library's
/// own quantile rounds outward.
template <class Tail>
long smallest(double probability, Tail tail) {
  const auto enough = [&](long n) { return tail(n) <= 1 - probability; };
  if (enough(0)) {
    return 0;
  }
  long high = 1;
  while (!enough(high)) {
    if (high > kMostPieces / 2) {
      throw NumericError("more than a thousand million pieces would be needed for that chance");
    }
    high *= 2;
  }
  long low = high / 2;
  while (high - low > 1) {
    const long middle = low + (high - low) / 2;
    (enough(middle) ? high : low) = middle;
  }
  return high;
}

double count(long k) { return static_cast<double>(k); }

}  // namespace

double poisson_pmf(double mean, long k) {
  require_not_negative("the mean", mean);
  if (k < 0) {
    return 0;
  }
  if (mean <= 0) {
    return k == 0 ? 1 : 0;
  }
  return bm::pdf(bm::poisson_distribution<double>(mean), count(k));
}

double poisson_cdf(double mean, long k) {
  require_not_negative("the mean", mean);
  if (k < 0) {
    return 0;
  }
  return mean <= 0 ? 1 : bm::cdf(bm::poisson_distribution<double>(mean), count(k));
}

double poisson_tail(double mean, long k) {
  require_not_negative("the mean", mean);
  if (k < 0) {
    return 1;
  }
  return mean <= 0 ? 0 : bm::cdf(bm::complement(bm::poisson_distribution<double>(mean), count(k)));
}

long poisson_smallest(double mean, double probability) {
  require_not_negative("the mean", mean);
  check_probability(probability);
  return smallest(probability, [mean](long n) { return poisson_tail(mean, n); });
}

double negative_binomial_pmf(const NegativeBinomial& law, long k) {
  check_law(law);
  if (k < 0) {
    return 0;
  }
  if (law.p >= 1) {
    return k == 0 ? 1 : 0;
  }
  return bm::pdf(bm::negative_binomial_distribution<double>(law.size, law.p), count(k));
}

double negative_binomial_cdf(const NegativeBinomial& law, long k) {
  check_law(law);
  if (k < 0) {
    return 0;
  }
  return law.p >= 1
             ? 1
             : bm::cdf(bm::negative_binomial_distribution<double>(law.size, law.p), count(k));
}

double negative_binomial_tail(const NegativeBinomial& law, long k) {
  check_law(law);
  if (k < 0) {
    return 1;
  }
  return law.p >= 1 ? 0
                    : bm::cdf(bm::complement(
                          bm::negative_binomial_distribution<double>(law.size, law.p), count(k)));
}

long negative_binomial_smallest(const NegativeBinomial& law, double probability) {
  check_law(law);
  check_probability(probability);
  return smallest(probability, [&law](long n) { return negative_binomial_tail(law, n); });
}

double erlang_cdf(long k, double rate, double time) {
  require_not_negative("the rate", rate);
  require_not_negative("the time", time);
  if (k < 1) {
    throw InputError(fmt::format("the failure's number is {}: it counts from 1", k));
  }
  return poisson_tail(rate * time, k - 1);
}

double erlang_b(double offered, long servers) {
  require_not_negative("the offered load", offered);
  if (servers < 0) {
    throw InputError(fmt::format("the number of servers is {}: it must be 0 or more", servers));
  }
  double blocked = 1;
  for (long server = 1; server <= servers; ++server) {
    blocked = offered * blocked / (count(server) + offered * blocked);
  }
  return blocked;
}

}  // namespace shearpin::stats
