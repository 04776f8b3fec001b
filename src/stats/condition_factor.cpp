#include "stats/condition_factor.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <boost/math/quadrature/gauss.hpp>
#include <cmath>
#include <functional>
#include <limits>
#include <numbers>
#include <utility>

#include "shearpin/base/error.hpp"
#include "stats/check.hpp"
#include "stats/weibull_likelihood.hpp"

namespace shearpin::stats {
namespace {

constexpr double kPriorReach = 8;  // deviations of ln f on either side
constexpr double kFactorCut = 30;  // below e^-30 of its peak the density is nothing
constexpr double kSettled = 1e-6;  // of the density's peak
constexpr int kScan = 16;
constexpr int kMostNarrowings = 6;
constexpr int kFirstDegree = 16;
constexpr int kMostDegree = 256;
constexpr int kPanels = 64;
constexpr std::size_t kSlices = 25;

// ---- the record

bool is_number(const SplitAge& age) {
  return std::isfinite(age.plain) && std::isfinite(age.exposed) && age.plain >= 0 &&
         age.exposed >= 0;
}

bool not_below(const SplitAge& age, const SplitAge& earlier) {
  return age.plain >= earlier.plain && age.exposed >= earlier.exposed;
}

void check_split(std::span<const SplitRecord> records) {
  for (std::size_t i = 0; i < records.size(); ++i) {
    const SplitRecord& record = records[i];
    const bool looked_at = record.kind == LifeKind::interval;
    const SplitAge& before_exit = looked_at ? record.lower : record.entry;
    const bool sound =
        is_number(record.entry) && is_number(record.exit) && not_below(record.exit, before_exit) &&
        (!looked_at || (is_number(record.lower) && not_below(record.lower, record.entry)));
    if (!sound) {
      throw InputError(fmt::format(
          "life record {} goes from {} + {} to {} + {} (without + with the condition): both parts "
          "must be numbers of 0 or more that do not fall, e.g. 0 + 0 to 90 + 30",
          i + 1, record.entry.plain, record.entry.exposed, record.exit.plain, record.exit.exposed));
    }
  }
  check_records(records_at(records, 1));
}

double failures_exposed(std::span<const SplitRecord> records) {
  return static_cast<double>(std::ranges::count_if(records, [](const SplitRecord& record) {
    return record.exposed_at_exit &&
           (record.kind == LifeKind::failed || record.kind == LifeKind::repaired);
  }));
}

// ---- ln of the record's evidence as a function of x = ln f, and its interpolation

class Evidence {
 public:
  Evidence(const WeibullPrior& prior, std::span<const SplitRecord> records)
      : prior_(prior), records_(records), failures_exposed_(failures_exposed(records)) {}

  double operator()(double x) const {
    return weibull_posterior(prior_, records_at(records_, std::exp(x))).log_evidence +
           failures_exposed_ * x;
  }

 private:
  const WeibullPrior& prior_;
  std::span<const SplitRecord> records_;
  double failures_exposed_;
};

struct Range {
  double low;
  double high;
};

/// Polynomial through the Chebyshev points of a range, by the barycentric formula (Berrut and
/// Trefethen 2004).
class Interpolant {
 public:
  template <class Function>
  Interpolant(const Range& range, int degree, const Function& of) {
    for (int j = 0; j <= degree; ++j) {
      const double place = 0.5 * (1 - std::cos(std::numbers::pi * j / degree));
      points_.push_back(range.low + (range.high - range.low) * place);
      values_.push_back(of(points_.back()));
    }
  }

  double operator()(double x) const {
    double above = 0;
    double below = 0;
    for (std::size_t j = 0; j < points_.size(); ++j) {
      const double distance = x - points_[j];
      if (distance == 0) {
        return values_[j];
      }
      const bool end = j == 0 || j + 1 == points_.size();
      const double weight = (j % 2 == 0 ? 1 : -1) * (end ? 0.5 : 1) / distance;
      above += weight * values_[j];
      below += weight;
    }
    return above / below;
  }

 private:
  std::vector<double> points_;
  std::vector<double> values_;
};

// ---- densities of ln f

/// Belief of ln f below the cap, and what lies above it.
class LogFactorPrior {
 public:
  explicit LogFactorPrior(const FactorPrior& prior)
      : mean_(std::log(prior.median)), sd_(prior.log_sd), cap_(std::log(prior.largest)) {}

  double log_density(double x) const {
    const double y = (x - mean_) / sd_;
    return -0.5 * y * y - std::log(sd_ * std::sqrt(2 * std::numbers::pi));
  }
  double above_cap() const { return 0.5 * std::erfc((cap_ - mean_) / sd_ / std::numbers::sqrt2); }
  Range range() const {
    return {mean_ - kPriorReach * sd_, std::min(mean_ + kPriorReach * sd_, cap_)};
  }
  double mean() const { return mean_; }
  double cap() const { return cap_; }

 private:
  double mean_;
  double sd_;
  double cap_;
};

using LogDensity = std::function<double(double)>;

/// Narrows to where the density is not nothing; it has one hill, or hills not far apart.
Range worth_looking_at(Range range, const LogDensity& density) {
  for (int narrowing = 0; narrowing < kMostNarrowings; ++narrowing) {
    std::array<double, kScan + 1> values{};
    const double step = (range.high - range.low) / kScan;
    for (int i = 0; i <= kScan; ++i) {
      values[static_cast<std::size_t>(i)] = density(range.low + step * i);
    }
    const double floor = *std::ranges::max_element(values) - kFactorCut;
    int first = 0;
    int last = kScan;
    while (values[static_cast<std::size_t>(first)] < floor) {
      ++first;
    }
    while (values[static_cast<std::size_t>(last)] < floor) {
      --last;
    }
    const Range narrow{range.low + step * std::max(0, first - 1),
                       range.low + step * std::min(kScan, last + 1)};
    const bool narrowed = narrow.high - narrow.low < 0.7 * (range.high - range.low);
    range = narrow;
    if (!narrowed) {
      break;
    }
  }
  return range;
}

/// ln evidence over the range, through as many points as it takes.
Interpolant settled(const Range& range, const LogFactorPrior& prior, const Evidence& evidence) {
  for (int degree = kFirstDegree; degree <= kMostDegree; degree *= 2) {
    Interpolant coarse(range, degree, evidence);
    double peak = -std::numeric_limits<double>::infinity();
    for (int i = 0; i <= 4 * degree; ++i) {
      const double x = range.low + (range.high - range.low) * i / (4 * degree);
      peak = std::max(peak, coarse(x) + prior.log_density(x));
    }
    double worst = 0;
    constexpr int kTried = 11;  // between the points, wherever those are
    for (int i = 0; i < kTried; ++i) {
      const double x = range.low + (range.high - range.low) * (i + 0.43) / kTried;
      const double now = evidence(x) + prior.log_density(x);
      const double then = coarse(x) + prior.log_density(x);
      worst = std::max(worst, std::abs(std::exp(now - peak) - std::exp(then - peak)));
    }
    if (worst < kSettled) {
      return coarse;
    }
  }
  throw NumericError("the posterior of a condition's factor did not settle");
}

/// A density below the cap and a lump at it, both relative to e^peak.
class Law {
 public:
  Law(const Range& range, double cap, LogDensity density, double log_lump)
      : range_(range), cap_(cap), density_(std::move(density)), peak_(log_lump) {
    for (int i = 0; i <= 8 * kPanels; ++i) {
      peak_ = std::max(peak_, density_(range.low + (range.high - range.low) * i / (8 * kPanels)));
    }
    lump_ = std::exp(log_lump - peak_);
    sums_.push_back(0);
    for (int i = 0; i < kPanels; ++i) {
      sums_.push_back(sums_.back() + integral(start(i), start(i + 1), [](double) { return 1.0; }));
    }
    total_ = sums_.back() + lump_;
  }

  double log_total() const { return std::log(total_) + peak_; }
  double lump() const { return lump_ / total_; }
  double density(double x) const { return std::exp(density_(x) - peak_) / total_; }

  double below(double x) const {
    if (x >= cap_) {
      return 1;
    }
    const double width = (range_.high - range_.low) / kPanels;
    const auto i = static_cast<int>(
        std::clamp(std::floor((x - range_.low) / width), 0.0, static_cast<double>(kPanels - 1)));
    const double end = std::clamp(x, start(i), start(i + 1));
    return (sums_[static_cast<std::size_t>(i)] +
            integral(start(i), end, [](double) { return 1.0; })) /
           total_;
  }

  double quantile(double probability) const {
    if (below(std::nextafter(cap_, range_.low)) < probability) {
      return cap_;
    }
    double low = range_.low;
    double high = range_.high;
    constexpr int kHalvings = 50;
    for (int i = 0; i < kHalvings; ++i) {
      const double middle = 0.5 * (low + high);
      (below(middle) < probability ? low : high) = middle;
    }
    return 0.5 * (low + high);
  }

  double variance() const {
    double mean = lump_ * cap_;
    double squares = lump_ * cap_ * cap_;
    for (int i = 0; i < kPanels; ++i) {
      mean += integral(start(i), start(i + 1), [](double x) { return x; });
      squares += integral(start(i), start(i + 1), [](double x) { return x * x; });
    }
    mean /= total_;
    return squares / total_ - mean * mean;
  }

  /// Where all but a hair of the density lies.
  Range middle() const { return {quantile(kHair), std::min(quantile(1 - kHair), range_.high)}; }

 private:
  static constexpr double kHair = 1e-8;

  double start(int panel) const {
    return range_.low + (range_.high - range_.low) * panel / kPanels;
  }

  template <class Function>
  double integral(double low, double high, const Function& of) const {
    return boost::math::quadrature::gauss<double, 10>::integrate(
        [&](double x) { return of(x) * std::exp(density_(x) - peak_); }, low, high);
  }

  Range range_;
  double cap_;
  LogDensity density_;
  double peak_;
  double lump_ = 0;
  double total_ = 0;
  std::vector<double> sums_;
};

/// Points and weights of a Gauss rule on a range, rising.
std::vector<std::pair<double, double>> gauss_points(const Range& range) {
  using Rule = boost::math::quadrature::gauss<double, kSlices>;
  const double middle = 0.5 * (range.low + range.high);
  const double half = 0.5 * (range.high - range.low);
  std::vector<std::pair<double, double>> points;
  for (std::size_t i = 0; i < Rule::abscissa().size(); ++i) {
    const double away = half * Rule::abscissa()[i];
    points.emplace_back(middle + away, half * Rule::weights()[i]);
    if (away > 0) {
      points.emplace_back(middle - away, half * Rule::weights()[i]);
    }
  }
  std::ranges::sort(points);
  return points;
}

std::vector<FactorSlice> slices_of(const Law& law, double cap, const WeibullPrior& prior,
                                   std::span<const SplitRecord> records) {
  constexpr double kNothing = 1e-9;
  std::vector<std::pair<double, double>> points = gauss_points(law.middle());
  for (auto& [x, weight] : points) {
    weight *= law.density(x);
  }
  points.emplace_back(cap, law.lump());
  std::vector<FactorSlice> slices;
  double total = 0;
  for (const auto& [x, weight] : points) {
    if (weight > kNothing) {
      const double factor = std::exp(x);
      slices.push_back({factor, weight, weibull_posterior(prior, records_at(records, factor))});
      total += weight;
    }
  }
  for (FactorSlice& slice : slices) {
    slice.weight /= total;
  }
  return slices;
}

void check_factor_prior(const FactorPrior& factor) {
  require_positive("the believed factor of a condition", factor.median);
  require_positive("the spread of a condition's factor", factor.log_sd);
  require_positive("the cap on a condition's factor", factor.largest);
  if (!(factor.median < factor.largest)) {
    throw InputError(fmt::format(
        "the believed factor of a condition is {}: it must lie below the cap of {}, e.g. 2",
        factor.median, factor.largest));
  }
}

}  // namespace

std::vector<LifeRecord> records_at(std::span<const SplitRecord> records, double factor) {
  require_positive("the factor of a condition", factor);
  std::vector<LifeRecord> out;
  out.reserve(records.size());
  for (const SplitRecord& record : records) {
    out.push_back(
        {record.kind, record.entry.at(factor), record.lower.at(factor), record.exit.at(factor)});
  }
  return out;
}

bool factor_is_learnable(std::span<const SplitRecord> records) {
  double plain = 0;
  double exposed = 0;
  for (const SplitRecord& record : records) {
    plain += record.exit.plain - record.entry.plain;
    exposed += record.exit.exposed - record.entry.exposed;
  }
  return plain > 0 && exposed > 0;
}

std::optional<FactorPosterior> factor_posterior(const WeibullPrior& prior,
                                                const FactorPrior& factor,
                                                std::span<const SplitRecord> records) {
  check_factor_prior(factor);
  check_split(records);
  if (!factor_is_learnable(records)) {
    return std::nullopt;
  }
  const LogFactorPrior belief(factor);
  const Evidence evidence(prior, records);
  const auto exact = [&](double x) { return evidence(x) + belief.log_density(x); };
  const Range range = worth_looking_at(belief.range(), exact);
  const Interpolant smooth = settled(range, belief, evidence);
  const double above = belief.above_cap();
  const double log_lump = above > 0 ? std::log(above) + evidence(belief.cap())
                                    : -std::numeric_limits<double>::infinity();
  const Law law(
      range, belief.cap(), [&](double x) { return smooth(x) + belief.log_density(x); }, log_lump);
  const Law before(
      belief.range(), belief.cap(), [&](double x) { return belief.log_density(x); },
      above > 0 ? std::log(above) : -std::numeric_limits<double>::infinity());
  FactorPosterior out;
  out.factor = {std::exp(law.quantile(0.1)), std::exp(law.quantile(0.5)),
                std::exp(law.quantile(0.9))};
  out.chance_above_one = 1 - law.below(0);
  out.chance_above_prior = 1 - law.below(belief.mean());
  out.share_learnt = std::max(0.0, 1 - law.variance() / before.variance());
  out.slices = slices_of(law, belief.cap(), prior, records);
  out.log_evidence = law.log_total();
  return out;
}

std::vector<FactorNode> joint_nodes(const FactorPosterior& posterior) {
  std::vector<FactorNode> nodes;
  for (const FactorSlice& slice : posterior.slices) {
    for (const WeibullNode& node : slice.life.nodes) {
      nodes.push_back({node.scale, node.shape, slice.factor, slice.weight * node.weight});
    }
  }
  return nodes;
}

}  // namespace shearpin::stats
