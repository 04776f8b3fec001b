#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>
#include <iostream>
#include <map>

#include "problems.hpp"
#include "shearpin/stats/constant_rate.hpp"
#include "stats/kaplan_meier.hpp"
#include "stats/weibull_fit.hpp"
#include "tool.hpp"

using namespace shearpin::stats;

namespace {

/// Our figures by problem, what was found and at which age.
struct Figure {
  double value;
  double relative;  ///< tolerance
};
using Figures = std::map<std::string, Figure>;

std::string key_of(const std::string& id, const std::string& what, double age) {
  return id + " " + what + " " + std::to_string(age);
}

class OurFigures {
 public:
  void put(const std::string& id, const std::string& what, double age, double value,
           double relative) {
    figures_[key_of(id, what, age)] = {value, relative};
  }

  /// Every answer has a figure of ours and equals it; returns how many there were.
  std::size_t check(const std::vector<live::Answer>& answers) const {
    for (const live::Answer& answer : answers) {
      const std::string key = key_of(answer.id, answer.what, answer.age);
      INFO(key);
      const auto found = figures_.find(key);
      REQUIRE(found != figures_.end());
      const Figure& ours = found->second;
      // What is 0 by cancellation is so to the last digit only: a share without effect.
      const double margin = ours.relative > 0 ? 1e-15 : 0;
      CHECK(std::abs(ours.value - answer.value) <= ours.relative * std::abs(answer.value) + margin);
    }
    return answers.size();
  }

 private:
  Figures figures_;
};

void put_fits(const live::Problems& problems, OurFigures& ours) {
  for (const live::LifeProblem& problem : problems.lives) {
    const WeibullFit fit = weibull_fit(problem.records);
    ours.put(problem.id, "shape", 0, fit.life.shape, 1e-6);
    ours.put(problem.id, "scale", 0, fit.life.scale, 1e-6);
    ours.put(problem.id, "log_likelihood", 0, fit.log_likelihood, 1e-9);
  }
}

void put_survival(const live::Problems& problems, OurFigures& ours) {
  for (const live::LifeProblem& problem : problems.lives) {
    if (problem.watching == live::Watching::looked_at) {
      continue;
    }
    for (const KaplanMeierStep& step : kaplan_meier(problem.records)) {
      ours.put(problem.id, "km_survival", step.age, step.survival, 1e-10);
      if (step.standard_error) {
        const SurvivalInterval interval = survival_interval(step, 0.9).value();
        ours.put(problem.id, "km_standard_error", step.age, *step.standard_error, 1e-10);
        ours.put(problem.id, "km_lower", step.age, interval.lower, 1e-10);
        ours.put(problem.id, "km_upper", step.age, interval.upper, 1e-10);
      }
    }
  }
}

void put_means(const live::Problems& problems, OurFigures& ours) {
  for (const live::EventProblem& problem : problems.events) {
    for (const McfStep& step : mean_cumulative_function(problem.systems)) {
      ours.put(problem.id, "mcf_mean", step.age, step.mean, 1e-10);
      ours.put(problem.id, "mcf_robust_error", step.age, std::sqrt(step.robust_variance), 1e-10);
    }
  }
}

void put_quantiles(const live::Problems& problems, OurFigures& ours) {
  for (const live::QuantileProblem& problem : problems.quantiles) {
    // The upper limit of a rate is a chi-square quantile: failures r in exposure 1/2 give 2r + 2
    // degrees of freedom, and each side of an interval leaves half of what is outside.
    const long failures = std::lround(problem.degrees) / 2 - 1;
    const double level = failures == 0 ? problem.probability : 2 * problem.probability - 1;
    ours.put(problem.id, "quantile", 0, rate_interval({failures, 0.5}, level).upper, 1e-12);
  }
}

void skip(const std::string& why) { std::cout << "SKIPPED: " << why << std::endl; }

}  // namespace

TEST_CASE("R finds the same fits, survival curves, event means and quantiles") {
  if (!live::runs("Rscript -e 'library(survival)'")) {
    skip("there is no Rscript with the package survival (Debian: r-base-core, r-cran-survival)");
    return;
  }
  const live::Problems problems = live::make_problems();
  OurFigures ours;
  put_fits(problems, ours);
  put_survival(problems, ours);
  put_means(problems, ours);
  put_quantiles(problems, ours);
  const live::ScratchFolder folder;
  live::write_problems(problems, folder.path());
  const auto answers =
      live::answers_of("Rscript", SHEARPIN_LIVE_DIR "/live_reference.R", folder.path());
  CHECK(ours.check(answers) > 3000);
}

TEST_CASE("scipy finds the same fits and quantiles") {
  // Where another python3 comes first on the path, Debian's own has Debian's scipy.
  const std::string candidates[] = {"python3", "/usr/bin/python3"};
  const auto* python = std::ranges::find_if(candidates, [](const std::string& candidate) {
    return live::runs(candidate + " -c 'import scipy'");
  });
  if (python == std::end(candidates)) {
    skip("there is no python3 with scipy (Debian: python3-scipy)");
    return;
  }
  const live::Problems problems = live::make_problems();
  OurFigures ours;
  put_fits(problems, ours);
  put_quantiles(problems, ours);
  const live::ScratchFolder folder;
  live::write_problems(problems, folder.path());
  const auto answers =
      live::answers_of(*python, SHEARPIN_LIVE_DIR "/live_reference.py", folder.path());
  CHECK(ours.check(answers) == 3 * 120 + 40);
}
