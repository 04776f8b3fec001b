#include <boost/math/distributions/negative_binomial.hpp>
#include <boost/math/distributions/poisson.hpp>
#include <catch2/catch.hpp>
#include <cmath>

#include "life_sets.hpp"
#include "shearpin/stats/weibull_posterior.hpp"
#include "stats/prior.hpp"
#include "stats/weibull_fit.hpp"

using namespace shearpin::stats;

namespace {

/// Gamma law of a rate: mean shape / exposure.
struct GammaRate {
  double shape;
  double exposure;
};

/// Shape 1 for certain and a gamma belief about the rate: the posterior is known in closed form.
LogPrior gamma_prior(const GammaRate& law) {
  LogPrior prior;
  prior.shape_fixed = true;
  prior.rate_shape = law.shape;
  prior.rate_exposure = law.exposure;
  return prior;
}

double predictive_pmf(const WeibullPosterior& posterior, double future, long k) {
  double sum = 0;
  for (const WeibullNode& node : posterior.nodes) {
    sum += node.weight * boost::math::pdf(boost::math::poisson(future / node.scale), k);
  }
  return sum;
}

}  // namespace

TEST_CASE("With the shape fixed at 1 and a gamma belief the nodes give the gamma-Poisson answers") {
  // Gelman et al., Bayesian Data Analysis, ch. 2.6: gamma posterior, negative binomial predictive.
  struct Case {
    GammaRate prior;
    std::vector<LifeRecord> records;
    double future;
  };
  const LifeRecord failed_300{LifeKind::failed, 0, 0, 300};
  const LifeRecord failed_late{LifeKind::failed, 400, 0, 609};
  const LifeRecord alive{LifeKind::alive, 0, 0, 1400};
  const std::vector<Case> cases{
      {{2, 1400}, {failed_300, failed_late, alive}, 1000},  // handbook's belief: r = 2, T = 1909
      {{2, 1400}, {}, 1000},
      {{0.5, 10}, {alive, alive}, 200},
      {{0.5, 1000}, std::vector<LifeRecord>(40, failed_300), 2000},
      {{30, 5000}, {failed_300}, 5000},
  };
  for (const Case& c : cases) {
    double exposure = 0;
    long failures = 0;
    for (const LifeRecord& record : c.records) {
      exposure += record.exit - record.entry;
      failures += record.kind == LifeKind::failed ? 1 : 0;
    }
    const GammaRate law{c.prior.shape + static_cast<double>(failures), c.prior.exposure + exposure};
    const boost::math::negative_binomial predictive(law.shape,
                                                    law.exposure / (law.exposure + c.future));
    const WeibullPosterior posterior =
        posterior_of(gamma_prior(c.prior), c.records, {.tolerance = 1e-7, .lives = 8});
    CAPTURE(c.prior.shape, failures, exposure, posterior.nodes.size());
    REQUIRE(posterior.rows.size() == 1);
    for (const long k : {0, 1, 2, 3, 5, 8}) {
      CHECK(predictive_pmf(posterior, c.future, k) ==
            Approx(boost::math::pdf(predictive, k)).epsilon(0).margin(1e-6));
    }
    // Survival of one unit is the predictive of no event.
    CHECK(predictive_survival(posterior, 0, c.future) ==
          Approx(std::pow(predictive.success_fraction(), law.shape)).epsilon(0).margin(1e-6));
    CHECK(predictive_survival(posterior, 123, c.future) ==
          Approx(std::pow(predictive.success_fraction(), law.shape)).epsilon(0).margin(1e-6));
    const double evidence = c.prior.shape * std::log(c.prior.exposure) -
                            std::lgamma(c.prior.shape) + std::lgamma(law.shape) -
                            law.shape * std::log(law.exposure);
    CHECK(posterior.log_evidence == Approx(evidence).epsilon(0).margin(1e-6));
    CHECK(posterior.mode_scale == Approx(law.exposure / law.shape).epsilon(1e-8));
  }
}

TEST_CASE("With flat priors the mode of the posterior is the maximum-likelihood fit of R") {
  // Nearly flat: a normal belief with a deviation of 10^5 in each logarithm, away from the data.
  LogPrior prior;
  prior.scale_mean = 3;
  prior.scale_precision = 1e-10;
  prior.shape_mean = 1;
  prior.shape_precision = 1e-10;
  const auto sets = reference::life_sets();
  for (const auto& row : reference::read("stats/weibull_fit.csv")) {
    INFO(row.at("id") << ": " << row.at("source"));
    const RecordTable table = make_record_table(sets.at(row.at("set")));
    const DensityMode mode = find_mode(prior, table, prior.shape_mean);
    REQUIRE(mode.found);
    CHECK(std::exp(mode.t + table.ln_reference) ==
          Approx(reference::number(row, "scale")).epsilon(1e-6));
    CHECK(std::exp(mode.z) == Approx(reference::number(row, "shape")).epsilon(1e-6));
  }
}

TEST_CASE("With much data and a vague belief the posterior's mode nears the fit") {
  const auto sets = reference::life_sets();
  const WeibullFit fit = weibull_fit(sets.at("capacitor"));
  const WeibullPosterior posterior =
      weibull_posterior({1000, 1e-3, 1e9, 1.5, 40}, sets.at("capacitor"));
  CHECK(posterior.mode_scale == Approx(fit.life.scale).epsilon(1e-3));
  CHECK(posterior.mode_shape == Approx(fit.life.shape).epsilon(1e-3));
  // The posterior of ln scale is about normal with the fit's standard error.
  CHECK(std::sqrt(posterior.variance_log_scale) == Approx(fit.se_log_scale).epsilon(0.1));
}

TEST_CASE("A belief of no spread in shape is the fixed shape") {
  const std::vector<LifeRecord> records{{LifeKind::failed, 0, 0, 300},
                                        {LifeKind::alive, 50, 0, 900}};
  const WeibullPosterior fixed = weibull_posterior({1000, 400, 2500, 1.7, 0}, records);
  const WeibullPosterior narrow = weibull_posterior({1000, 400, 2500, 1.7, 1e-5}, records);
  REQUIRE(fixed.rows.size() == 1);
  CHECK(fixed.nodes.front().shape == Approx(1.7).epsilon(1e-15));
  for (const double stretch : {10.0, 300.0, 2000.0}) {
    CHECK(predictive_survival(fixed, 200, stretch) ==
          Approx(predictive_survival(narrow, 200, stretch)).epsilon(0).margin(1e-6));
  }
}
