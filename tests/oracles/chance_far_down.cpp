#include "oracles/chance_far_down.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <vector>

#include "oracles/small_shape_table.hpp"
#include "stocking/count_table.hpp"
#include "stocking/many_lives.hpp"
#include "stocking/node_rows.hpp"
#include "stocking/position.hpp"
#include "stocking/quadrature.hpp"

namespace shearpin::stocking {
namespace {

constexpr std::size_t kFirstLifePoints = 20;  // of the first life's integral, a piece
constexpr double kChanceCutoff = 1e-18;       // a tail below it is 0, weights and sums considered
constexpr double kNoLives = 1e-200;           // exposure that no chance can be told from none
constexpr double kMostChanceLives = 1e5;  // what comes later changes no chance of so few failures

/// A count as its tails: entry j is P(N >= j), j = 0 .. failures. Differences of tails lose nothing
/// that matters, since only the last entry is asked for and every product below is positive.
using Tails = std::vector<double>;

/// Tails of the sum of two independent counts.
Tails sum_of(const Tails& a, const Tails& b) {
  Tails out(a.size(), 0.0);
  for (std::size_t k = 0; k < out.size(); ++k) {
    out[k] = a[k];
    for (std::size_t j = 0; j < k; ++j) {
      out[k] += std::max(0.0, a[j] - a[j + 1]) * b[k - j];
    }
  }
  return out;
}

Position position_of(const WatchedPlace& place) {
  Position position;
  position.state.age = place.age;
  position.state.exposure_per_day = place.exposure;
  return position;
}

/// No failure for certain.
Tails none(std::size_t failures) {
  Tails tails(1, 1.0);
  tails.resize(failures + 1, 0.0);
  return tails;
}

Tails tails_of(const PmfBand& band, std::size_t failures) {
  Tails tails = none(failures);
  for (std::size_t j = 1; j < tails.size(); ++j) {
    double above = 0;
    for (std::size_t i = band.values.size(); i-- > 0 && band.first + i >= j;) {
      above += band.values[i];
    }
    tails[j] = std::min(1.0, above);
  }
  return tails;
}

/// Cumulants of the residual life, no longer than the exposure, in scales: moments over its hazard,
/// which is exponential, so that one rule serves every age, shape and length.
Cumulants residual_cumulants(const Life& life, const WatchedPlace& place) {
  constexpr double kPieces[] = {0, 0.1, 1, 3, 8, 20, 45};
  const double start = std::pow(place.age / life.scale(), life.shape());
  const GaussRule& rule = gauss_rule(kMostGaussPoints);
  double m[5] = {};
  for (std::size_t piece = 1; piece < std::size(kPieces); ++piece) {
    const double length = kPieces[piece] - kPieces[piece - 1];
    for (std::size_t q = 0; q < rule.points.size(); ++q) {
      const double hazard = kPieces[piece - 1] + length * rule.points[q];
      const double lived = std::pow(start + hazard, 1 / life.shape()) - place.age / life.scale();
      const double u = std::clamp(lived, 0.0, place.exposure / life.scale());
      double term = length * rule.weights[q] * std::exp(-hazard);
      for (std::size_t n = 1; n < std::size(m); ++n) m[n] += term *= u;
    }
  }
  const double variance = m[2] - m[1] * m[1];
  const double central4 =
      m[4] - 4 * m[1] * m[3] + 6 * m[1] * m[1] * m[2] - 3 * m[1] * m[1] * m[1] * m[1];
  return {m[1], variance, m[3] - 3 * m[1] * m[2] + 2 * m[1] * m[1] * m[1],
          central4 - 3 * variance * variance};
}

Tails tails_by_series(const Life& life, const WatchedPlace& place, std::size_t failures) {
  return tails_of(many_lives(residual_cumulants(life, place), weibull_cumulants(life.shape()),
                             place.exposure / life.scale(), kChanceCutoff),
                  failures);
}

/// The tables of one shape, by how far they reach: each doubling of the hazard has its own while
/// one panel serves, since a polynomial over a long panel is good to a share of its largest value
/// alone.
class ShapeTables {
 public:
  ShapeTables(double shape, double longest_lives, std::size_t failures)
      : shape_(shape),
        longest_(std::min(longest_lives, kLongestTable)),
        order_(std::max<std::size_t>(1, failures)) {}

  /// Whether counts over so many lives are better had from the series for very many.
  bool is_past(double lives) const { return shape_ >= kSmallShape && lives > kLongestTable; }

  /// Adds weight x P(N(z) >= k) to out[k-1], for any z that is part of a stretch of `lives`.
  void add_tails(double lives, double z, double weight, std::span<double> out) {
    if (shape_ < kSmallShape) {
      if (!small_) small_.emplace(shape_, longest_, order_);
      small_->add_tails(std::min(z, longest_), weight, out);
    } else {
      reaching(lives).add_tails(z, weight, 0, out);
    }
  }

 private:
  static constexpr double kLongOne = 1e9;

  const CountTable& reaching(double lives) {
    const double octave = std::ceil(std::log2(lives) * shape_);
    const double end = std::exp2(octave / shape_);
    const bool short_one = end <= CountTable::widest_first(shape_);
    auto& table = tables_[short_one ? octave : kLongOne];
    if (!table) {
      const double reach = short_one ? end : longest_;
      table.emplace(CountTableSpec{
          .shape = shape_, .z_max = reach, .limits = {{reach, kChanceCutoff}}, .most = order_});
    }
    return *table;
  }

  double shape_;
  double longest_;
  std::size_t order_;
  std::map<double, std::optional<CountTable>> tables_;
  std::optional<SmallShapeTable> small_;
};

/// Tails of one place.
Tails tails_by_table(ShapeTables& tables, const Life& life, const WatchedPlace& place,
                     std::size_t failures) {
  const Position position = position_of(place);
  FirstDemand first;
  first_demand(first, position, life, 1, {}, kFirstLifePoints);
  Tails tails = none(failures);
  if (tails.size() < 2) return tails;
  tails[1] = -std::expm1(-life.hazard(place.age, place.exposure));
  const std::span<double> later = std::span<double>(tails).subspan(2);
  for (std::size_t q = 0; !later.empty() && q < first.rest.size(); ++q) {
    tables.add_tails(place.exposure / life.scale(), first.rest[q] / life.scale(), first.weight[q],
                     later);
  }
  for (std::size_t j = 2; j < tails.size(); ++j) tails[j] = std::min(tails[j], tails[j - 1]);
  return tails;
}

double chance_at(const stats::WeibullNode& node, std::span<const WatchedPlace> places,
                 std::size_t failures, ShapeTables& tables) {
  const Life life(node.scale, node.shape);
  Tails all = none(failures);
  for (WatchedPlace place : places) {
    const double most = node.shape < kSmallShape ? kLongestTable : kMostChanceLives;
    place.exposure = std::min(place.exposure, most * node.scale);
    const double lives = place.exposure / node.scale;
    if (!(lives > kNoLives)) continue;
    all = sum_of(all, tables.is_past(lives) ? tails_by_series(life, place, failures)
                                            : tails_by_table(tables, life, place, failures));
  }
  return std::min(1.0, all.back());
}

}  // namespace

double chance_far_down(std::span<const stats::WeibullNode> nodes,
                       std::span<const WatchedPlace> places, long failures) {
  double longest = 0;
  for (const WatchedPlace& place : places) longest = std::max(longest, place.exposure);
  double here = failures == 0 ? 1 : 0;
  for (std::size_t from = 0; failures > 0 && from < nodes.size();) {
    const double shape = nodes[from].shape;
    std::size_t to = from;
    double longest_lives = 0;
    for (; to < nodes.size() && nodes[to].shape == shape; ++to) {
      if (nodes[to].weight > 0) longest_lives = std::max(longest_lives, longest / nodes[to].scale);
    }
    ShapeTables tables(shape, longest_lives, static_cast<std::size_t>(failures));
    for (; from < to; ++from) {
      if (!(nodes[from].weight > 0) || !is_counted(shape)) continue;
      here += nodes[from].weight *
              chance_at(nodes[from], places, static_cast<std::size_t>(failures), tables);
    }
  }
  return std::min(1.0, here);
}

}  // namespace shearpin::stocking
