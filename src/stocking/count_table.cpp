#include "stocking/count_table.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "stocking/chebyshev.hpp"
#include "stocking/falling_exp.hpp"
#include "stocking/many_lives.hpp"
#include "stocking/quadrature.hpp"

namespace shearpin::stocking {
namespace {

// Where exp(-z^shape) is below 3e-13 no life goes on.
constexpr double kLongestHazard = 29;
// By quality: nodes on a later panel, Gauss points of a piece on the first panel and on later ones.
struct Fineness {
  std::size_t nodes;
  std::size_t first_points;
  std::size_t later_points;
};
Fineness fineness(TableQuality quality) {
  switch (quality) {
    case TableQuality::fine:
      return {12, 12, 14};
    case TableQuality::medium:
      return {8, 8, 9};
    case TableQuality::rough:
      break;
  }
  return {6, 8, 6};
}
constexpr double kDefaultCutoff = 1e-13;
constexpr double kSmooth = 0.7;  // deviations that a far panel spans

// The widest first panel, in w, that its nodes resolve. The k-th tail behaves like
// exp(-w (k+1)^(1 - shape)), so small shapes need a narrower one.
double widest_first_w(double shape) { return shape >= 1 ? 2.5 : 0.5 + 2.0 * shape; }

// Panel width later on: density and tails change on the scale 1/shape when shape is large.
double later_width(double shape) {
  if (shape <= 1.5) return 1.0;
  return shape <= 4 ? 1.5 / shape : 1.1 / shape;
}

}  // namespace

double CountTable::widest_first(double shape) { return std::pow(widest_first_w(shape), 1 / shape); }

CountTable::CountTable(const CountTableSpec& spec)
    : shape_(spec.shape),
      cut_(spec.cut),
      z_max_(spec.z_max),
      piece_(later_width(spec.shape)),
      points_(fineness(spec.later).later_points),
      most_(spec.most),
      grading_(spec.shape) {
  if (is_cut()) {
    lay_cut_panels(fineness(spec.later).nodes);
  } else {
    lay_panels(fineness(spec.later).nodes);
  }
  first_w_ = std::pow(panels_.front().width, shape_);
  limits_ = spec.limits;
  if (limits_.empty()) limits_.push_back({z_max_, kDefaultCutoff});
  for (const CountTableSpec::Limit& limit : limits_) {
    const Panel& panel = panels_[panel_of(limit.z)];
    const std::vector<double>& nodes = chebyshev(panel.nodes).nodes;
    const auto above = std::lower_bound(nodes.begin(), nodes.end() - 1, place_in(panel, limit.z));
    limit_nodes_.push_back(panel.first_node + static_cast<std::size_t>(above - nodes.begin()));
  }
  solve_first_panel(spec);
  find_largest();
  if (panels_.size() > 1) solve_others();
  finish();
}

void CountTable::find_largest() {
  for (std::size_t k = 0; k < order_; ++k) {
    const double* at = coefficients(k + 1);
    for (std::size_t d = 0; d < kFirstNodes; ++d) {
      largest_[d] = std::max(largest_[d], std::fabs(at[d]));
    }
  }
}

std::size_t CountTable::terms_for(double x, double error) const {
  const double x4 = x * x * x * x;
  double rest = 0;
  double power = x4 * x4;
  for (std::size_t terms = kFirstNodes - 4; terms > 0; terms -= 4, power /= x4) {
    const double* a = largest_.data() + terms;
    rest += power * (a[0] + x * (a[1] + x * (a[2] + x * a[3])));
    if (rest > error) return terms + 4;
    if (terms == 4) return 4;
  }
  return kFirstNodes;
}

// Whether the level just kept is below the cutoff of every limit.
bool CountTable::enough() const {
  const double* level = values_.data() + (order_ - 1) * node_count_;
  for (std::size_t i = limits_.size(); i-- > 0;) {
    if (level[limit_nodes_[i]] >= limits_[i].tail_cutoff) return false;
  }
  return true;
}

void CountTable::add_panel(double start, double width, double power, std::size_t nodes) {
  panels_.push_back({start, width, power, node_count_, nodes});
  node_count_ += nodes;
}

void CountTable::lay_panels(std::size_t nodes) {
  const double widest = widest_first(shape_);
  const double first = std::min(z_max_, widest);
  add_panel(0, first, 1 / shape_, kFirstNodes);
  // Small shapes have a narrow first panel. The tails are singular at 0 alone, so what follows may
  // widen with the distance from there; panels of that narrow width would be thousands.
  // Far out the tails are as smooth as the deviation of the sum of the lives so far.
  widening_ = first < piece_ || z_max_ > kLongestTable;
  const Cumulants life = weibull_cumulants(shape_);
  const double a_life = std::sqrt(life.variance / life.mean);
  double width = piece_;
  for (double at = first; z_max_ - at > 1e-12 * z_max_; at += width) {
    if (widening_) {
      const double smooth = z_max_ > kLongestTable ? kSmooth * a_life * std::sqrt(at) : 0;
      width = std::min({std::max(piece_, smooth), at, z_max_ - at});
    }
    add_panel(at, width, 1, nodes);
  }
}

void CountTable::lay_cut_panels(std::size_t nodes) {
  const double widest = widest_first(shape_);
  for (double segment = 0;; ++segment) {
    const double start = segment * cut_;
    if (segment > 0 && start > z_max_ * (1 + 1e-9)) break;
    const bool is_first = segment == 0;
    double width = std::min(cut_, is_first ? widest : std::min(widest, piece_));
    add_panel(start, width, is_first ? 1 / shape_ : grading_.count, is_first ? kFirstNodes : nodes);
    // The tails are singular at the segment's start: no panel longer than its distance from there.
    for (double at = width; cut_ - at > 1e-12 * cut_; at += width) {
      width = std::min({cut_ - at, piece_, at});
      add_panel(start + at, width, 1, nodes);
    }
  }
}

double CountTable::density(double u) const {
  const double hazard = std::pow(u, shape_);
  return shape_ * hazard / u * std::exp(-hazard);
}

std::vector<double> CountTable::nodes_of(const Panel& panel) const {
  std::vector<double> z;
  for (const double x : chebyshev(panel.nodes).nodes) {
    z.push_back(panel.start + panel.width * (panel.power == 1 ? x : std::pow(x, panel.power)));
  }
  return z;
}

void CountTable::solve_first_panel(const CountTableSpec& spec) {
  const Chebyshev& c = chebyshev(kFirstNodes);
  // u = z f and z - u = z (1 - f): the fractions f serve every node, and only exp(-w f^shape)
  // differs from node to node.
  std::vector<SplitPoint> points;
  append_split_points(points, {0, 1, 1}, grading_, 1, fineness(spec.first).first_points);
  // moments[d][i]: of what is left, to the power shape d, at node i.
  using Values = std::array<double, kFirstNodes>;
  std::array<Values, kFirstNodes> moments{};
  Values w{};
  for (std::size_t i = 0; i < kFirstNodes; ++i) w[i] = first_w_ * c.nodes[i];
  for (const SplitPoint& point : points) {
    const double hazard = std::pow(point.u, shape_);
    const double share = shape_ * hazard / point.u * point.weight;
    const double ratio = std::pow(point.rest, shape_);
    Values term{};
    for (std::size_t i = 0; i < kFirstNodes; ++i) {
      term[i] = w[i] * share * falling_exp(w[i] * hazard);
    }
    for (std::size_t d = 0; d < kFirstNodes; ++d) {
      for (std::size_t i = 0; i < kFirstNodes; ++i) {
        moments[d][i] += term[i];
        term[i] *= ratio;
      }
    }
  }
  Values power{};
  power.fill(1);
  for (Values& moment : moments) {
    for (std::size_t i = 0; i < kFirstNodes; ++i) {
      moment[i] *= power[i];
      power[i] *= c.nodes[i];
    }
  }
  std::array<double, kFirstNodes> tail{};
  for (std::size_t i = 0; i < kFirstNodes; ++i) tail[i] = -std::expm1(-first_w_ * c.nodes[i]);
  const bool alone = panels_.size() == 1;
  while (order_ < most_) {
    ++order_;
    values_.insert(values_.end(), tail.begin(), tail.end());
    Values coefficients{};
    for (std::size_t j = 0; j < kFirstNodes; ++j) {
      const double* column = c.from_node.data() + j * kFirstNodes;
      for (std::size_t d = 0; d < kFirstNodes; ++d) coefficients[d] += column[d] * tail[j];
    }
    coefficients_.insert(coefficients_.end(), coefficients.begin(), coefficients.end());
    if (alone ? enough() : tail.back() < 1e-30) break;
    Values sum{};
    for (std::size_t d = kFirstNodes; d-- > 0;) {
      for (std::size_t i = 0; i < kFirstNodes; ++i) sum[i] += moments[d][i] * coefficients[d];
    }
    for (std::size_t i = 0; i < kFirstNodes; ++i) tail[i] = std::max(sum[i], 0.0);
  }
}

std::size_t CountTable::panel_of(double z) const {
  // A point a rounding error short of a cut belongs to the right: what falls due there is counted.
  const double at = is_cut() ? z * (1 + 1e-12) : z;
  std::size_t low = 0;
  std::size_t high = panels_.size();
  while (high - low > 1) {
    const std::size_t mid = (low + high) / 2;
    (at >= panels_[mid].start ? low : high) = mid;
  }
  return low;
}

double CountTable::place_in(const Panel& panel, double z) const {
  const double x = std::clamp((z - panel.start) / panel.width, 0.0, 1.0);
  return panel.power == 1 ? x : std::pow(x, 1 / panel.power);
}

void CountTable::add_points(const SplitPoint* points, std::size_t count,
                            std::span<double> row) const {
  std::array<double, kMostChebyshev> basis{};
  for (std::size_t q = 0; q < count; ++q) {
    const double rest = std::max(points[q].rest, 0.0);
    const Panel& panel = panels_[panel_of(rest)];
    chebyshev(panel.nodes).basis(place_in(panel, rest), {basis.data(), panel.nodes});
    const double factor = points[q].weight * density(points[q].u);
    for (std::size_t j = 0; j < panel.nodes; ++j) row[panel.first_node + j] += factor * basis[j];
  }
}

CountTable::Row CountTable::row_of(double z) const {
  std::vector<double> factors(node_count_, 0.0);
  const double longest = std::min({z, cut_, std::pow(kLongestHazard, 1 / shape_)});
  // z - u crosses the start of a segment at most once while u < cut: the tails jump there.
  const double start = is_cut() ? std::floor(z / cut_ + 1e-12) * cut_ : 0;
  const double crossing = std::clamp(z - start, 0.0, longest);
  std::vector<SplitPoint> points;
  append_split_points(points, {0, crossing, z, start}, grading_, piece_, points_);
  append_split_points(points, {crossing, longest, z, std::max(start - cut_, 0.0)}, grading_, piece_,
                      points_);
  add_points(points.data(), points.size(), factors);
  if (cut_ <= z * (1 + 1e-12)) {
    const double rest = std::max(z - cut_, 0.0);
    const Panel& panel = panels_[panel_of(rest)];
    std::array<double, kMostChebyshev> basis{};
    chebyshev(panel.nodes).basis(place_in(panel, rest), {basis.data(), panel.nodes});
    const double survives = std::exp(-std::pow(cut_, shape_));
    for (std::size_t j = 0; j < panel.nodes; ++j) {
      factors[panel.first_node + j] += survives * basis[j];
    }
  }
  std::size_t first = 0;
  while (first < factors.size() && factors[first] == 0) ++first;
  std::size_t last = factors.size();
  while (last > first && factors[last - 1] == 0) --last;
  return {first, std::vector<double>(factors.begin() + static_cast<std::ptrdiff_t>(first),
                                     factors.begin() + static_cast<std::ptrdiff_t>(last))};
}

std::vector<CountTable::Row> CountTable::direct_rows() const {
  std::vector<Row> rows;
  // No life is longer than a cut, and all segments but the first are laid out alike: from the third
  // on, what a segment gets from itself and the one before is what the last one got.
  const auto first_node_at = [&](double z) { return panels_[panel_of(z)].first_node; };
  const bool repeats = is_cut() && panels_.back().start >= 3 * cut_;
  const std::size_t repeats_from = repeats ? first_node_at(3 * cut_) : node_count_;
  const std::size_t segment_nodes = repeats ? repeats_from - first_node_at(2 * cut_) : 0;
  for (std::size_t p = 1; p < panels_.size(); ++p) {
    if (panels_[p].first_node >= repeats_from) {
      for (std::size_t i = 0; i < panels_[p].nodes; ++i) {
        Row row = rows[rows.size() - segment_nodes];
        row.first += segment_nodes;
        rows.push_back(std::move(row));
      }
      continue;
    }
    for (const double z : nodes_of(panels_[p])) rows.push_back(row_of(z));
  }
  return rows;
}

// Without cuts the later panels of all but small shapes are alike, so what one gives to another
// depends on how far apart they are.
std::vector<CountTable::Row> CountTable::lagged_rows() const {
  const Panel& first = panels_[0];
  const Panel& one = panels_[1];
  const std::size_t m = one.nodes;
  const Chebyshev& c = chebyshev(m);
  const GaussRule& rule = gauss_rule(m);
  const double longest = std::pow(kLongestHazard, 1 / shape_);
  const std::size_t later = panels_.size() - 1;
  const std::size_t far = std::min(later, static_cast<std::size_t>(longest / one.width) + 2);

  // Lagrange values at the Gauss points of a panel, and at graded points of the first panel.
  std::vector<double> at_gauss(m * m);
  for (std::size_t q = 0; q < m; ++q) c.basis(rule.points[q], {at_gauss.data() + q * m, m});
  std::vector<SplitPoint> first_points;
  Grading towards_zero = grading_;
  towards_zero.density = 1;  // u stays away from 0 here
  append_split_points(first_points, {0, first.width, first.width}, towards_zero, piece_, points_);
  std::vector<double> at_first(first_points.size() * kFirstNodes);
  for (std::size_t q = 0; q < first_points.size(); ++q) {
    chebyshev(kFirstNodes)
        .basis(place_in(first, first_points[q].rest),
               {at_first.data() + q * kFirstNodes, kFirstNodes});
  }

  // blocks[lag]: m x m, what the values `lag` panels below give to a node.
  std::vector<std::vector<double>> blocks(far, std::vector<double>(m * m, 0.0));
  std::vector<SplitPoint> points;
  std::array<double, kMostChebyshev> basis{};
  for (std::size_t i = 0; i < m; ++i) {
    for (std::size_t lag = 0; lag < far; ++lag) {
      const double offset = (static_cast<double>(lag) + c.nodes[i]) * one.width;
      double* block = blocks[lag].data() + i * m;
      if (lag < 2) {
        points.clear();
        const double low = lag == 0 ? 0 : offset - one.width;
        const double high = lag == 0 ? offset : std::min(offset, longest);
        append_split_points(points, {low, high, offset}, grading_, one.width, points_);
        for (const SplitPoint& point : points) {
          c.basis(std::clamp(point.rest / one.width, 0.0, 1.0), {basis.data(), m});
          const double factor = point.weight * density(point.u);
          for (std::size_t j = 0; j < m; ++j) block[j] += factor * basis[j];
        }
        continue;
      }
      for (std::size_t q = 0; q < m; ++q) {
        const double u = offset - one.width * rule.points[q];
        if (u > longest) continue;
        const double factor = one.width * rule.weights[q] * density(u);
        for (std::size_t j = 0; j < m; ++j) block[j] += factor * at_gauss[q * m + j];
      }
    }
  }

  std::vector<Row> rows(later * m);
  for (std::size_t p = 1; p <= later; ++p) {
    const std::vector<double> z = nodes_of(panels_[p]);
    const std::size_t lags = std::min(p, far);
    const bool sees_first = panels_[p].start - first.width < longest;
    for (std::size_t i = 0; i < m; ++i) {
      Row& row = rows[(p - 1) * m + i];
      row.first = sees_first ? 0 : panels_[p - lags + 1].first_node;
      row.factors.assign(panels_[p].first_node + m - row.first, 0.0);
      if (sees_first && p <= 2) {
        points.clear();
        append_split_points(points, {z[i] - first.width, std::min(z[i], longest), z[i]}, grading_,
                            piece_, points_);
        add_points(points.data(), points.size(), row.factors);
      } else if (sees_first) {
        for (std::size_t q = 0; q < first_points.size(); ++q) {
          const double u = z[i] - first_points[q].rest;
          if (u > longest) continue;
          const double factor = first_points[q].weight * density(u);
          for (std::size_t j = 0; j < kFirstNodes; ++j) {
            row.factors[j] += factor * at_first[q * kFirstNodes + j];
          }
        }
      }
      for (std::size_t lag = 0; lag < lags; ++lag) {
        double* to = row.factors.data() + panels_[p - lag].first_node - row.first;
        for (std::size_t j = 0; j < m; ++j) to[j] += blocks[lag][i * m + j];
      }
    }
  }
  return rows;
}

void CountTable::solve_others() {
  const std::vector<double> first_values = std::move(values_);
  const std::size_t first_order = order_;
  values_.clear();
  const std::vector<Row> rows = is_cut() || widening_ ? direct_rows() : lagged_rows();
  std::vector<double> tail(node_count_);
  for (std::size_t p = 1; p < panels_.size(); ++p) {
    const std::vector<double> z = nodes_of(panels_[p]);
    for (std::size_t i = 0; i < z.size(); ++i) {
      tail[panels_[p].first_node + i] =
          cut_ <= z[i] * (1 + 1e-12) ? 1 : -std::expm1(-std::pow(z[i], shape_));
    }
  }
  for (order_ = 0; order_ < most_;) {
    for (std::size_t j = 0; j < kFirstNodes; ++j) {
      tail[j] = order_ < first_order ? first_values[order_ * kFirstNodes + j] : 0;
    }
    ++order_;
    values_.insert(values_.end(), tail.begin(), tail.end());
    if (enough()) break;
    const double* now = values_.data() + (order_ - 1) * node_count_;
    for (std::size_t i = kFirstNodes; i < node_count_; ++i) {
      const Row& row = rows[i - kFirstNodes];
      const double* from = now + row.first;
      double even = 0;
      double odd = 0;
      const std::size_t count = row.factors.size();
      for (std::size_t j = 0; j + 1 < count; j += 2) {
        even += row.factors[j] * from[j];
        odd += row.factors[j + 1] * from[j + 1];
      }
      if (count % 2 == 1) even += row.factors[count - 1] * from[count - 1];
      tail[i] = std::clamp(even + odd, 0.0, 1.0);
    }
  }
  coefficients_.resize(order_ * kFirstNodes, 0.0);
}

// Lays the tails out panel by panel, as polynomials: what add_tails reads.
void CountTable::finish() {
  centred_.resize(values_.size());
  expected_.assign(node_count_, 0.0);
  for (std::size_t k = order_; k-- > 0;) {
    const double* level = values_.data() + k * node_count_;
    for (std::size_t j = 0; j < node_count_; ++j) expected_[j] += level[j];
    for (const Panel& panel : panels_) {
      const std::size_t m = panel.nodes;
      const double* column = chebyshev(m).centred_from_node.data();
      const double* at = level + panel.first_node;
      double* to = centred_.data() + panel.first_node * order_ + k * m;
      std::array<double, kMostChebyshev> sums{};
      for (std::size_t j = 0; j < m; ++j, column += m) {
        for (std::size_t d = 0; d < m; ++d) sums[d] += column[d] * at[j];
      }
      std::copy_n(sums.begin(), m, to);
    }
  }
  values_.clear();
  values_.shrink_to_fit();
}

void CountTable::add_tails(double z, double weight, double tail_cutoff,
                           std::span<double> out) const {
  const Panel& panel = panels_[panel_of(z)];
  std::array<double, kMostChebyshev> powers{};
  const double x = place_in(panel, z) - 0.5;
  double power = weight;
  for (std::size_t d = 0; d < panel.nodes; ++d, power *= x) powers[d] = power;
  const std::size_t count = std::min(order_, out.size());
  const double* at = centred_.data() + panel.first_node * order_;
  for (std::size_t k = 0; k < count; ++k, at += panel.nodes) {
    double even = 0;
    double odd = 0;
    for (std::size_t d = 0; d + 1 < panel.nodes; d += 2) {
      even += powers[d] * at[d];
      odd += powers[d + 1] * at[d + 1];
    }
    const double sum = even + odd;
    if (sum < tail_cutoff) break;
    out[k] += sum;
  }
}

double CountTable::expected(double z) const {
  const Panel& panel = panels_[panel_of(z)];
  std::array<double, kMostChebyshev> basis{};
  chebyshev(panel.nodes).basis(place_in(panel, z), {basis.data(), panel.nodes});
  double sum = 0;
  for (std::size_t j = 0; j < panel.nodes; ++j) sum += basis[j] * expected_[panel.first_node + j];
  return sum;
}

double CountTable::expected_density(double z) const {
  const Panel& panel = panels_[panel_of(z)];
  const Chebyshev& c = chebyshev(panel.nodes);
  // Just after a cut the density is a power of the distance; rounding must not make it endless.
  const double least = panel.start > 0 ? 1e-8 : 1e-100;
  const double share = std::clamp((z - panel.start) / panel.width, least, 1.0);
  const double x = panel.power == 1 ? share : std::pow(share, 1 / panel.power);
  double slope = 0;  // of the interpolating polynomial in x, by Horner on its coefficients
  for (std::size_t d = panel.nodes; d-- > 1;) {
    double coefficient = 0;
    for (std::size_t j = 0; j < panel.nodes; ++j) {
      coefficient += c.to_coefficients[d * panel.nodes + j] * expected_[panel.first_node + j];
    }
    slope = slope * x + static_cast<double>(d) * coefficient;
  }
  return slope * x / (panel.power * share * panel.width);
}

}  // namespace shearpin::stocking
