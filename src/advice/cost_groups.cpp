#include "advice/cost_groups.hpp"

#include <algorithm>

namespace shearpin::advice {

stocking::DaysWithout costed(const std::vector<stocking::DaysWithout>& days_without,
                             const std::vector<double>& costs) {
  std::size_t longest = 1;
  for (const auto& group : days_without) {
    longest = std::max(longest, group.size());
  }
  stocking::DaysWithout cost(longest, 0.0);
  for (std::size_t n = 0; n < longest; ++n) {
    double severer = 0;
    for (std::size_t g = 0; g < days_without.size(); ++g) {
      const double here = n < days_without[g].size() ? days_without[g][n] : 0.0;
      cost[n] += costs[g] * std::max(0.0, here - severer);
      severer = here;
    }
  }
  return cost;
}

}  // namespace shearpin::advice
