#include <catch2/catch.hpp>

#include "reference_csv.hpp"
#include "shearpin/stats/constant_rate.hpp"
#include "shearpin/stats/discrete.hpp"

using namespace shearpin::stats;
using reference::number;
using reference::Row;

namespace {

double classical(const Row& row) {
  const std::string& quantity = row.at("quantity");
  const RateRecord record{
      std::stol(row.at("failures")), number(row, "exposure"),
      row.at("termination") == "failure" ? Termination::failure : Termination::time};
  const double level = number(row, "level");
  if (quantity == "mtbf_point") {
    return 1 / rate_interval(record, level).point.value();
  }
  if (quantity == "mtbf_lower_two_sided") {
    return 1 / rate_interval(record, level).upper;
  }
  if (quantity == "mtbf_upper_two_sided") {
    return 1 / rate_interval(record, level).lower;
  }
  if (quantity == "mtbf_lower_one_sided") {
    return 1 / rate_upper_limit(record, level);
  }
  if (quantity == "mtbf_upper_one_sided") {
    return 1 / rate_lower_limit(record, level);
  }
  if (quantity == "rate_upper_one_sided") {
    return rate_upper_limit(record, level);
  }
  if (quantity == "rate_upper_interval") {
    const RateInterval interval = rate_interval(record, level);
    CHECK_FALSE(interval.point.has_value());
    CHECK(interval.lower == 0);
    return interval.upper;
  }
  throw std::runtime_error("unknown quantity " + quantity);
}

double bayesian(const Row& row) {
  const std::string& quantity = row.at("quantity");
  const GammaRate law = gamma_posterior({number(row, "prior_shape"), number(row, "prior_exposure")},
                                        std::stol(row.at("failures")), number(row, "exposure"));
  const double argument = number(row, "argument");
  if (quantity == "mtbf_exceeded") {
    return gamma_mtbf_exceeded(law, argument);
  }
  if (quantity == "rate_cdf") {
    return gamma_rate_cdf(law, argument);
  }
  if (quantity == "rate_quantile") {
    return gamma_rate_quantile(law, argument);
  }
  if (quantity == "predictive_pmf_1000") {
    return negative_binomial_pmf(gamma_predictive(law, 1000), static_cast<long>(argument));
  }
  if (quantity.rfind("predictive_smallest_", 0) == 0) {
    const double future = std::stod(quantity.substr(20));
    return static_cast<double>(negative_binomial_smallest(gamma_predictive(law, future), argument));
  }
  throw std::runtime_error("unknown quantity " + quantity);
}

double counted(const Row& row) {
  const std::string& quantity = row.at("quantity");
  const double first = number(row, "first");
  const double argument = number(row, "argument");
  const long k = static_cast<long>(argument);
  if (quantity == "poisson_cdf") {
    CHECK(poisson_tail(first, k) == Approx(1 - poisson_cdf(first, k)).margin(1e-14));
    return poisson_cdf(first, k);
  }
  if (quantity == "poisson_smallest") {
    return static_cast<double>(poisson_smallest(first, argument));
  }
  if (quantity == "erlang_b") {
    return erlang_b(first, k);
  }
  const double second = number(row, "second");
  if (quantity == "negative_binomial_pmf") {
    return negative_binomial_pmf({first, second}, k);
  }
  if (quantity == "negative_binomial_cdf") {
    return negative_binomial_cdf({first, second}, k);
  }
  if (quantity == "erlang_cdf") {
    return erlang_cdf(k, first, second);
  }
  throw std::runtime_error("unknown quantity " + quantity);
}

template <class Compute>
void check_table(const std::string& path, std::size_t least_rows, Compute compute) {
  const auto rows = reference::read(path);
  REQUIRE(rows.size() >= least_rows);
  for (const Row& row : rows) {
    INFO(row.at("id") << ": " << row.at("source"));
    CHECK(compute(row) ==
          Approx(number(row, "expected")).epsilon(0).margin(number(row, "tolerance")));
  }
}

}  // namespace

TEST_CASE("Classical limits of a constant rate equal the reference values") {
  check_table("stats/constant_rate.csv", 150, classical);
}

TEST_CASE("Gamma beliefs of a rate equal the reference values") {
  check_table("stats/gamma_rate.csv", 25, bayesian);
}

TEST_CASE("Counts equal the reference values") { check_table("stats/discrete.csv", 105, counted); }

TEST_CASE("Planning a demonstration test equals the handbook's example") {
  // NIST/SEMATECH e-Handbook 8.3.1.5: 600 h with 80 %, prior (2, 1400 h), 2 failures: 1909 h
  // (R 4.2.2: 1909.027429).
  CHECK(demonstration_exposure({2, 1400}, 600, 0.8, 2) == Approx(1909.027429).margin(1e-6));
  CHECK(demonstration_exposure({2, 1400}, 300, 0.5, 0) == 0);
}

TEST_CASE("The 50/95 prior equals the handbook's example") {
  // NIST/SEMATECH e-Handbook 8.2.5: median 600 h, 95 % above 250 h. Print (from memory) a = 2.863,
  // b = 1522.46 from a rounded; exact by R 4.2.2 uniroot: 2.863055306, 1522.505622.
  const GammaRate prior = gamma_prior_50_95(600, 250);
  CHECK(prior.shape == Approx(2.863055306).margin(1e-8));
  CHECK(prior.exposure == Approx(1522.505622).margin(1e-5));
  CHECK(gamma_mtbf_exceeded(prior, 0.95) == Approx(250).epsilon(1e-10));
  // 8.3.1.5 with that prior: objective 500 h, 80 %, 2 failures: 1756 h (from memory; R 4.2.2:
  // 1756.104723).
  CHECK(demonstration_exposure(prior, 500, 0.8, 2) == Approx(1756.104723).margin(1e-5));
}
