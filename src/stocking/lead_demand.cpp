#include "stocking/lead_demand.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <numbers>

#include "shearpin/base/error.hpp"

namespace shearpin::stocking {
namespace {

constexpr double kDeviations = 6;
constexpr double kLeadTolerance = 1e-7;
constexpr double kLeastWeight = 1e-10;
constexpr double kLeadsLeftOut = 1e-9;  // chance of lead times at either end that are not looked at
constexpr int kFirstLeadPanels = 9;
// Weight of a point, against the largest so far, below which it is left out: the long stretches at
// the far end are the dearest to work out, and no probability moves by more than 1e-8.
constexpr double kLightest = 1e-9;
constexpr int kMostDoublings = 6;
// Jumps past these are not split at: what is still to come there hardly ever lasts so long.
constexpr std::size_t kMostCuts = 40;
// A piece of less mass is read at one point.
constexpr double kLeastPiece = 1e-8;
// Where the rule of a piece ends in its own variable: what lies past weighs 4e-11 of the piece.
constexpr double kReach = 2.75;
constexpr int kMassPanels = 1024;
// The points of a rule are too few where their own sum of the density is off by more.
constexpr double kMassError = 1e-4;

struct Range {
  double low;
  double high;
};

Range mean_range(const stats::LeadTimePosterior& lead) {
  Range range{std::numeric_limits<double>::infinity(), -std::numeric_limits<double>::infinity()};
  double total = 0;
  for (const stats::LeadTimeNode& node : lead.nodes) {
    if (!(node.weight >= 0) || !std::isfinite(node.log_mean)) {
      throw InputError(fmt::format("a lead-time node of ln mean {} and weight {} is not usable",
                                   node.log_mean, node.weight));
    }
    total += node.weight;
    if (node.weight < kLeastWeight) continue;
    range.low = std::min(range.low, node.log_mean);
    range.high = std::max(range.high, node.log_mean);
  }
  if (!(std::fabs(total - 1) < 1e-6) || !(lead.spread >= 0) || !std::isfinite(lead.spread)) {
    throw InputError(fmt::format(
        "lead-time weights add up to {} with spread {}: they must add up to 1, spread >= 0", total,
        lead.spread));
  }
  return range;
}

// ln L past which, on the side of `sign` (1: above), all but kLeadsLeftOut of the mixture lies
// inside: the far ends are the dearest to work out.
double end_of(const stats::LeadTimePosterior& lead, const Range& means, double sign) {
  const auto beyond = [&](double log_days) {
    double sum = 0;
    for (const stats::LeadTimeNode& node : lead.nodes) {
      sum += node.weight *
             std::erfc(sign * (log_days - node.log_mean) / lead.spread / std::numbers::sqrt2) / 2;
    }
    return sum;
  };
  double outer = (sign > 0 ? means.high : means.low) + sign * kDeviations * lead.spread;
  double inner = sign > 0 ? means.low : means.high;
  if (beyond(outer) > kLeadsLeftOut) return outer;
  for (int halving = 0; halving < 40; ++halving) {
    const double middle = (outer + inner) / 2;
    (beyond(middle) > kLeadsLeftOut ? inner : outer) = middle;
  }
  return outer;
}

void check_review(double review_days) {
  if (!(review_days >= 0) || !std::isfinite(review_days)) {
    throw InputError(
        fmt::format("a review period of {} days is not a number >= 0, such as 30", review_days));
  }
}

// Largest change of any P(D <= n).
double largest_change(const Pmf& a, const Pmf& b) {
  double difference = 0;
  double largest = 0;
  for (std::size_t n = 0; n < std::max(a.size(), b.size()); ++n) {
    difference += (n < a.size() ? a[n] : 0) - (n < b.size() ? b[n] : 0);
    largest = std::max(largest, std::fabs(difference));
  }
  return largest;
}

using Density = std::function<double(double)>;

// A point of the rule over a piece: ln days and its share of the length.
struct RulePoint {
  double at;
  double weight;
};

// A stretch of ln days on which demand does not jump. Where it ends in no jump the density is
// nothing there, and equal steps are best; else the double exponential rule of Takahasi and Mori
// (1974), since after a jump demand starts like any power of the time since.
struct LeadPiece {
  double low;
  double high;
  bool jumps;        // at one of its ends at least
  double mass = 0;   // integral of the density
  double share = 0;  // of the mass of all pieces

  int first_panels() const { return jumps ? kFirstLeadPanels - 1 : kFirstLeadPanels; }

  RulePoint point(int i, int panels) const {
    const double length = high - low;
    if (!jumps) return {i == panels ? high : low + length * i / panels, 1};
    const double t = kReach * (2.0 * i / panels - 1);
    const double bend = std::numbers::pi / 2 * std::sinh(t);
    const double at =
        t < 0 ? low + length / (1 + std::exp(-2 * bend)) : high - length / (1 + std::exp(2 * bend));
    return {at, std::cosh(t) / (std::cosh(bend) * std::cosh(bend))};
  }

  // The integral that a sum of weights over so many panels stands for.
  double integral(double weights, int panels) const {
    return weights * (jumps ? std::numbers::pi / 2 * kReach : 1) * (high - low) / panels;
  }

  double mass_under(const Density& density) const {
    double sum = 0;
    for (int i = 0; i <= kMassPanels; ++i) {
      const RulePoint here = point(i, kMassPanels);
      sum += here.weight * density(here.at);
    }
    return integral(sum, kMassPanels);
  }
};

// The mean of the demand over a piece: weighted sums at points that are doubled until it settles.
// Dividing by the weights makes the rule exact for a certain demand.
class LeadPieceMean {
 public:
  explicit LeadPieceMean(const LeadPiece& piece) : piece_(piece), panels_(piece.first_panels()) {}

  bool settled() const { return settled_; }
  const LeadPiece& piece() const { return piece_; }
  const Pmf& mean() const { return mean_; }

  // The next points that weigh anything.
  std::vector<RulePoint> next(const Density& density) {
    std::vector<RulePoint> points;
    if (level_ > 0) panels_ *= 2;
    for (int i = level_ > 0 ? 1 : 0; i <= panels_; i += level_ > 0 ? 2 : 1) {
      RulePoint here = piece_.point(i, panels_);
      here.weight *= density(here.at);
      weights_ += here.weight;
      largest_ = std::max(largest_, here.weight);
      points.push_back(here);
    }
    points.erase(
        std::remove_if(points.begin(), points.end(),
                       [&](const RulePoint& p) { return p.weight <= kLightest * largest_; }),
        points.end());
    ++level_;
    return points;
  }

  void add(const Pmf& demand, double weight) { add_weighted(sum_, demand, weight); }

  void settle() {
    if (!(weights_ > 0)) return;
    Pmf now = sum_;
    for (double& p : now) p /= weights_;
    if (level_ > 1) {
      // Doubling the points raises the error of these rules to a power on such integrands: to the
      // second at least; half of that is claimed.
      const double change = largest_change(mean_, now);
      const double error = std::fabs(piece_.integral(weights_, panels_) / piece_.mass - 1);
      settled_ = error < kMassError &&
                 (piece_.share * change < kLeadTolerance ||
                  (change < 1e-3 && piece_.share * change * change < kLeadTolerance / 100));
    }
    mean_ = std::move(now);
  }

 private:
  LeadPiece piece_;
  int panels_;
  int level_ = 0;
  double weights_ = 0;
  double largest_ = 0;
  bool settled_ = false;
  Pmf sum_;
  Pmf mean_;
};

std::vector<LeadPiece> pieces_of(double low, double high, double review_days,
                                 std::span<const double> breaks, const Density& density) {
  std::vector<double> cuts{low};
  std::vector<double> sorted(breaks.begin(), breaks.end());
  std::sort(sorted.begin(), sorted.end());
  for (const double day : sorted) {
    const double at = day > review_days ? std::log(day - review_days) : low;
    if (at - cuts.back() > 1e-9 && high - at > 1e-9 && cuts.size() <= kMostCuts) {
      cuts.push_back(at);
    }
  }
  cuts.push_back(high);
  std::vector<LeadPiece> pieces;
  double total = 0;
  for (std::size_t i = 1; i < cuts.size(); ++i) {
    pieces.push_back({cuts[i - 1], cuts[i], cuts.size() > 2});
    pieces.back().mass = pieces.back().mass_under(density);
    total += pieces.back().mass;
  }
  if (!(total > 0)) {
    throw NumericError(
        fmt::format("a lead time has no chance between ln days {} and {}", low, high));
  }
  for (LeadPiece& piece : pieces) piece.share = piece.mass / total;
  return pieces;
}

// Demand over a piece, never less than it is: that of the later end of each of many steps.
Pmf upper_bound(const DemandByDays& demand, const Density& density, const LeadPiece& piece,
                double review_days) {
  constexpr int kSteps = 512;
  constexpr int kAtOnce = 64;  // a demand may be a long table
  const auto edge = [&piece](int i) { return piece.low + (piece.high - piece.low) * i / kSteps; };
  Pmf sum;
  double weights = 0;
  for (int first = 0; first < kSteps; first += kAtOnce) {
    std::vector<double> days;
    std::vector<double> weight;
    for (int i = first; i < first + kAtOnce; ++i) {
      const double middle = (edge(i) + edge(i + 1)) / 2;
      weight.push_back(density(edge(i)) + 4 * density(middle) + density(edge(i + 1)));
      // The jump at the end of a piece belongs to the next one.
      const double before = i + 1 == kSteps && piece.jumps ? 1e-12 : 0;
      days.push_back(review_days + std::exp(edge(i + 1) - before));
    }
    const std::vector<Pmf> pmfs = demand(days);
    for (std::size_t i = 0; i < pmfs.size(); ++i) {
      add_weighted(sum, pmfs[i], weight[i]);
      weights += weight[i];
    }
  }
  for (double& p : sum) p /= weights;
  return sum;
}

// Lead times without spread: a plain mixture.
Pmf fixed_leads(const DemandByDays& demand, const stats::LeadTimePosterior& lead,
                double review_days) {
  std::vector<double> days;
  for (const stats::LeadTimeNode& node : lead.nodes) {
    days.push_back(review_days + std::exp(node.log_mean));
  }
  const std::vector<Pmf> pmfs = demand(days);
  Pmf mixture;
  for (std::size_t i = 0; i < pmfs.size(); ++i) {
    add_weighted(mixture, pmfs[i], lead.nodes[i].weight);
  }
  trim(mixture);
  return mixture;
}

}  // namespace

double longest_days(const stats::LeadTimePosterior& lead, double review_days) {
  check_review(review_days);
  const Range means = mean_range(lead);
  return review_days + std::exp(lead.spread > 0 ? end_of(lead, means, 1) : means.high);
}

LeadDemand demand_over_log_time(const DemandByDays& demand, const Density& density, double low,
                                double high, double review_days, std::span<const double> breaks) {
  check_review(review_days);
  if (!(low < high) || !std::isfinite(high - low)) {
    throw InputError(fmt::format("ln days from {} to {} is not a range", low, high));
  }
  LeadDemand found;
  std::vector<LeadPieceMean> means;
  std::vector<double> days;
  std::vector<double> shares;  // of pieces that are read at one point
  for (const LeadPiece& piece : pieces_of(low, high, review_days, breaks, density)) {
    if (piece.share > kLeastPiece) {
      means.emplace_back(piece);
    } else if (piece.share > 0) {
      days.push_back(review_days + std::exp((piece.low + piece.high) / 2));
      shares.push_back(piece.share);
    }
  }
  if (!days.empty()) {
    const std::vector<Pmf> pmfs = demand(days);
    for (std::size_t i = 0; i < pmfs.size(); ++i) add_weighted(found.demand, pmfs[i], shares[i]);
  }
  for (int level = 0; level <= kMostDoublings; ++level) {
    std::vector<std::pair<LeadPieceMean*, double>> asked;
    days.clear();
    for (LeadPieceMean& mean : means) {
      if (mean.settled()) continue;
      for (const RulePoint& point : mean.next(density)) {
        asked.emplace_back(&mean, point.weight);
        days.push_back(review_days + std::exp(point.at));
      }
    }
    if (asked.empty()) break;
    const std::vector<Pmf> pmfs = demand(days);
    for (std::size_t i = 0; i < pmfs.size(); ++i) asked[i].first->add(pmfs[i], asked[i].second);
    for (LeadPieceMean& mean : means) {
      if (!mean.settled()) mean.settle();
    }
  }
  for (const LeadPieceMean& mean : means) {
    found.bounded = found.bounded || !mean.settled();
    add_weighted(
        found.demand,
        mean.settled() ? mean.mean() : upper_bound(demand, density, mean.piece(), review_days),
        mean.piece().share);
  }
  trim(found.demand);
  return found;
}

LeadDemand demand_over_lead(const DemandByDays& demand, const stats::LeadTimePosterior& lead,
                            double review_days, std::span<const double> breaks) {
  check_review(review_days);
  const Range means = mean_range(lead);
  if (lead.spread == 0) return {fixed_leads(demand, lead, review_days)};
  const auto density = [&lead](double log_days) {
    double sum = 0;
    for (const stats::LeadTimeNode& node : lead.nodes) {
      if (node.weight < kLeastWeight) continue;
      const double deviations = (log_days - node.log_mean) / lead.spread;
      sum += node.weight * std::exp(-deviations * deviations / 2);
    }
    return sum;
  };
  return demand_over_log_time(demand, density, end_of(lead, means, -1), end_of(lead, means, 1),
                              review_days, breaks);
}

}  // namespace shearpin::stocking
