#include "stocking/tabulated_life.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "stocking/chebyshev.hpp"
#include "stocking/life.hpp"

namespace shearpin::stocking {
namespace {

constexpr std::size_t kNodes = 12;
constexpr int kHalvings = 40;
constexpr double kMostLifePanels = 2000;
constexpr double kMinor = 1e-6;

// The shortest scale on which a node that matters changes.
double shortest_scale(std::span<const stats::WeibullNode> nodes) {
  double shortest = std::numeric_limits<double>::infinity();
  for (const stats::WeibullNode& node : nodes) {
    if (node.weight < kMinor) continue;
    shortest = std::min(shortest, node.scale / std::max(1.0, node.shape / 1.5));
  }
  return shortest;
}

}  // namespace

TabulatedLife::TabulatedLife(std::span<const stats::WeibullNode> nodes, double age, double reach) {
  scale_ = std::max(shortest_scale(nodes), reach / kMostLifePanels);
  first_spent_ = reach;
  for (const stats::WeibullNode& node : nodes) {
    if (node.weight < kMinor) continue;
    first_spent_ = std::min(first_spent_, Life(node.scale, node.shape).spent(age));
  }
  // Halving towards 0: there a new unit's density is a mixture of different powers of u.
  double width = std::min(reach, scale_);
  starts_.push_back(0);
  for (int halving = kHalvings; halving > 0; --halving)
    starts_.push_back(std::ldexp(width, -halving));
  for (double at = width; at < reach * (1 + 1e-12); at += width) starts_.push_back(at);
  if (starts_.back() < reach) starts_.push_back(starts_.back() + width);
  const Chebyshev& c = chebyshev(kNodes);
  for (std::size_t p = 0; p + 1 < starts_.size(); ++p) {
    for (const double x : c.nodes) {
      const double u = starts_[p] + (starts_[p + 1] - starts_[p]) * x;
      double density = 0;
      double survival = 0;
      for (const stats::WeibullNode& node : nodes) {
        const Life life(node.scale, node.shape);
        const double survives = node.weight * life.survival(age, u);
        survival += survives;
        density +=
            survives * node.shape / node.scale * std::pow((age + u) / node.scale, node.shape - 1);
      }
      densities_.push_back(density);
      survivals_.push_back(survival);
    }
  }
}

std::size_t TabulatedLife::panel_of(double u) const {
  const auto after = std::upper_bound(starts_.begin(), starts_.end(), u);
  const auto index = after - starts_.begin() - 1;
  return std::min(static_cast<std::size_t>(std::max<std::ptrdiff_t>(index, 0)), starts_.size() - 2);
}

double TabulatedLife::density(double u) const {
  const std::size_t p = panel_of(u);
  std::array<double, kNodes> basis{};
  chebyshev(kNodes).basis(std::clamp((u - starts_[p]) / (starts_[p + 1] - starts_[p]), 0.0, 1.0),
                          basis);
  double sum = 0;
  for (std::size_t j = 0; j < kNodes; ++j) sum += basis[j] * densities_[p * kNodes + j];
  return std::max(sum, 0.0);
}

double TabulatedLife::survival(double u) const {
  if (!(u > 0)) return 1;
  const std::size_t p = panel_of(u);
  std::array<double, kNodes> basis{};
  chebyshev(kNodes).basis(std::clamp((u - starts_[p]) / (starts_[p + 1] - starts_[p]), 0.0, 1.0),
                          basis);
  double sum = 0;
  for (std::size_t j = 0; j < kNodes; ++j) sum += basis[j] * survivals_[p * kNodes + j];
  return std::clamp(sum, 0.0, 1.0);
}

}  // namespace shearpin::stocking
