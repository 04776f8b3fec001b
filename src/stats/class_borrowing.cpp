#include "stats/class_borrowing.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "shearpin/base/error.hpp"
#include "stats/marginals.hpp"
#include "stats/normal.hpp"
#include "stats/prior.hpp"
#include "stats/weibull_likelihood.hpp"

namespace shearpin::stats {
namespace {

constexpr double kReach = 12;  // deviations of mu on either side: a belief may be far off
constexpr double kWidestShareStep = 0.1;
constexpr double kLeastSum = 1e-300;  // keeps a difference of logarithms a number
constexpr std::size_t kBlock = 64;    // points of a sum taken together, at most
constexpr double kMostRise = 600;     // ln of the largest power in a block: none overflows
constexpr double kSumStep = 0.5;      // of the sharpest deviation: a trapezoid sum errs by 1e-30
constexpr double kLnRootTwoPi = 0.9189385332046727;

/// One value of (shared share, class mean), in deviations u about the prior's ln median.
struct ClassPoint {
  double share;
  double mean;
  double log_weight;
};

std::vector<ClassPoint> class_points(const std::vector<double>& shares, std::size_t parts) {
  // With many parts the mean is known to 1/sqrt(parts) of the spread between them.
  const double step = std::min(kWidestShareStep, 0.3 / std::sqrt(static_cast<double>(parts + 1)));
  std::vector<ClassPoint> points;
  for (const double share : shares) {
    if (!(share >= 0 && share < 1)) {
      throw InputError(
          fmt::format("a shared share of {}: it must be 0 or more and below 1, e.g. 0.64", share));
    }
    if (share <= 0) {
      points.push_back({share, 0, -std::log(step)});
      continue;
    }
    const double sd = std::sqrt(share);
    const auto half = static_cast<int>(std::ceil(kReach / step));
    for (int i = -half; i <= half; ++i) {
      const double y = step * i;
      points.push_back({share, sd * y, -0.5 * y * y - kLnRootTwoPi});
    }
  }
  return points;
}

/// A density of ln scale at equidistant x, in deviations about the prior's ln median.
struct LifeTable {
  std::vector<double> density;
  double first;
  double step;

  double x(std::size_t i) const { return first + step * static_cast<double>(i); }
};

/// Every few points of a table: as many as a trapezoid sum needs once the part's prior is changed
/// for one of variance `apart`, which narrows the sharpest bell.
LifeTable coarsened(const LifeTable& table, double apart) {
  const double sharpest = 1 / std::hypot(kTableStep / table.step, std::sqrt(1 / apart - 1));
  const double most = kSumStep * sharpest / table.step;
  const auto stride = static_cast<std::size_t>(std::max(1.0, std::floor(most)));
  LifeTable thin{{}, table.first, table.step * static_cast<double>(stride)};
  for (std::size_t i = 0; i < table.density.size(); i += stride) {
    thin.density.push_back(table.density[i] * static_cast<double>(stride));
  }
  return thin;
}

/// ln of the sums over x of density x exp(x^2 / 2 - (x - mean)^2 / (2 apart)), one for each point;
/// all have the same share. In a block of points from x0 on, with x = x0 + k step, the exponent is
/// one number for the mean, plus k times another, plus a term in k^2 alone: so a block is a
/// polynomial in exp(the second number), and an exponential is needed for each block only.
void add_log_sums(const LifeTable& table, std::span<const ClassPoint> points,
                  std::vector<double>& out) {
  const double apart = 1 - points.front().share;
  const double bend = 1 / apart - 1;
  const std::size_t size = table.density.size();
  const double farthest = std::max(std::abs(table.first), std::abs(table.x(size)));
  const double steepest =
      table.step * (bend * farthest + std::abs(points.front().mean) / apart) + 1e-300;
  const auto block =
      static_cast<std::size_t>(std::clamp(kMostRise / steepest, 1.0, double{kBlock}));
  std::vector<double> falls(block);
  for (std::size_t k = 0; k < block; ++k) {
    const double away = table.step * static_cast<double>(k);
    falls[k] = std::exp(-0.5 * bend * away * away);
  }
  std::vector<double> sums(points.size(), 0.0);
  std::vector<double> rises(points.size());
  std::vector<double> polynomial(points.size());
  for (std::size_t from = 0; from < size; from += block) {
    const double x0 = table.x(from);
    for (std::size_t j = 0; j < points.size(); ++j) {
      rises[j] = std::exp(table.step * (points[j].mean / apart - bend * x0));
    }
    std::fill(polynomial.begin(), polynomial.end(), 0.0);
    for (std::size_t k = std::min(block, size - from); k-- > 0;) {
      const double next = table.density[from + k] * falls[k];
      for (std::size_t j = 0; j < points.size(); ++j) {
        polynomial[j] = polynomial[j] * rises[j] + next;
      }
    }
    for (std::size_t j = 0; j < points.size(); ++j) {
      const double away = x0 - points[j].mean;
      sums[j] += polynomial[j] * std::exp(0.5 * (x0 * x0 - away * away / apart));
    }
  }
  for (const double sum : sums) {
    out.push_back(std::log(std::max(sum, kLeastSum)) - 0.5 * std::log(apart));
  }
}

/// ln of a part's marginal likelihood at each class point, up to one constant: its posterior
/// density of ln scale under the class prior, that prior divided out and the part's prior at the
/// point put in.
std::vector<double> log_evidences(const WeibullPrior& prior, std::span<const LifeRecord> records,
                                  std::span<const ClassPoint> points) {
  const LogPrior log = log_prior(prior);
  const RecordTable table = make_record_table(records);
  const DensityShares life(Marginals(log, table).of([](double) { return 0.0; }));
  const DensityTable& density = life.table();
  const double u = prior.ln_scale_sd();
  LifeTable lives{{}, (density.first + table.ln_reference - log.scale_mean) / u, density.step / u};
  for (std::size_t i = 0; i < density.density.size(); ++i) {
    lives.density.push_back(life.density(i));
  }
  std::vector<double> out;
  out.reserve(points.size());
  for (std::size_t first = 0; first < points.size();) {
    std::size_t end = first + 1;
    while (end < points.size() && points[end].share == points[first].share) {
      ++end;
    }
    add_log_sums(coarsened(lives, 1 - points[first].share), points.subspan(first, end - first),
                 out);
    first = end;
  }
  return out;
}

/// Mean and variance of a new part's ln scale, in deviations about the prior's ln median.
struct NewPart {
  double mean;
  double variance;
  double share;
};

NewPart new_part(const std::vector<ClassPoint>& points, const std::vector<double>& log_weights) {
  const double top = *std::max_element(log_weights.begin(), log_weights.end());
  double total = 0;
  double mean = 0;
  double squares = 0;
  double share = 0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const double weight = std::exp(log_weights[i] - top);
    total += weight;
    mean += weight * points[i].mean;
    squares += weight * (points[i].mean * points[i].mean + 1 - points[i].share);
    share += weight * points[i].share;
  }
  mean /= total;
  return {mean, squares / total - mean * mean, share / total};
}

std::vector<double> less(std::vector<double> from, const std::vector<double>& part) {
  for (std::size_t i = 0; i < from.size(); ++i) {
    from[i] -= part[i];
  }
  return from;
}

bool tells_something(std::span<const LifeRecord> records) {
  return failure_count(records) > 0 || exposure_sum(records) > 0;
}

WeibullPrior moved(const WeibullPrior& prior, const NewPart& part) {
  const double u = prior.ln_scale_sd();
  const double median = std::log(prior.scale_median) + u * part.mean;
  const double reach = kTenPercentPoint * u * std::sqrt(std::min(1.0, part.variance));
  WeibullPrior out = prior;
  out.scale_median = std::exp(median);
  out.scale_low = std::exp(median - reach);
  out.scale_high = std::exp(median + reach);
  return out;
}

double mean_of(const std::vector<double>& values) {
  double sum = 0;
  for (const double value : values) {
    sum += value;
  }
  return sum / static_cast<double>(values.size());
}

}  // namespace

std::vector<BorrowedPrior> borrowed_priors(const WeibullPrior& prior,
                                           std::span<const std::span<const LifeRecord>> parts,
                                           const BorrowingBelief& belief) {
  log_prior(prior);
  for (const auto& records : parts) {
    check_records(records);
  }
  if (belief.shared_shares.empty()) {
    throw InputError("no shared share is given: give at least one, e.g. 0.64");
  }
  const std::vector<ClassPoint> points = class_points(belief.shared_shares, parts.size());
  std::vector<double> all;
  for (const ClassPoint& point : points) {
    all.push_back(point.log_weight);
  }
  std::vector<std::optional<std::vector<double>>> evidences(parts.size());
  for (std::size_t k = 0; k < parts.size(); ++k) {
    if (!tells_something(parts[k])) {
      continue;
    }
    evidences[k] = log_evidences(prior, parts[k], points);
    for (std::size_t i = 0; i < points.size(); ++i) {
      all[i] += (*evidences[k])[i];
    }
  }
  const double u = prior.ln_scale_sd();
  std::vector<BorrowedPrior> out;
  for (std::size_t k = 0; k < parts.size(); ++k) {
    BorrowedPrior part{prior, mean_of(belief.shared_shares), {}};
    const std::vector<double> others = evidences[k] ? less(all, *evidences[k]) : all;
    const NewPart heard = new_part(points, others);
    for (std::size_t j = 0; j < parts.size(); ++j) {
      if (j == k || !evidences[j]) {
        continue;
      }
      const NewPart without = new_part(points, less(others, *evidences[j]));
      part.lenders.push_back(
          {j, failure_count(parts[j]), exposure_sum(parts[j]), u * (heard.mean - without.mean)});
    }
    if (!part.lenders.empty()) {
      part.prior = moved(prior, heard);
      part.shared_share = heard.share;
    }
    out.push_back(std::move(part));
  }
  return out;
}

}  // namespace shearpin::stats
