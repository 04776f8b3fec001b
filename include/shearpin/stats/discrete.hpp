#pragma once
/// Counts: Poisson, negative binomial with non-integer size, Erlang. Mean 0 is the certain 0
/// everywhere.

namespace shearpin::stats {

/// P(X = k) and P(X <= k) of a Poisson count; mean finite and >= 0 (InputError). k < 0 gives 0.
double poisson_pmf(double mean, long k);
double poisson_cdf(double mean, long k);
/// P(X > k), accurate where the cdf is 1 to double precision; k < 0 gives 1.
double poisson_tail(double mean, long k);

/// Smallest n >= 0 with P(X <= n) >= probability; 0 <= probability < 1 (InputError). Never rounds
/// outward.
long poisson_smallest(double mean, double probability);

/// Negative binomial as the mixture of Poisson counts over a gamma rate: size > 0 (any real), 0 < p
/// <= 1, P(X = k) = Gamma(size + k) / (Gamma(size) k!) p^size (1 - p)^k, mean size (1 - p) / p.
struct NegativeBinomial {
  double size;
  double p;
};
double negative_binomial_pmf(const NegativeBinomial& law, long k);
double negative_binomial_cdf(const NegativeBinomial& law, long k);
/// P(X > k).
double negative_binomial_tail(const NegativeBinomial& law, long k);
long negative_binomial_smallest(const NegativeBinomial& law, double probability);

/// P(k-th failure of a Poisson process has come by time) = P(Poisson(rate * time) >= k). k >= 1;
/// rate, time >= 0.
double erlang_cdf(long k, double rate, double time);

/// Erlang loss formula: chance that all `servers` are taken, offered load in erlangs >= 0.
/// Recursion on servers, exact.
double erlang_b(double offered, long servers);

}  // namespace shearpin::stats
