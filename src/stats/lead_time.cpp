#include "shearpin/stats/lead_time.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "shearpin/base/error.hpp"
#include "stats/check.hpp"
#include "stats/normal.hpp"

namespace shearpin::stats {
namespace {

constexpr double kStep = 0.7;    // of the posterior deviation
constexpr double kLeadCut = 27;  // nodes below e^-27 of the top are left out
constexpr int kMostLeadSteps = 200;

/// ln P(Z > x), standard normal; exact far out, where erfc underflows.
double log_upper_tail(double x) {
  if (x < 30) {
    return std::log(0.5 * std::erfc(x / std::numbers::sqrt2));
  }
  // Asymptotic series (Abramowitz and Stegun 26.2.12); its first neglected term is below 1e-11
  // here.
  const double inverse = 1 / (x * x);
  const double series = 1 - inverse * (1 - 3 * inverse * (1 - 5 * inverse * (1 - 7 * inverse)));
  return -0.5 * x * x - std::log(x * std::sqrt(2 * std::numbers::pi)) + std::log(series);
}

double normal_cdf(double x) { return 0.5 * std::erfc(-x / std::numbers::sqrt2); }

/// Log posterior of the supplier's mean of ln days; concave.
class MeanDensity {
 public:
  MeanDensity(const LeadTimePrior& prior, std::span<const double> completed,
              std::span<const double> open)
      : spread_(prior.within_share * prior.ln_sd()) {
    // Completed orders: normal about the mean with known spread, so prior and orders join in closed
    // form.
    const double prior_sd = prior.between_share * prior.ln_sd();
    precision_ = 1 / (prior_sd * prior_sd);
    double weighted = precision_ * std::log(prior.median_days);
    std::vector<double> logs;
    for (const double days : completed) {
      logs.push_back(std::log(std::max(days, prior.least_days)));
    }
    std::ranges::sort(logs);
    for (const double log_days : logs) {
      precision_ += 1 / (spread_ * spread_);
      weighted += log_days / (spread_ * spread_);
    }
    mean_ = weighted / precision_;
    for (const double days : open) {
      if (days > 0) {
        open_.push_back(std::log(days));
      }
    }
    std::ranges::sort(open_);
  }

  double spread() const { return spread_; }

  double value(double mean) const {
    double sum = -0.5 * precision_ * (mean - mean_) * (mean - mean_);
    for (const double log_days : open_) {
      sum += log_upper_tail((log_days - mean) / spread_);
    }
    return sum;
  }

  /// Newton from the closed form without open orders: those only push it up, by at most a convex
  /// force.
  double mode() const {
    double at = mean_;
    for (int step = 0; step < kMostLeadSteps; ++step) {
      const Slopes slopes = slopes_at(at);
      const double move = slopes.slope / slopes.curvature;
      at += move;
      if (std::abs(move) < 1e-9 * spread_) {
        break;
      }
    }
    return at;
  }

  double deviation(double at) const { return 1 / std::sqrt(slopes_at(at).curvature); }

 private:
  struct Slopes {
    double slope;
    double curvature;  ///< -(second derivative), positive
  };

  Slopes slopes_at(double mean) const {
    Slopes slopes{-precision_ * (mean - mean_), precision_};
    for (const double log_days : open_) {
      const double x = (log_days - mean) / spread_;
      const double ratio =
          std::exp(-0.5 * x * x - 0.5 * std::log(2 * std::numbers::pi) - log_upper_tail(x));
      slopes.slope += ratio / spread_;
      slopes.curvature += std::max(0.0, ratio * (ratio - x)) / (spread_ * spread_);
    }
    return slopes;
  }

  double spread_;
  double precision_ = 0;
  double mean_ = 0;
  std::vector<double> open_;
};

void check_lead_prior(const LeadTimePrior& prior) {
  require_positive("the median lead time", prior.median_days);
  require_positive("the low end of the lead time", prior.low_days);
  require_positive("the high end of the lead time", prior.high_days);
  if (!(prior.low_days < prior.high_days)) {
    throw InputError(
        fmt::format("the lead time's range runs from {} to {} days: the low end must lie below the "
                    "high one, e.g. 3 to 14",
                    prior.low_days, prior.high_days));
  }
}

}  // namespace

double LeadTimePrior::ln_sd() const {
  return (std::log(high_days) - std::log(low_days)) / (2 * kTenPercentPoint);
}

LeadTimePosterior lead_time_posterior(const LeadTimePrior& prior, std::span<const double> completed,
                                      std::span<const double> open) {
  check_lead_prior(prior);
  for (const double days : completed) {
    require_not_negative("the days an order took", days);
  }
  for (const double days : open) {
    require_not_negative("the days an order has been open", days);
  }
  const MeanDensity density(prior, completed, open);
  const double mode = density.mode();
  const double top = density.value(mode);
  const double step = kStep * density.deviation(mode);
  LeadTimePosterior out{
      {}, density.spread(), static_cast<int>(completed.size()), static_cast<int>(open.size())};
  double total = 0;
  const auto walk = [&](double from, double by) {
    for (double at = from;; at += by) {
      const double relative = density.value(at) - top;
      if (relative < -kLeadCut) {
        return;
      }
      out.nodes.push_back({at, std::exp(relative)});
      total += out.nodes.back().weight;
    }
  };
  walk(mode, -step);
  std::ranges::reverse(out.nodes);
  walk(mode + step, step);
  for (LeadTimeNode& node : out.nodes) {
    node.weight /= total;
  }
  return out;
}

double lead_time_cdf(const LeadTimePosterior& posterior, double days) {
  if (!(days > 0)) {
    return 0;
  }
  double sum = 0;
  for (const LeadTimeNode& node : posterior.nodes) {
    sum += node.weight * normal_cdf((std::log(days) - node.log_mean) / posterior.spread);
  }
  return std::min(1.0, sum);
}

double lead_time_quantile(const LeadTimePosterior& posterior, double probability) {
  require_fraction("the probability", probability);
  constexpr double kReach = 40;  // deviations: beyond, the chance is 0 or 1 to double precision
  double low = posterior.nodes.front().log_mean - kReach * posterior.spread;
  double high = posterior.nodes.back().log_mean + kReach * posterior.spread;
  for (int step = 0; step < kMostLeadSteps && high - low > 1e-12; ++step) {
    const double middle = 0.5 * (low + high);
    (lead_time_cdf(posterior, std::exp(middle)) < probability ? low : high) = middle;
  }
  return std::exp(high);
}

double lead_time_mean(const LeadTimePosterior& posterior) {
  double sum = 0;
  for (const LeadTimeNode& node : posterior.nodes) {
    sum += node.weight * std::exp(node.log_mean + 0.5 * posterior.spread * posterior.spread);
  }
  return sum;
}

double chance_arrived(const LeadTimePosterior& posterior, double waited, double further) {
  require_not_negative("the days waited", waited);
  require_not_negative("the days further", further);
  if (waited <= 0) {
    return lead_time_cdf(posterior, further);
  }
  double sum = 0;
  for (const LeadTimeNode& node : posterior.nodes) {
    const double now = log_upper_tail((std::log(waited) - node.log_mean) / posterior.spread);
    const double then =
        log_upper_tail((std::log(waited + further) - node.log_mean) / posterior.spread);
    sum += node.weight * -std::expm1(then - now);
  }
  return sum;
}

}  // namespace shearpin::stats
