#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <limits>

#include "shearpin/base/error.hpp"
#include "stocking/kit_choice.hpp"

namespace shearpin::stocking {
namespace {

constexpr double kFree = std::numeric_limits<double>::infinity();

/// An edge of a part's hull.
struct Edge {
  std::size_t part = 0;
  std::size_t from = 0;
  std::size_t to = 0;  // more pieces than from
  double rate = 0;     // lowering of the value for a unit of the limit; kFree: takes nothing
};

double rate_between(const KitPart& part, std::size_t limit, std::size_t a, std::size_t b) {
  const double gain = part.days[a] - part.days[b];
  const double use = part.use[limit][b] - part.use[limit][a];
  if (gain <= 0) return 0;
  return use > 0 ? gain / use : kFree;
}

/// Lower convex hull of (use, days) over first .. last pieces, both ends on it; rates fall along
/// it. Points on an edge are kept: they are kits one can stop at.
std::vector<Edge> hull(const KitPart& part, std::size_t j, std::size_t limit, std::size_t first,
                       std::size_t last) {
  std::vector<Edge> edges;
  for (std::size_t n = first + 1; n <= last; ++n) {
    Edge edge{j, n - 1, n, rate_between(part, limit, n - 1, n)};
    while (!edges.empty() && edges.back().rate < edge.rate) {
      edge.from = edges.back().from;
      edges.pop_back();
      edge.rate = rate_between(part, limit, edge.from, n);
    }
    edges.push_back(edge);
  }
  return edges;
}

void check_use_never_falls(const KitProblem& problem, std::size_t limit) {
  for (std::size_t j = 0; j < problem.parts.size(); ++j) {
    const std::vector<double>& use = problem.parts[j].use[limit];
    for (std::size_t n = 1; n < use.size(); ++n) {
      if (use[n] < use[n - 1]) {
        throw InputError(
            fmt::format("part {}: use of limit {} falls from {} to {} with piece {}; "
                        "steps need one that never falls",
                        j, limit, use[n - 1], use[n], n));
      }
    }
  }
}

void check_frontier(const KitProblem& problem, std::size_t limit) {
  check_problem(problem);
  if (limit >= problem.limits.size()) {
    throw InputError(
        fmt::format("limit {} does not exist; there are {}", limit, problem.limits.size()));
  }
  check_use_never_falls(problem, limit);
}

FrontierStep step_of(std::size_t part, std::size_t from, std::size_t to, double rate) {
  FrontierStep step{part, static_cast<long>(from), static_cast<long>(to), {}};
  if (rate < kFree) step.per_unit = rate;
  return step;
}

}  // namespace

std::vector<FrontierStep> kit_frontier(const KitProblem& problem, std::size_t limit,
                                       std::span<const long> start) {
  check_frontier(problem, limit);
  if (!start.empty()) check_pieces(problem, start);
  std::vector<Edge> edges;
  for (std::size_t j = 0; j < problem.parts.size(); ++j) {
    const KitPart& part = problem.parts[j];
    const std::size_t first = start.empty() ? part.least : static_cast<std::size_t>(start[j]);
    for (const Edge& edge : hull(part, j, limit, first, part.days.size() - 1)) {
      if (edge.rate > 0) edges.push_back(edge);
    }
  }
  std::stable_sort(edges.begin(), edges.end(),
                   [](const Edge& a, const Edge& b) { return a.rate > b.rate; });
  std::vector<FrontierStep> steps;
  for (const Edge& edge : edges) {
    steps.push_back(step_of(edge.part, edge.from, edge.to, edge.rate));
  }
  return steps;
}

std::vector<FrontierStep> leave_first(const KitProblem& problem, std::size_t limit,
                                      std::span<const long> kit) {
  check_frontier(problem, limit);
  check_pieces(problem, kit);
  std::vector<Edge> edges;
  for (std::size_t j = 0; j < problem.parts.size(); ++j) {
    const KitPart& part = problem.parts[j];
    const auto last = static_cast<std::size_t>(kit[j]);
    std::vector<Edge> of_part = hull(part, j, limit, part.least, std::max(last, part.least));
    std::reverse(of_part.begin(), of_part.end());
    for (const Edge& edge : of_part) {
      if (part.use[limit][edge.to] > part.use[limit][edge.from]) edges.push_back(edge);
    }
  }
  std::stable_sort(edges.begin(), edges.end(),
                   [](const Edge& a, const Edge& b) { return a.rate < b.rate; });
  std::vector<FrontierStep> steps;
  for (const Edge& edge : edges) {
    steps.push_back(step_of(edge.part, edge.to, edge.from, edge.rate));
  }
  return steps;
}

}  // namespace shearpin::stocking
