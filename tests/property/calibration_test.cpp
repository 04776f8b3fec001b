// Simulation-based calibration (Talts et al. 2018, arXiv:1804.06788): draw the truth from the
// belief, a record from the truth, and place the truth in the posterior. The places are uniform
// exactly when belief, likelihood and integration all agree with the simulator, which shares no
// code with them.

#include <array>
#include <catch2/catch.hpp>
#include <cmath>
#include <vector>

#include "simulated_fleet.hpp"
#include "stats/condition_factor.hpp"
#include "stats/marginals.hpp"
#include "stats/prior.hpp"

using namespace shearpin::stats;

namespace {

constexpr int kDraws = 1000;
constexpr std::size_t kBins = 20;
// Chi-square with 19 degrees of freedom exceeds it once in a thousand (R 4.2.2: qchisq(0.999, 19)).
constexpr double kChiSquare19 = 43.82;
// Likewise with 3 degrees of freedom.
constexpr double kChiSquare3 = 16.27;

class Ranks {
 public:
  void add(double share_below) {
    ++bins_[static_cast<std::size_t>(std::min(share_below * kBins, kBins - 0.5))];
  }
  double chi_square() const {
    const double expected = static_cast<double>(kDraws) / kBins;
    double sum = 0;
    for (const int count : bins_) {
      sum += (count - expected) * (count - expected) / expected;
    }
    return sum;
  }

 private:
  std::array<int, kBins> bins_{};
};

double none(double) { return 0; }
double ln_mtbf_factor(double shape) { return std::lgamma(1 + 1 / shape); }

}  // namespace

TEST_CASE("The truth ranks uniformly in the posterior of scale, shape and MTBF") {
  struct Case {
    WeibullPrior prior;
    int units;
  };
  const Case c =
      GENERATE(Case{{1000, 400, 2500, 1.5, 0.35}, 8}, Case{{600, 60, 6000, 0.9, 0.35}, 3},
               Case{{1000, 700, 1400, 3, 0.35}, 30});
  CAPTURE(c.prior.scale_low, c.units);
  std::mt19937_64 random(20180418);
  Ranks scale;
  Ranks shape;
  Ranks mtbf;
  for (int draw = 0; draw < kDraws; ++draw) {
    const Weibull truth = simulated::drawn_life(random, c.prior);
    const auto records = simulated::fleet(random, truth, c.units, 1.5 * c.prior.scale_median);
    const LogPrior log = log_prior(c.prior);
    const RecordTable table = make_record_table(records);
    const Marginals marginals(log, table);
    const double ln_scale = std::log(truth.scale) - table.ln_reference;
    scale.add(DensityShares(marginals.of(none)).below(ln_scale));
    shape.add(DensityShares(marginals.of_shape()).below(std::log(truth.shape)));
    mtbf.add(
        DensityShares(marginals.of(ln_mtbf_factor)).below(ln_scale + ln_mtbf_factor(truth.shape)));
  }
  CHECK(scale.chi_square() < kChiSquare19);
  CHECK(shape.chi_square() < kChiSquare19);
  CHECK(mtbf.chi_square() < kChiSquare19);
}

TEST_CASE(
    "A condition's true factor falls below its 10, 50 and 90 % points as often as it should") {
  const WeibullPrior prior{1000, 400, 2500, 1.5, 0.35};
  const FactorPrior factor{1.8, 0.5};
  std::mt19937_64 random(1804);
  std::normal_distribution<double> normal;
  std::array<int, 4> bins{};
  for (int draw = 0; draw < kDraws; ++draw) {
    const Weibull truth = simulated::drawn_life(random, prior);
    const double f = std::min(8.0, factor.median * std::exp(factor.log_sd * normal(random)));
    const auto records = simulated::fleet_under_condition(random, truth, f, 10, 1500);
    const auto found = factor_posterior(prior, factor, records);
    REQUIRE(found);
    const Quantiles& q = found->factor;
    ++bins[(f > q.low ? 1U : 0U) + (f > q.median ? 1U : 0U) + (f > q.high ? 1U : 0U)];
  }
  const std::array<double, 4> shares{0.1, 0.4, 0.4, 0.1};
  double chi_square = 0;
  for (std::size_t i = 0; i < bins.size(); ++i) {
    const double expected = shares[i] * kDraws;
    chi_square += (bins[i] - expected) * (bins[i] - expected) / expected;
  }
  CAPTURE(bins[0], bins[1], bins[2], bins[3]);
  CHECK(chi_square < kChiSquare3);
}
