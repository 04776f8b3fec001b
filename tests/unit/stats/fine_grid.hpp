#pragma once
/// The posterior once more, by plain midpoint sums on a fine fixed grid: slow, written apart from
/// the engine, no placing and no refinement.

#include <cmath>
#include <limits>
#include <random>
#include <span>
#include <vector>

#include "shearpin/stats/weibull_posterior.hpp"

namespace shearpin::stats::testing {

inline double slow_log_likelihood(double scale, double shape, std::span<const LifeRecord> records) {
  // Capped, so that a difference of two that overflow is 0 and not undefined: such points of the
  // grid weigh nothing anyway.
  const auto hazard = [&](double age) { return std::min(std::pow(age / scale, shape), 1e200); };
  double sum = 0;
  for (const auto& record : records) {
    const double rate = std::log(shape / scale) + (shape - 1) * std::log(record.exit / scale);
    switch (record.kind) {
      case LifeKind::failed:
        sum += rate - (hazard(record.exit) - hazard(record.entry));
        break;
      case LifeKind::alive:
        sum -= hazard(record.exit) - hazard(record.entry);
        break;
      case LifeKind::interval:
        sum += -(hazard(record.lower) - hazard(record.entry)) +
               std::log(-std::expm1(-(hazard(record.exit) - hazard(record.lower))));
        break;
      case LifeKind::repaired:
        sum += rate;
        break;
    }
  }
  return sum;
}

/// Chance that a unit of `age` survives `exposure`, by an n x n midpoint sum over +- 8 deviations
/// of the prior about `centre` (in deviations), half width `reach`.
class FineGrid {
 public:
  FineGrid(const WeibullPrior& prior, std::span<const LifeRecord> records, int n) {
    const double u = prior.ln_scale_sd(), v = prior.shape_log_sd;
    const auto log_weight = [&](double x, double y) {
      return -0.5 * (x * x + y * y) + slow_log_likelihood(prior.scale_median * std::exp(u * x),
                                                          prior.shape_median * std::exp(v * y),
                                                          records);
    };
    // Two passes: the first finds where the mass is, the second lays the grid there.
    double low_x = -9, high_x = 9, low_y = -9, high_y = 9;
    for (int pass = 0; pass < 4; ++pass) {
      lay(prior, log_weight, pass < 3 ? 160 : n, low_x, high_x, low_y, high_y);
    }
  }

  double survival(double age, double exposure) const {
    double sum = 0;
    for (const auto& node : nodes_) {
      const double before = std::min(std::pow(age / node.scale, node.shape), 1e200);
      const double after = std::min(std::pow((age + exposure) / node.scale, node.shape), 1e201);
      sum += node.weight * std::exp(-(after - before));
    }
    return sum;
  }

  double scale_below(double scale) const {
    double sum = 0;
    for (const auto& node : nodes_) {
      sum += node.scale < scale ? node.weight : 0;
    }
    return sum;
  }

 private:
  template <class LogWeight>
  void lay(const WeibullPrior& prior, const LogWeight& log_weight, int n, double& low_x,
           double& high_x, double& low_y, double& high_y) {
    std::vector<double> logs;
    double top = -std::numeric_limits<double>::infinity();
    const double step_x = (high_x - low_x) / n, step_y = (high_y - low_y) / n;
    const double from_x = low_x, from_y = low_y;
    for (int i = 0; i < n; ++i) {
      for (int j = 0; j < n; ++j) {
        logs.push_back(log_weight(from_x + (i + 0.5) * step_x, from_y + (j + 0.5) * step_y));
        top = std::max(top, logs.back());
      }
    }
    nodes_.clear();
    double mass = 0;
    low_x = low_y = 1e9;
    high_x = high_y = -1e9;
    for (int i = 0; i < n; ++i) {
      for (int j = 0; j < n; ++j) {
        const double relative = logs[static_cast<std::size_t>(i * n + j)] - top;
        if (relative < -40) {
          continue;
        }
        const double x = from_x + (i + 0.5) * step_x, y = from_y + (j + 0.5) * step_y;
        low_x = std::min(low_x, x - 2 * step_x);
        high_x = std::max(high_x, x + 2 * step_x);
        low_y = std::min(low_y, y - 2 * step_y);
        high_y = std::max(high_y, y + 2 * step_y);
        nodes_.push_back({prior.scale_median * std::exp(prior.ln_scale_sd() * x),
                          prior.shape_median * std::exp(prior.shape_log_sd * y),
                          std::exp(relative)});
        mass += nodes_.back().weight;
      }
    }
    for (auto& node : nodes_) {
      node.weight /= mass;
    }
  }

  std::vector<WeibullNode> nodes_;
};

/// Records of `count` units drawn from a Weibull. How a unit is watched does not depend on the
/// truth (else the likelihood would leave something out): entered late or not, watched to a day of
/// its own, a quarter of them looked at only every 250.
inline std::vector<LifeRecord> drawn_records(std::mt19937_64& random, int count, double scale,
                                             double shape) {
  std::uniform_real_distribution<double> unit(0, 1);
  std::vector<LifeRecord> records;
  while (static_cast<int>(records.size()) < count) {
    const double entry = unit(random) < 0.3 ? 500 * unit(random) : 0;
    const double watched = entry + 1500 * unit(random);
    const bool looked_at = unit(random) < 0.25;
    // A life that is known to have passed `entry`.
    const double life =
        scale * std::pow(std::pow(entry / scale, shape) - std::log(unit(random)), 1 / shape);
    if (life > watched) {
      records.push_back({LifeKind::alive, entry, 0, watched});
    } else if (looked_at) {
      const double lower = std::max(entry, 250 * std::floor(life / 250));
      records.push_back({LifeKind::interval, entry, lower, 250 * std::floor(life / 250) + 250});
    } else {
      records.push_back({LifeKind::failed, entry, 0, std::max(life, entry + 1e-6)});
    }
  }
  return records;
}

}  // namespace shearpin::stats::testing
