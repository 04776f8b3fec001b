#include "shearpin/stats/weibull_posterior.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "shearpin/base/error.hpp"
#include "stats/check.hpp"
#include "stats/coarsening.hpp"
#include "stats/nodes_ahead.hpp"
#include "stats/normal.hpp"
#include "stats/posterior_grid.hpp"
#include "stats/prior.hpp"
#include "stats/weibull_likelihood.hpp"

namespace shearpin::stats {
namespace {

constexpr double kDropped = 1e-10;
constexpr double kFewAhead = 30;  // lives up to which fewer nodes save little

/// Copies the nodes worth keeping: those left out weigh less than kDropped together.
void take_nodes(const Grid& grid, double ln_reference, WeibullPosterior& out) {
  const double least = kDropped / static_cast<double>(grid.weight.size()) * grid.total;
  double kept = 0;
  for (const GridRow& row : grid.rows) {
    ShapeRow taken{out.nodes.size(), 0, row.shape, 0};
    for (std::size_t node = row.first; node < row.first + row.count; ++node) {
      if (grid.weight[node] >= least) {
        out.nodes.push_back({std::exp(grid.t[node] + ln_reference), row.shape, grid.weight[node]});
        taken.weight += grid.weight[node];
      }
    }
    taken.count = out.nodes.size() - taken.first;
    if (taken.count > 0) {
      out.rows.push_back(taken);
      kept += taken.weight;
    }
  }
  for (WeibullNode& node : out.nodes) {
    node.weight /= kept;
  }
  for (ShapeRow& row : out.rows) {
    row.weight /= kept;
  }
}

void set_moments(const Grid& grid, const DensityMode& mode, double ln_reference,
                 WeibullPosterior& out) {
  double sum = 0;
  double squares = 0;
  for (std::size_t node = 0; node < grid.t.size(); ++node) {
    const double from_mode = grid.t[node] - mode.t;
    sum += grid.weight[node] * from_mode;
    squares += grid.weight[node] * from_mode * from_mode;
  }
  const double mean = sum / grid.total;
  out.mean_log_scale = mean + mode.t + ln_reference;
  out.variance_log_scale = squares / grid.total - mean * mean;
}

}  // namespace

double WeibullPrior::ln_scale_sd() const {
  return (std::log(scale_high) - std::log(scale_low)) / (2 * kTenPercentPoint);
}

LogPrior log_prior(const WeibullPrior& prior) {
  require_positive("the median life", prior.scale_median);
  require_positive("the low end of the life's range", prior.scale_low);
  require_positive("the high end of the life's range", prior.scale_high);
  require_positive("the shape belief", prior.shape_median);
  require_not_negative("the spread of the shape belief", prior.shape_log_sd);
  if (!(prior.scale_low < prior.scale_high)) {
    throw InputError(
        fmt::format("the life's range runs from {} to {}: the low end must lie below the high one, "
                    "e.g. 400 to 2500",
                    prior.scale_low, prior.scale_high));
  }
  const double scale_sd = prior.ln_scale_sd();
  LogPrior log;
  log.scale_mean = std::log(prior.scale_median);
  log.scale_precision = 1 / (scale_sd * scale_sd);
  log.shape_mean = std::log(prior.shape_median);
  log.shape_fixed = prior.shape_log_sd <= 0;
  log.shape_precision = log.shape_fixed ? 0 : 1 / (prior.shape_log_sd * prior.shape_log_sd);
  return log;
}

WeibullPosterior posterior_of(const LogPrior& prior, std::span<const LifeRecord> records,
                              const PosteriorOptions& options) {
  const RecordTable table = make_record_table(records);
  const DensityMode mode = find_mode(prior, table, prior.shape_mean);
  if (!mode.found || !std::isfinite(mode.slopes.value) || !(mode.slopes.tt < 0)) {
    throw NumericError(
        "the posterior of a life has no bound: each repair needs the record of its own life, alive "
        "past the repair");
  }
  GridPlan plan;
  plan.tolerance = options.tolerance;
  plan.shape_step = shape_step_for(options.ahead, prior, table, mode);
  plan.lives =
      std::max({1.0, options.lives,
                lives_to_resolve(options.ahead, mode, table.ln_reference, plan.shape_step)});
  CheckedGrid checked = checked_grid(prior, table, mode, plan);
  WeibullPosterior out{};
  out.max_error_estimate = checked.error;
  out.mode_scale = std::exp(mode.t + table.ln_reference);
  out.mode_shape = std::exp(mode.z);
  out.log_evidence = mode.slopes.value + std::log(checked.grid.total);
  out.failures = failure_count(records);
  out.exposure = exposure_sum(records);
  set_moments(checked.grid, mode, table.ln_reference, out);
  if (plan.lives > kFewAhead && !options.ahead.empty()) {
    checked.grid = coarsened(checked.grid, plan, [&](double t, double shape) {
      return 1 + most_failures(options.ahead, std::exp(t + table.ln_reference), shape);
    });
  }
  take_nodes(checked.grid, table.ln_reference, out);
  return out;
}

WeibullPosterior weibull_posterior(const WeibullPrior& prior, std::span<const LifeRecord> records,
                                   const PosteriorOptions& options) {
  check_records(records);
  require_fraction("the tolerance", options.tolerance);
  require_positive("the number of lives to resolve", options.lives);
  for (const ExposureAhead& each : options.ahead) {
    require_not_negative("the age of a unit", each.age);
    require_not_negative("the exposure ahead", each.exposure);
    require_not_negative("the number of positions", each.positions);
    require_not_negative("the untested exposure", each.untested);
  }
  return posterior_of(log_prior(prior), records, options);
}

double predictive_survival(const WeibullPosterior& posterior, double age, double exposure) {
  require_not_negative("the age", age);
  require_not_negative("the exposure", exposure);
  if (exposure <= 0) {
    return 1;
  }
  double sum = 0;
  for (const WeibullNode& node : posterior.nodes) {
    const double end = std::pow((age + exposure) / node.scale, node.shape);
    const double share = age > 0 ? -std::expm1(-node.shape * std::log1p(exposure / age)) : 1;
    sum += node.weight * std::exp(-end * share);
  }
  return sum;
}

}  // namespace shearpin::stats
