#include "stats/node_check.hpp"

#include <fmt/format.h>

#include <cmath>

#include "shearpin/base/error.hpp"

namespace shearpin::stats {

void check_nodes(std::span<const WeibullNode> nodes) {
  constexpr double kRounding = 1e-6;
  double total = 0;
  for (const WeibullNode& node : nodes) {
    const bool sound = std::isfinite(node.scale) && node.scale > 0 && std::isfinite(node.shape) &&
                       node.shape > 0 && node.weight >= 0;
    if (!sound) {
      throw InputError(fmt::format(
          "a life of scale {}, shape {} and weight {}: scale and shape must be numbers above 0, "
          "the weight one of 0 or more, e.g. 1000, 1.5 and 1",
          node.scale, node.shape, node.weight));
    }
    total += node.weight;
  }
  if (!(std::abs(total - 1) < kRounding)) {
    throw InputError(fmt::format(
        "the weights of {} lives add up to {}: they must add up to 1, e.g. 0.25 and 0.75",
        nodes.size(), total));
  }
}

WeibullNode certain(const Weibull& life) { return {life.scale, life.shape, 1}; }

}  // namespace shearpin::stats
