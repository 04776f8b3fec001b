#include "stats/condition_factor.hpp"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <functional>
#include <limits>
#include <vector>

#include "shearpin/base/error.hpp"

using namespace shearpin;
using namespace shearpin::stats;

namespace {

SplitRecord failed(SplitAge exit, bool exposed, SplitAge entry = {}) {
  return {LifeKind::failed, entry, {}, exit, exposed};
}
SplitRecord alive(SplitAge exit, SplitAge entry = {}) {
  return {LifeKind::alive, entry, {}, exit, false};
}
SplitRecord found(SplitAge lower, SplitAge exit) {
  return {LifeKind::interval, {}, lower, exit, false};
}

/// ln of what a record tells, written out in days: hazard of a day under the condition f h(e).
double slow_log_likelihood(double scale, double shape, double f,
                           const std::vector<SplitRecord>& records) {
  double sum = 0;
  for (const auto& r : records) {
    const auto hazard = [&](const SplitAge& a) {
      return std::pow((a.plain + f * a.exposed) / scale, shape);
    };
    if (r.kind == LifeKind::interval) {
      sum += std::log(std::exp(-(hazard(r.lower) - hazard(r.entry))) -
                      std::exp(-(hazard(r.exit) - hazard(r.entry))));
      continue;
    }
    sum -= hazard(r.exit) - hazard(r.entry);
    if (r.kind == LifeKind::failed) {
      const double age = r.exit.plain + f * r.exit.exposed;
      sum +=
          std::log(shape / scale * std::pow(age / scale, shape - 1) * (r.exposed_at_exit ? f : 1));
    }
  }
  return sum;
}

/// Sum over a midpoint grid in (ln f, ln scale, ln shape) of prior x likelihood x what is asked.
struct SlowJoint {
  using Ask = std::function<double(double, double, double)>;

  WeibullPrior prior;
  FactorPrior factor;
  std::vector<SplitRecord> records;
  int n_factor, n_scale, n_shape;

  /// Factor, rising, with the sum over scale and shape; ask(f, scale, shape).
  std::vector<std::pair<double, double>> by_factor(const Ask& ask) const {
    const auto middle = [](int i, int n) { return -7 + 14 * (i + 0.5) / n; };
    constexpr double kTwoPi = 6.283185307179586;
    const double cell = 14.0 * 14.0 / n_factor / n_scale / kTwoPi *
                        (n_shape > 1 ? 14.0 / n_shape / std::sqrt(kTwoPi) : 1);
    std::vector<std::pair<double, double>> sums;
    for (int i = 0; i < n_factor; ++i) {
      const double x = middle(i, n_factor);
      const double f = std::min(factor.median * std::exp(factor.log_sd * x), factor.largest);
      double total = 0;
      for (int j = 0; j < n_scale; ++j) {
        const double y = middle(j, n_scale);
        const double scale = prior.scale_median * std::exp(prior.ln_scale_sd() * y);
        for (int k = 0; k < n_shape; ++k) {
          const double z = n_shape > 1 ? middle(k, n_shape) : 0;
          const double shape = prior.shape_median * std::exp(prior.shape_log_sd * z);
          const double weight = std::exp(-0.5 * (x * x + y * y + z * z) +
                                         slow_log_likelihood(scale, shape, f, records));
          total += weight > 0 ? weight * ask(f, scale, shape) : 0;
        }
      }
      sums.emplace_back(f, total * cell);
    }
    return sums;
  }

  /// Over all three; with ask = 1 the evidence.
  double sum(const Ask& ask) const {
    double total = 0;
    for (const auto& [f, part] : by_factor(ask)) {
      total += part;
    }
    return total;
  }
};

double one(double, double, double) { return 1; }

double survives(const FactorPosterior& posterior, const SplitAge& stretch) {
  double sum = 0;
  for (const auto& slice : posterior.slices) {
    sum += slice.weight * predictive_survival(slice.life, 0, stretch.at(slice.factor));
  }
  return sum;
}

const std::vector<SplitRecord> kRecords{
    failed({300, 200}, true), failed({500, 350}, false),     failed({700, 60}, true, {100, 40}),
    alive({900, 300}),        found({200, 100}, {260, 190}), alive({400, 0})};

}  // namespace

TEST_CASE("With a constant rate the factor agrees with plain sums over factor and life") {
  const WeibullPrior prior{800, 300, 2200, 1, 0};
  for (const double cap : {8.0, 2.5}) {
    CAPTURE(cap);
    const FactorPrior factor{2, 0.5, cap};
    const auto found = factor_posterior(prior, factor, kRecords);
    REQUIRE(found);
    const SlowJoint slow{prior, factor, kRecords, 14000, 100, 1};
    const auto masses = slow.by_factor(one);
    double mass = 0;
    for (const auto& [f, part] : masses) {
      mass += part;
    }
    CHECK(found->log_evidence == Approx(std::log(mass)).margin(2e-5));
    const auto below = [&](double limit) {
      double sum = 0;
      for (const auto& [f, part] : masses) {
        sum += f <= limit ? part / mass : 0;
      }
      return sum;
    };
    // An indicator on a grid of 14000 is good to half a cell, 2e-4 at most.
    CHECK(found->chance_above_one == Approx(1 - below(1)).margin(3e-4));
    CHECK(found->chance_above_prior == Approx(1 - below(2)).margin(3e-4));
    CHECK(below(found->factor.low) == Approx(0.1).margin(3e-4));
    CHECK(below(found->factor.median) == Approx(0.5).margin(3e-4));
    if (cap > 2.5) {
      CHECK(below(found->factor.high) == Approx(0.9).margin(3e-4));
    } else {
      CHECK(found->factor.high == Approx(2.5).epsilon(1e-12));
    }
    const double survival =
        slow.sum([](double f, double s, double) { return std::exp(-(100 + f * 50) / s); }) / mass;
    CHECK(survives(*found, {100, 50}) == Approx(survival).margin(1e-6));
  }
}

TEST_CASE("Factor, scale and shape together agree with plain sums over all three") {
  const WeibullPrior prior{800, 300, 2200, 1.6, 0.35};
  const FactorPrior factor{1.4, 0.3};
  const auto found = factor_posterior(prior, factor, kRecords);
  REQUIRE(found);
  const SlowJoint slow{prior, factor, kRecords, 60, 70, 60};
  const double mass = slow.sum(one);
  CHECK(found->log_evidence == Approx(std::log(mass)).margin(1e-5));
  const double mean = slow.sum([](double f, double, double) { return std::log(f); }) / mass;
  double mean_found = 0;
  double weights = 0;
  for (const auto& slice : found->slices) {
    mean_found += slice.weight * std::log(slice.factor);
    weights += slice.weight;
  }
  CHECK(weights == Approx(1).epsilon(1e-12));
  CHECK(mean_found == Approx(mean).margin(1e-6));
  for (const SplitAge stretch : {SplitAge{150, 0}, SplitAge{0, 150}, SplitAge{400, 500}}) {
    const double survival = slow.sum([&](double f, double s, double b) {
      return std::exp(-std::pow((stretch.plain + f * stretch.exposed) / s, b));
    });
    CHECK(survives(*found, stretch) == Approx(survival / mass).margin(2e-6));
  }
  double joint = 0;
  double alone = 0;
  for (const auto& node : joint_nodes(*found)) {
    joint += node.weight;
    alone += node.weight * std::exp(-std::pow(150 / node.scale, node.shape));
  }
  CHECK(joint == Approx(1).epsilon(1e-9));
  CHECK(alone == Approx(survives(*found, {150, 0})).epsilon(1e-9));
}

TEST_CASE("A record that hardly saw the condition leaves the belief as it was") {
  const WeibullPrior prior{1000, 400, 2500, 1.5};
  const std::vector<SplitRecord> records{failed({700, 0}, false), alive({900, 1e-6})};
  const auto found = factor_posterior(prior, {2, 0.5}, records);
  REQUIRE(found);
  CHECK(found->factor.median == Approx(2).epsilon(1e-5));
  // 80 % of a lognormal: exp(+-1.2815516 sd) about its median.
  CHECK(found->factor.low == Approx(2 * std::exp(-1.2815516 * 0.5)).epsilon(1e-5));
  CHECK(found->factor.high == Approx(2 * std::exp(1.2815516 * 0.5)).epsilon(1e-5));
  CHECK(found->chance_above_prior == Approx(0.5).margin(1e-5));
  CHECK(found->share_learnt == Approx(0).margin(1e-5));
}

TEST_CASE("What is not exposed both ways cannot tell the factor from the life") {
  const WeibullPrior prior{1000, 400, 2500, 1.5};
  const std::vector<SplitRecord> plain{failed({700, 0}, false)};
  const std::vector<SplitRecord> exposed{failed({0, 700}, true)};
  const std::vector<SplitRecord> before_entry{failed({700, 90}, false, {0, 90})};
  CHECK_FALSE(factor_is_learnable(plain));
  CHECK_FALSE(factor_posterior(prior, {2}, plain));
  CHECK_FALSE(factor_posterior(prior, {2}, exposed));
  CHECK_FALSE(factor_posterior(prior, {2}, before_entry));
  CHECK_FALSE(factor_posterior(prior, {2}, {}));
}

TEST_CASE("Many failures under the condition and few without it raise the factor, and back") {
  const WeibullPrior prior{1000, 400, 2500, 1.5};
  std::vector<SplitRecord> hurt;
  std::vector<SplitRecord> spared;
  for (int i = 0; i < 40; ++i) {
    const double age = 100 + 10 * i;
    hurt.push_back(failed({0, age}, true));
    hurt.push_back(alive({4 * age, 0}));
    spared.push_back(failed({age, 0}, false));
    spared.push_back(alive({0, 4 * age}));
  }
  const auto up = factor_posterior(prior, {1.5}, hurt);
  const auto down = factor_posterior(prior, {1.5}, spared);
  REQUIRE(up);
  REQUIRE(down);
  CHECK(up->factor.low > 3);
  CHECK(up->factor.high <= 8);
  CHECK(up->chance_above_one > 0.9999);
  CHECK(up->share_learnt > 0.5);
  CHECK(down->factor.high < 0.7);
  CHECK(down->chance_above_one < 1e-4);
}

TEST_CASE("The unit and the order of the records do not matter") {
  const WeibullPrior days{800, 300, 2200, 1.6};
  const WeibullPrior hours{800 * 24, 300 * 24, 2200 * 24, 1.6};
  std::vector<SplitRecord> scaled(kRecords.rbegin(), kRecords.rend());
  for (auto& r : scaled) {
    for (SplitAge* age : {&r.entry, &r.lower, &r.exit}) {
      *age = {age->plain * 24, age->exposed * 24};
    }
  }
  const auto a = factor_posterior(days, {2}, kRecords);
  const auto b = factor_posterior(hours, {2}, scaled);
  CHECK(a->factor.median == Approx(b->factor.median).epsilon(1e-5));
  CHECK(a->chance_above_one == Approx(b->chance_above_one).margin(1e-5));
}

TEST_CASE("Factors and split records outside their domain are refused") {
  const WeibullPrior prior{1000, 400, 2500, 1.5};
  const std::vector<SplitRecord> sound{failed({100, 50}, true)};
  CHECK_THROWS_AS(factor_posterior(prior, {0}, sound), InputError);
  CHECK_THROWS_AS(factor_posterior(prior, {2, 0}, sound), InputError);
  CHECK_THROWS_AS(factor_posterior(prior, {9}, sound), InputError);
  CHECK_THROWS_AS(factor_posterior(prior, {2, 0.5, -8}, sound), InputError);
  CHECK_THROWS_AS(records_at(sound, 0), InputError);
  const auto refuses = [&](const SplitRecord& record) {
    const std::vector<SplitRecord> records{record};
    CHECK_THROWS_AS(factor_posterior(prior, {2}, records), InputError);
  };
  refuses(failed({100, 50}, true, {0, 60}));  // exposed falls
  refuses(failed({100, -1}, true));           // below 0
  refuses(failed({0, 0}, true));              // failed at age 0
  refuses(found({50, 60}, {100, 50}));        // lower above exit
  refuses(found({50, 50}, {50, 50}));         // an interval of nothing
  refuses(alive({std::numeric_limits<double>::quiet_NaN(), 50}));
}
