#pragma once
/// What a question about a posterior asks of its nodes.

#include <span>

#include "shearpin/stats/weibull.hpp"

namespace shearpin::stats {

/// InputError unless there is a node, every scale and shape is finite and above 0, and the weights
/// are >= 0 with sum 1 (within 1e-6).
void check_nodes(std::span<const WeibullNode> nodes);

/// The one node of a life that is known.
WeibullNode certain(const Weibull& life);

}  // namespace shearpin::stats
