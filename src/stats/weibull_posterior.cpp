#include "shearpin/stats/weibull_posterior.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "shearpin/base/error.hpp"
#include "shearpin/stats/weibull_likelihood.hpp"
#include "stats/check.hpp"
#include "stats/posterior_grid.hpp"
#include "stats/prior.hpp"
#include "stats/thinning.hpp"

namespace shearpin::stats {
namespace {

constexpr double kTenPercentPoint = 1.2815516;
constexpr double kDropped = 1e-10;
constexpr double kAlwaysAhead = 300;  // lives that are resolved whatever the belief
// Nodes that a row may take to resolve more: so many for few positions; fewer, down to kLeastInRow,
// where each node is dear to count and the error is shared by many.
constexpr double kMostInRow = 10000;
constexpr double kLeastInRow = 6000;
constexpr double kFewPositions = 3;
constexpr double kShortEnd = 2.5;  // deviations below the mode at which failures ahead are counted
constexpr double kFewAhead = 30;   // lives up to which thinning saves little
constexpr double kInStep = 1.7;    // see shape_step
constexpr double kManyPositions = 30;
constexpr double kLeastVariation = 0.3;  // deviation of a life over its mean, about 1.2 / shape
constexpr double kLeastShape = 0.02;     // mean lives are finite
constexpr double kShapeEnd = 2.5;        // likewise in ln shape, to either side
constexpr double kRowSpan = 15;          // deviations from one end of a row to the other
constexpr double kCountDigits = 17;  // natural logarithms that a step leaves (posterior_grid.cpp)

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

double positions_of(std::span<const ExposureAhead> ahead) {
  double sum = 0;
  for (const ExposureAhead& each : ahead) sum += each.positions;
  return sum;
}

/// Lives that a row's nodes can resolve: the chance of so many failures is as sharp in ln scale
/// as a normal bell of deviation 1 / (shape sqrt(lives)).
double most_lives(std::span<const ExposureAhead> ahead, const DensityMode& mode) {
  const double in_row = std::clamp(kMostInRow * kFewPositions / std::max(positions_of(ahead), 1.0),
                                   kLeastInRow, kMostInRow);
  const double step = kRowSpan / std::sqrt(-mode.slopes.tt) / in_row;
  const double frequency = 2 * std::numbers::pi / (std::exp(mode.z) * step);
  return std::max(kAlwaysAhead, frequency * frequency / (2 * kCountDigits));
}

/// Failures that the exposure ahead would bring, about: each position's share of the mean life, or
/// the chance that the unit there fails; `join` makes one number of both.
template <class Join>
double failures_by(std::span<const ExposureAhead> ahead, double scale, double shape, Join join) {
  const double mean_life = std::tgamma(1 + 1 / std::max(shape, kLeastShape));
  double sum = 0;
  for (const ExposureAhead& each : ahead) {
    const double lives = each.exposure / scale;
    const double end = std::pow((each.age + each.exposure) / scale, shape);
    const double hazard = each.age > 0 && lives > 0
                              ? -end * std::expm1(-shape * std::log1p(each.exposure / each.age))
                              : end;
    sum += each.positions * join(lives / mean_life, hazard);
  }
  return sum;
}

double failures_of(std::span<const ExposureAhead> ahead, double scale, double shape) {
  return failures_by(ahead, scale, shape, [](double lives, double hazard) {
    return std::max(lives, std::min(hazard, 1.0));
  });
}

/// Nearer for short stretches of new units: before a first life has run, its hazard counts.
double expected_ahead(std::span<const ExposureAhead> ahead, double scale, double shape) {
  return failures_by(ahead, scale, shape, [](double lives, double hazard) {
    return hazard < 1 ? hazard : std::max(lives, 1.0);
  });
}

/// No less than either, smooth in the scale, and no steeper than its inverse: a hazard would fall
/// with the power shape of it.
double bound_ahead(std::span<const ExposureAhead> ahead, double scale, double shape) {
  const double power = std::min(1.0, 1 / shape);
  return failures_by(ahead, scale, shape, [power](double lives, double hazard) {
    return lives - 1.6 * std::expm1(-std::pow(hazard, power));
  });
}

/// Failures ahead at the short end of what is believed, as far as nodes can resolve them.
double failures_in(std::span<const ExposureAhead> ahead, const DensityMode& mode,
                   double ln_reference) {
  const double scale = std::exp(mode.t + ln_reference - kShortEnd / std::sqrt(-mode.slopes.tt));
  return std::min(most_lives(ahead, mode), failures_of(ahead, scale, std::exp(mode.z)));
}

/// Factor on the step between rows: short stretches of many new units, or many old ones, count far
/// more failures for one shape than for the next.
double shape_step(std::span<const ExposureAhead> ahead, const LogPrior& prior,
                  const DensityMode& mode, double ln_reference) {
  if (ahead.empty() || prior.shape_fixed) return 1;
  const DensitySlopes& at = mode.slopes;
  const double bend = std::max(prior.shape_precision, at.tz * at.tz / at.tt - at.zz);
  const double sd = 1 / std::sqrt(bend);
  const double scale_sd = 1 / std::sqrt(-at.tt);
  // Deviations of the count in one of ln shape. Many positions that renew in step count more
  // sharply than the mean tells: found by trial over the whole domain.
  const double positions = positions_of(ahead);
  double steepest = kInStep * positions / (positions + kManyPositions);
  const double ridge = -at.tz / at.tt;  // how ln scale goes with ln shape where records tie them
  const auto expected = [&](double side, double back) {
    const double t = mode.t + ridge * side * sd - back * scale_sd;
    return expected_ahead(ahead, std::exp(t + ln_reference), std::exp(mode.z + side * sd));
  };
  for (const double back : {0.0, 1.0, 1.8, kShortEnd}) {
    for (const double side : {-kShapeEnd, 0.0, kShapeEnd}) {
      const double near = expected(side - 0.1, back);
      const double far = expected(side + 0.1, back);
      const double in_scale = (expected(side, back + 0.1) - expected(side, back - 0.1)) / 0.2;
      // A count is spread by chance, less where lives are alike, and by what is open of the scale.
      const double by_chance = std::sqrt(std::max({1.0, near, far})) *
                               std::clamp(1.2 / std::exp(mode.z + side * sd), kLeastVariation, 1.0);
      steepest = std::max(steepest, std::abs(far - near) / 0.2 / std::hypot(in_scale, by_chance));
    }
  }
  return 1 / std::hypot(1, steepest);
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
  plan.lives = std::max({1.0, options.lives, failures_in(options.ahead, mode, table.ln_reference)});
  plan.shape_step = shape_step(options.ahead, prior, mode, table.ln_reference);
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
    checked.grid = thinned(checked.grid, plan, [&](double t, double shape) {
      return 1 + bound_ahead(options.ahead, std::exp(t + table.ln_reference), shape);
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
