#include "shearpin/stats/life_comparison.hpp"

#include <boost/math/distributions/normal.hpp>
#include <catch2/catch.hpp>
#include <cmath>
#include <limits>
#include <numbers>
#include <vector>

#include "fine_grid.hpp"
#include "samples.hpp"
#include "shearpin/base/error.hpp"

using namespace shearpin;
using namespace shearpin::stats;
using shearpin::stats::testing::kBelief;

namespace {

std::vector<LifeRecord> lives(std::initializer_list<double> failed,
                              std::initializer_list<double> alive) {
  std::vector<LifeRecord> records;
  for (const double age : failed) {
    records.push_back({LifeKind::failed, 0, 0, age});
  }
  for (const double age : alive) {
    records.push_back({LifeKind::alive, 0, 0, age});
  }
  return records;
}

struct Medians {
  std::vector<std::pair<double, double>> value_and_weight;  // ln median life, rising
};

/// All of ln median life by plain midpoint sums over +-8 deviations of the prior, n x n.
Medians slow_medians(const WeibullPrior& prior, std::span<const LifeRecord> records, int n) {
  const double u = prior.ln_scale_sd();
  Medians out;
  double total = 0;
  double top = -std::numeric_limits<double>::infinity();
  for (int pass = 0; pass < 2; ++pass) {
    for (int i = 0; i < n; ++i) {
      const double x = -8 + 16 * (i + 0.5) / n;
      const double scale = prior.scale_median * std::exp(u * x);
      for (int j = 0; j < n; ++j) {
        const double y = -8 + 16 * (j + 0.5) / n;
        const double shape = prior.shape_median * std::exp(prior.shape_log_sd * y);
        const double log_weight =
            -0.5 * (x * x + y * y) + stats::testing::slow_log_likelihood(scale, shape, records);
        top = std::max(top, pass == 0 ? log_weight : top);
        if (pass == 1 && log_weight > top - 25) {
          out.value_and_weight.emplace_back(std::log(scale) + std::log(std::numbers::ln2) / shape,
                                            std::exp(log_weight - top));
          total += out.value_and_weight.back().second;
        }
      }
    }
  }
  for (auto& [value, weight] : out.value_and_weight) {
    weight /= total;
  }
  std::sort(out.value_and_weight.begin(), out.value_and_weight.end());
  return out;
}

double slow_chance_above(const Medians& a, const Medians& b, double difference) {
  double chance = 0;
  double below = 0;
  std::size_t j = 0;
  for (const auto& [value, weight] : a.value_and_weight) {
    while (j < b.value_and_weight.size() && b.value_and_weight[j].first + difference < value) {
      below += b.value_and_weight[j++].second;
    }
    chance += weight * below;
  }
  return chance;
}

}  // namespace

TEST_CASE("Two with the same record are as likely the one as the other to last longer") {
  const auto records = lives({300, 800}, {1200});
  const auto answer = compare_lives({kBelief, records}, {kBelief, records});
  CHECK(answer.chance_first_longer == Approx(0.5).margin(1e-7));
  CHECK(answer.ratio.median == Approx(1).epsilon(1e-6));
  CHECK(answer.ratio.low * answer.ratio.high == Approx(1).epsilon(1e-6));
  CHECK(answer.verdict == LongerLife::not_proven);
}

TEST_CASE("With one shape for certain and no records the ratio is lognormal") {
  // ln of a ratio of lognormals is normal: the means subtract, the variances add.
  const WeibullPrior a{1500, 800, 2800, 2, 0};
  const WeibullPrior b{900, 300, 2500, 2, 0};
  const double sd = std::hypot(a.ln_scale_sd(), b.ln_scale_sd());
  const double mean = std::log(1500.0 / 900);
  const auto answer = compare_lives({a, {}}, {b, {}});
  const boost::math::normal normal(mean, sd);
  CHECK(answer.chance_first_longer == Approx(1 - cdf(normal, 0)).margin(2e-6));
  CHECK(answer.ratio.low == Approx(std::exp(quantile(normal, 0.1))).epsilon(1e-5));
  CHECK(answer.ratio.median == Approx(1500.0 / 900).epsilon(1e-5));
  CHECK(answer.ratio.high == Approx(std::exp(quantile(normal, 0.9))).epsilon(1e-5));
}

TEST_CASE("Chance and interval agree with plain sums over both posteriors") {
  const auto first = lives({700, 1300, 1500}, {900, 2000});
  const auto second = lives({150, 420, 500}, {600, 600});
  const auto answer = compare_lives({kBelief, first}, {kBelief, second});
  const auto a = slow_medians(kBelief, first, 900);
  const auto b = slow_medians(kBelief, second, 900);
  CHECK(answer.chance_first_longer == Approx(slow_chance_above(a, b, 0)).margin(2e-5));
  CHECK(slow_chance_above(a, b, std::log(answer.ratio.low)) == Approx(0.9).margin(5e-5));
  CHECK(slow_chance_above(a, b, std::log(answer.ratio.median)) == Approx(0.5).margin(5e-5));
  CHECK(slow_chance_above(a, b, std::log(answer.ratio.high)) == Approx(0.1).margin(5e-5));
  CHECK(answer.verdict == LongerLife::first);
}

TEST_CASE("Swapping the two turns the answer round") {
  const auto few = lives({500}, {700});
  std::mt19937_64 random(5);
  const auto many = testing::drawn_records(random, 300, 900, 2.5);
  const auto ahead = compare_lives({kBelief, few}, {kBelief, many});
  const auto back = compare_lives({kBelief, many}, {kBelief, few});
  CHECK(ahead.chance_first_longer + back.chance_first_longer == Approx(1).margin(2e-7));
  CHECK(ahead.ratio.low * back.ratio.high == Approx(1).epsilon(1e-6));
  CHECK(ahead.ratio.high * back.ratio.low == Approx(1).epsilon(1e-6));
}

TEST_CASE("Plain proof either way is told") {
  const auto good = lives({}, {5000, 6000, 7000});
  const auto bad = lives({60, 70, 75, 90}, {});
  CHECK(compare_lives({kBelief, good}, {kBelief, bad}).verdict == LongerLife::first);
  CHECK(compare_lives({kBelief, bad}, {kBelief, good}).verdict == LongerLife::second);
  CHECK(compare_lives({kBelief, bad}, {kBelief, good}).ratio.high < 0.3);
}

TEST_CASE("Beliefs and records outside their domain are refused in a comparison") {
  const std::vector<LifeRecord> backward{{LifeKind::failed, 10, 0, 5}};
  CHECK_THROWS_AS(compare_lives({kBelief, backward}, {kBelief, {}}), InputError);
  CHECK_THROWS_AS(compare_lives({kBelief, {}}, {{1000, 2500, 400, 1.5}, {}}), InputError);
}

TEST_CASE("A pooled belief is the normal of an even mixture's mean and deviation") {
  // Law of total variance, by hand: deviations 0.6 and 0.8 of ln scale, means ln 1000 and ln 4000,
  // half their distance ln 2; shapes 1 and 2.25, half of ln 2.25 apart.
  const auto with_sd = [](double median, double sd, double shape, double shape_sd) {
    const double range = std::exp(1.2815516 * sd);
    return WeibullPrior{median, median / range, median * range, shape, shape_sd};
  };
  const auto a = with_sd(1000, 0.6, 1, 0.3);
  const auto b = with_sd(4000, 0.8, 2.25, 0.4);
  const auto pooled = pooled_prior(a, b);
  CHECK(pooled.scale_median == Approx(2000));
  CHECK(pooled.ln_scale_sd() ==
        Approx(std::sqrt(0.5 * (0.36 + 0.64) + std::numbers::ln2 * std::numbers::ln2)));
  CHECK(pooled.shape_median == Approx(1.5));
  const double apart = 0.5 * std::log(2.25);
  CHECK(pooled.shape_log_sd == Approx(std::sqrt(0.5 * (0.09 + 0.16) + apart * apart)));
  const auto turned = pooled_prior(b, a);
  CHECK(turned.scale_low == pooled.scale_low);
  CHECK(turned.scale_high == pooled.scale_high);
  CHECK(turned.shape_log_sd == pooled.shape_log_sd);
}

TEST_CASE("Two equal beliefs pool to themselves, bit for bit, bad ones are refused") {
  const auto same = pooled_prior(kBelief, kBelief);
  CHECK(same.scale_median == kBelief.scale_median);
  CHECK(same.scale_low == kBelief.scale_low);
  CHECK(same.scale_high == kBelief.scale_high);
  CHECK(same.shape_median == kBelief.shape_median);
  CHECK(same.shape_log_sd == kBelief.shape_log_sd);
  CHECK_THROWS_AS(pooled_prior(kBelief, {1000, 2500, 400, 1.5}), InputError);
  CHECK_THROWS_AS(pooled_prior({1000, 2500, 400, 1.5}, kBelief), InputError);
}
