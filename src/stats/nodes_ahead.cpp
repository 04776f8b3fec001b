#include "stats/nodes_ahead.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

namespace shearpin::stats {
namespace {

constexpr double kAlwaysAhead = 300;  // lives that are resolved whatever the belief
// Nodes that a row may take to resolve more: so many for few positions; fewer, down to kLeastInRow,
// where each node is dear to count and the error is shared by many.
constexpr double kMostInRow = 10000;
constexpr double kLeastInRow = 6000;
constexpr double kFewPositions = 3;
// No more in all, for about kRows rows at a factor of 1 between them; at least kFewestInRow.
constexpr double kMostNodes = 600'000;
constexpr double kRows = 16;
constexpr double kFewestInRow = 1500;
constexpr double kShortEnd = 2.5;  // deviations below the mode at which failures ahead are counted
constexpr double kInStep = 1.7;    // see shape_step_for
constexpr double kManyPositions = 30;
constexpr double kLeastVariation = 0.3;  // deviation of a life over its mean, about 1.2 / shape
constexpr double kLeastShape = 0.02;     // mean lives are finite
constexpr double kOpenScale = 0.7;       // of what a deviation of the scale does, to be safe
// Rows looked at to find how far apart rows may be: so many deviations of ln shape apart, to where
// they weigh e^-kLightProbe of the heaviest.
constexpr double kShapeProbe = 0.5;
constexpr double kLightProbe = 12;
constexpr int kMostProbes = 40;
constexpr double kRowSpan = 15;      // deviations from one end of a row to the other
constexpr double kCountDigits = 17;  // natural logarithms that a step leaves (posterior_grid.cpp)

double positions_of(std::span<const ExposureAhead> ahead) {
  double sum = 0;
  for (const ExposureAhead& each : ahead) sum += each.positions;
  return sum;
}

/// Lives that a row's nodes can resolve: the chance of so many failures is as sharp in ln scale
/// as a normal bell of deviation 1 / (shape sqrt(lives)).
double most_lives(std::span<const ExposureAhead> ahead, const DensityMode& mode,
                  double shape_step) {
  const double wanted = std::clamp(kMostInRow * kFewPositions / std::max(positions_of(ahead), 1.0),
                                   kLeastInRow, kMostInRow);
  const double in_row = std::min(wanted, std::max(kFewestInRow, kMostNodes * shape_step / kRows));
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
    const double run = each.untested + each.exposure;
    const double end = std::pow((each.age + run) / scale, shape);
    const double hazard =
        each.age > 0 && run > 0 ? -end * std::expm1(-shape * std::log1p(run / each.age)) : end;
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

/// Where a row of one shape has its weight, and ln of how much.
struct RowPlace {
  double t;
  double sd;
  double shape;
  double ln_mass;
};

RowPlace place_of_row(const LogPrior& prior, const RecordTable& table, double z, double guess) {
  RowDensity row;
  row.set(prior, table, z);
  const double t = row.mode(guess, 0.001);
  const double sd = 1 / std::sqrt(row.curvature(t));
  return {t, sd, std::exp(z), row.value(t) + std::log(sd)};
}

/// Rows every `step` from the mode outwards to where they weigh next to nothing, by rising shape.
std::vector<RowPlace> probed_rows(const LogPrior& prior, const RecordTable& table,
                                  const DensityMode& mode, double step) {
  std::vector<RowPlace> rows{place_of_row(prior, table, mode.z, mode.t)};
  double most = rows.front().ln_mass;
  for (const double way : {-step, step}) {
    if (way > 0) std::ranges::reverse(rows);
    double z = mode.z;
    double guess = mode.t;
    for (int i = 0; i < kMostProbes; ++i) {
      z += way;
      const RowPlace row = place_of_row(prior, table, z, guess);
      most = std::max(most, row.ln_mass);
      if (!(row.ln_mass > most - kLightProbe)) break;
      rows.push_back(row);
      guess = row.t;
    }
  }
  return rows;
}

}  // namespace

double most_failures(std::span<const ExposureAhead> ahead, double scale, double shape) {
  const double power = std::min(1.0, 1 / shape);
  return failures_by(ahead, scale, shape, [power](double lives, double hazard) {
    return lives - 1.6 * std::expm1(-std::pow(hazard, power));
  });
}

double lives_to_resolve(std::span<const ExposureAhead> ahead, const DensityMode& mode,
                        double ln_reference, double shape_step) {
  const double scale = std::exp(mode.t + ln_reference - kShortEnd / std::sqrt(-mode.slopes.tt));
  return std::min(most_lives(ahead, mode, shape_step), failures_of(ahead, scale, std::exp(mode.z)));
}

double shape_step_for(std::span<const ExposureAhead> ahead, const LogPrior& prior,
                      const RecordTable& table, const DensityMode& mode) {
  if (ahead.empty() || prior.shape_fixed) return 1;
  const DensitySlopes& at = mode.slopes;
  const double bend = std::max(prior.shape_precision, at.tz * at.tz / at.tt - at.zz);
  const double sd = 1 / std::sqrt(bend);
  const auto expected = [&](const RowPlace& row, double back) {
    return expected_ahead(ahead, std::exp(row.t - back * row.sd + table.ln_reference), row.shape);
  };
  const auto open_scale = [&](const RowPlace& row, double back) {
    return kOpenScale * (expected(row, back + 0.5) - expected(row, back - 0.5));
  };
  // Deviations of the count in one of ln shape. Many positions that renew in step count more
  // sharply than the mean tells: found by trial over the whole domain.
  const double positions = positions_of(ahead);
  double steepest = kInStep * positions / (positions + kManyPositions);
  const std::vector<RowPlace> rows = probed_rows(prior, table, mode, kShapeProbe * sd);
  for (const double back : {0.0, 1.0, 1.8, kShortEnd}) {
    double before = expected(rows.front(), back);
    double open_before = open_scale(rows.front(), back);
    for (std::size_t i = 1; i < rows.size(); ++i) {
      const double after = expected(rows[i], back);
      const double open_after = open_scale(rows[i], back);
      // A count is spread by chance, less where lives are alike, and by what is open of the scale.
      const double by_chance = std::sqrt(std::max({1.0, before, after})) *
                               std::clamp(1.2 / rows[i].shape, kLeastVariation, 1.0);
      const double spread = std::hypot(std::max(open_before, open_after), by_chance);
      steepest = std::max(steepest, std::abs(after - before) / kShapeProbe / spread);
      before = after;
      open_before = open_after;
    }
  }
  return 1 / std::hypot(1, steepest);
}

}  // namespace shearpin::stats
