#include "stats/class_borrowing.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <vector>

#include "fine_grid.hpp"
#include "samples.hpp"
#include "shearpin/base/error.hpp"

using namespace shearpin;
using namespace shearpin::stats;
using shearpin::stats::testing::kBelief;

namespace {

using Records = std::vector<LifeRecord>;

std::vector<BorrowedPrior> borrow(const std::vector<Records>& parts,
                                  const BorrowingBelief& belief = {}) {
  const std::vector<std::span<const LifeRecord>> spans(parts.begin(), parts.end());
  return borrowed_priors(kBelief, spans, belief);
}

bool is_belief(const WeibullPrior& prior) {
  return prior.scale_median == kBelief.scale_median && prior.scale_low == kBelief.scale_low &&
         prior.scale_high == kBelief.scale_high && prior.shape_median == kBelief.shape_median &&
         prior.shape_log_sd == kBelief.shape_log_sd;
}

const Records kShort{{LifeKind::failed, 0, 0, 150},
                     {LifeKind::failed, 0, 0, 260},
                     {LifeKind::failed, 50, 0, 340},
                     {LifeKind::alive, 0, 0, 200}};
const Records kLong{{LifeKind::failed, 0, 0, 2600},
                    {LifeKind::alive, 0, 0, 4000},
                    {LifeKind::interval, 0, 3000, 3300}};

/// Mean and deviation of a new part's ln scale by plain midpoint sums over the class mean and, part
/// by part, over (ln scale, ln shape).
std::pair<double, double> slow_new_part(const std::vector<Records>& others, double share) {
  const double u = kBelief.ln_scale_sd();
  const double spread = std::sqrt(1 - share) * u;
  constexpr int kMeans = 60;
  constexpr int kGrid = 80;
  const auto middle = [](int i, int n) { return -7 + 14 * (i + 0.5) / n; };
  double total = 0;
  double mean = 0;
  double squares = 0;
  for (int m = 0; m < kMeans; ++m) {
    const double mu = std::log(1000) + std::sqrt(share) * u * middle(m, kMeans);
    double weight = std::exp(-0.5 * middle(m, kMeans) * middle(m, kMeans));
    for (const auto& records : others) {
      double evidence = 0;
      for (int i = 0; i < kGrid; ++i) {
        for (int j = 0; j < kGrid; ++j) {
          const double x = middle(i, kGrid);
          const double y = middle(j, kGrid);
          evidence += std::exp(-0.5 * (x * x + y * y) +
                               stats::testing::slow_log_likelihood(
                                   std::exp(mu + spread * x), 1.5 * std::exp(0.35 * y), records));
        }
      }
      weight *= evidence;
    }
    total += weight;
    mean += weight * mu;
    squares += weight * mu * mu;
  }
  mean /= total;
  return {mean, std::sqrt(squares / total - mean * mean + spread * spread)};
}

}  // namespace

TEST_CASE("A part alone in its class keeps its prior, bit for bit") {
  const auto alone = borrow({kShort});
  REQUIRE(alone.size() == 1);
  CHECK(is_belief(alone[0].prior));
  CHECK(alone[0].lenders.empty());
  CHECK(borrow({}).empty());
}

TEST_CASE("Parts without failures and exposure lend nothing, bit for bit") {
  const Records unseen{{LifeKind::alive, 40, 0, 40}};
  const auto parts = borrow({kShort, {}, unseen});
  CHECK(is_belief(parts[0].prior));
  CHECK(parts[0].lenders.empty());
  CHECK_FALSE(is_belief(parts[1].prior));
  REQUIRE(parts[2].lenders.size() == 1);
  CHECK(parts[2].lenders[0].part == 0);
  CHECK(parts[2].lenders[0].failures == 3);
  CHECK(parts[2].lenders[0].exposure == Approx(150 + 260 + 290 + 200));
}

TEST_CASE("The belief after hearing two parts agrees with plain sums") {
  for (const double share : {0.3, 0.64}) {
    CAPTURE(share);
    const auto parts = borrow({{}, kShort, kLong}, {{share}});
    const auto [mean, sd] = slow_new_part({kShort, kLong}, share);
    CHECK(std::log(parts[0].prior.scale_median) == Approx(mean).margin(2e-6));
    CHECK(parts[0].prior.ln_scale_sd() == Approx(sd).epsilon(1e-5));
    // What each is said to have shifted: the mean with it less the mean without it.
    const double without_long = slow_new_part({kShort}, share).first;
    REQUIRE(parts[0].lenders.size() == 2);
    CHECK(parts[0].lenders[1].shift == Approx(mean - without_long).margin(4e-6));
    CHECK(parts[0].shared_share == Approx(share));
  }
}

TEST_CASE("With lives known all but exactly the normal hierarchical model has a closed form") {
  // 400 failures fix ln s to some 0.03: the class mean then has precision 1/(s u^2) + n/((1-s)
  // u^2) (Gelman et al., Bayesian Data Analysis, ch. 5; from memory).
  std::mt19937_64 random(17);
  std::vector<Records> parts{{}};
  double sum = 0;
  for (const double scale : {500.0, 600.0, 720.0, 850.0}) {
    Records records;
    std::weibull_distribution<double> life(2, scale);
    double power = 0;
    for (int i = 0; i < 400; ++i) {
      records.push_back({LifeKind::failed, 0, 0, life(random)});
      power += records.back().exit * records.back().exit;
    }
    sum += 0.5 * std::log(power / 400);  // the scale's maximum-likelihood value at shape 2
    parts.push_back(std::move(records));
  }
  const double share = 0.64;
  const double u = kBelief.ln_scale_sd();
  const double own = 1 / (share * u * u);
  const double each = 1 / ((1 - share) * u * u + 0.025 * 0.025);
  const double mean = (own * std::log(1000) + each * sum) / (own + 4 * each);
  const auto answer = borrow(parts, {{share}});
  CHECK(std::log(answer[0].prior.scale_median) == Approx(mean).margin(0.01));
  CHECK(answer[0].prior.ln_scale_sd() ==
        Approx(std::sqrt(1 / (own + 4 * each) + (1 - share) * u * u)).epsilon(0.01));
}

TEST_CASE("A belief is never wider than the class's, and unlike parts lend little") {
  const auto unlike = borrow({{}, kShort, kLong});
  const auto alike = borrow({{}, kShort, kShort, kShort, kShort});
  for (const auto& parts : {unlike, alike}) {
    for (const auto& part : parts) {
      CHECK(part.prior.ln_scale_sd() <= kBelief.ln_scale_sd() * (1 + 1e-12));
      CHECK(part.prior.shape_median == kBelief.shape_median);
      CHECK(part.prior.shape_log_sd == kBelief.shape_log_sd);
    }
  }
  CHECK(unlike[0].shared_share < 0.5);
  CHECK(alike[0].shared_share > 0.5);
  CHECK(alike[0].prior.scale_median < 700);
  CHECK(alike[0].prior.ln_scale_sd() < 0.85 * kBelief.ln_scale_sd());
  for (const auto& lender : alike[0].lenders) {
    CHECK(lender.shift < 0);
  }
}

TEST_CASE("Nothing shared lends nothing, and more shared lends more") {
  double before = 1000.1;
  for (const double share : {0.0, 0.2, 0.5, 0.8}) {
    const auto parts = borrow({{}, kShort, kShort}, {{share}});
    CHECK(parts[0].prior.scale_median < before);
    before = share > 0 ? parts[0].prior.scale_median : 1000 - 1e-6;
    if (share <= 0) {
      CHECK(parts[0].prior.scale_median == Approx(1000).epsilon(1e-9));
    }
  }
}

TEST_CASE("The order of the parts only orders the answer") {
  const auto ahead = borrow({kShort, kLong, {}, kShort});
  const auto back = borrow({kShort, {}, kLong, kShort});
  CHECK(ahead[1].prior.scale_median == Approx(back[2].prior.scale_median).epsilon(1e-12));
  CHECK(ahead[0].prior.scale_median == Approx(back[3].prior.scale_median).epsilon(1e-12));
}

TEST_CASE("A class belief off by far is followed once the parts agree against it") {
  std::mt19937_64 random(23);
  std::vector<Records> parts;
  for (int part = 0; part < 12; ++part) {
    parts.push_back(testing::drawn_records(random, 40, 20, 2));
  }
  const auto answer = borrow(parts);
  CHECK(answer[0].prior.scale_median < 60);
  CHECK(std::isfinite(answer[0].prior.ln_scale_sd()));
}

TEST_CASE("Shares, beliefs and records outside their domain are refused when borrowing") {
  CHECK_THROWS_AS(borrow({kShort, kLong}, {{1.0}}), InputError);
  CHECK_THROWS_AS(borrow({kShort, kLong}, {{-0.1}}), InputError);
  CHECK_THROWS_AS(borrow({kShort, kLong}, {{}}), InputError);
  const Records backward{{LifeKind::failed, 10, 0, 5}};
  CHECK_THROWS_AS(borrow({kShort, backward}), InputError);
  const std::vector<std::span<const LifeRecord>> none;
  CHECK_THROWS_AS(borrowed_priors({1000, 2500, 400, 1.5}, none), InputError);
}
