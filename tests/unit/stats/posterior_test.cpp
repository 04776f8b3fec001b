#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <numeric>
#include <random>

#include "fine_grid.hpp"
#include "samples.hpp"
#include "shearpin/base/error.hpp"
#include "stats/weibull_fit.hpp"

using namespace shearpin;
using namespace shearpin::stats;
using shearpin::stats::testing::drawn_records;
using shearpin::stats::testing::kBelief;

namespace {

double total_weight(const WeibullPosterior& posterior) {
  double sum = 0;
  for (const auto& node : posterior.nodes) {
    sum += node.weight;
  }
  return sum;
}

}  // namespace

TEST_CASE("Without records the posterior is the belief") {
  const auto summary = posterior_summary(kBelief, {});
  CHECK(summary.scale.median == Approx(1000).epsilon(1e-5));
  CHECK(summary.share_learnt == Approx(0).margin(1e-6));
  CHECK(summary.failures == 0);
  CHECK(summary.exposure == 0);
  // The 80 % range is symmetric in logarithms about the median: 1000 exp(+-1.28155 u).
  CHECK(summary.scale.high / summary.scale.median == Approx(std::sqrt(2500.0 / 400)).epsilon(1e-4));
}

TEST_CASE("Weights sum to one and nodes stand in rows of one shape") {
  std::mt19937_64 random(7);
  const auto records = drawn_records(random, 15, 900, 1.5);
  const auto posterior = weibull_posterior(kBelief, records);
  CHECK(total_weight(posterior) == Approx(1).epsilon(1e-9));
  for (const auto& row : posterior.rows) {
    for (std::size_t i = row.first; i < row.first + row.count; ++i) {
      CHECK(posterior.nodes[i].shape == row.shape);
    }
  }
}

TEST_CASE("The order of the records does not matter, and a change of unit only rescales") {
  std::mt19937_64 random(11);
  auto records = drawn_records(random, 20, 900, 2);
  const auto before = weibull_posterior(kBelief, records);
  std::shuffle(records.begin(), records.end(), random);
  const auto after = weibull_posterior(kBelief, records);
  for (const double ahead : {10.0, 300.0, 2000.0}) {
    CHECK(predictive_survival(before, 0, ahead) ==
          Approx(predictive_survival(after, 0, ahead)).margin(1e-12));
  }
  // Days to hours.
  std::vector<LifeRecord> hours;
  for (auto record : records) {
    hours.push_back({record.kind, record.entry * 24, record.lower * 24, record.exit * 24});
  }
  const auto scaled = weibull_posterior({1000 * 24, 400 * 24, 2500 * 24, 1.5, 0.35}, hours);
  CHECK(predictive_survival(scaled, 0, 300 * 24) ==
        Approx(predictive_survival(after, 0, 300)).margin(2e-6));
}

TEST_CASE("More failure-free exposure never lowers the life believed") {
  double median = 0;
  for (const double exposure : {0.0, 100.0, 500.0, 2000.0, 8000.0}) {
    std::vector<LifeRecord> records{{LifeKind::failed, 0, 0, 700}};
    if (exposure > 0) {
      records.push_back({LifeKind::alive, 0, 0, exposure});
    }
    const double now = posterior_summary(kBelief, records).scale.median;
    CHECK(now >= median);
    median = now;
  }
}

TEST_CASE("Hard cases end in a sound answer: tight beliefs, many records, no exposure") {
  const WeibullPrior tight{1000, 1000 / std::sqrt(1.01), 1000 * std::sqrt(1.01), 2, 0.35};
  CHECK(total_weight(weibull_posterior(tight, {})) == Approx(1).epsilon(1e-9));
  std::mt19937_64 random(3);
  const auto many = drawn_records(random, 500, 800, 3);
  const auto summary = posterior_summary(kBelief, many);
  CHECK(summary.share_learnt > 0.95);
  CHECK(summary.scale.median == Approx(weibull_fit(many).life.scale).epsilon(0.02));
  const std::vector<LifeRecord> nothing{{LifeKind::alive, 5, 0, 5}};
  CHECK(posterior_summary(kBelief, nothing).scale.median == Approx(1000).epsilon(1e-5));
}

TEST_CASE("A fixed shape whose belief starts where nothing pulls back still finds its mode") {
  // At the prior's own median the prior pulls nowhere, and failures found in intervals far above
  // it hardly do.
  const WeibullPrior belief{2340, 920, 5950, 3.7, 0};
  std::vector<LifeRecord> records{{LifeKind::interval, 0, 14800, 15000},
                                  {LifeKind::interval, 7100, 19100, 19300}};
  for (int unit = 0; unit < 30; ++unit) {
    records.push_back({LifeKind::alive, 0, 0, 12000 + 200.0 * unit});
  }
  const auto posterior = weibull_posterior(belief, records);
  double mean = 0;
  double total = 0;
  constexpr int kGrid = 20000;
  double top = -1e300;
  for (int pass = 0; pass < 2; ++pass) {
    for (int i = 0; i < kGrid; ++i) {
      const double t = std::log(2000) + 5.0 * (i + 0.5) / kGrid;
      const double x = (t - std::log(2340)) / belief.ln_scale_sd();
      const double log_weight =
          -0.5 * x * x + shearpin::stats::testing::slow_log_likelihood(std::exp(t), 3.7, records);
      if (pass == 0) {
        top = std::max(top, log_weight);
      } else {
        total += std::exp(log_weight - top);
        mean += t * std::exp(log_weight - top);
      }
    }
  }
  CHECK(posterior.mean_log_scale == Approx(mean / total).epsilon(1e-7));
}

TEST_CASE("Beliefs and records outside their domain are refused") {
  CHECK_THROWS_AS(weibull_posterior({1000, 2500, 400, 1.5, 0.35}, {}), InputError);
  CHECK_THROWS_AS(weibull_posterior({-1, 400, 2500, 1.5, 0.35}, {}), InputError);
  const std::vector<LifeRecord> backward{{LifeKind::failed, 10, 0, 5}};
  CHECK_THROWS_AS(weibull_posterior(kBelief, backward), InputError);
}

TEST_CASE("Ranks of the truth among draws of the posterior are uniform") {
  // Simulation-based calibration, Talts et al. 2018: draw the truth from the belief, a record from
  // the truth, and rank the truth in the posterior. 300 draws in 10 bins; chi-square with 9 degrees
  // of freedom exceeds 27.88 once in a thousand.
  std::mt19937_64 random(42);
  std::normal_distribution<double> normal;
  std::vector<int> bins(10, 0);
  for (int draw = 0; draw < 300; ++draw) {
    const double scale = 1000 * std::exp(kBelief.ln_scale_sd() * normal(random));
    const double shape = 1.5 * std::exp(0.35 * normal(random));
    const auto posterior = weibull_posterior(kBelief, drawn_records(random, 6, scale, shape));
    double below = 0;
    for (const auto& node : posterior.nodes) {
      below += node.scale < scale ? node.weight : 0;
    }
    ++bins[static_cast<std::size_t>(std::clamp(below * 10, 0.0, 9.999))];
  }
  double chi_square = 0;
  for (const int count : bins) {
    chi_square += (count - 30.0) * (count - 30.0) / 30.0;
  }
  CHECK(chi_square < 27.88);
}
