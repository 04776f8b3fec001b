#include "stocking/kit_frontier.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <limits>

#include "shearpin/base/error.hpp"
#include "stocking/kit_tables.hpp"

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

double value_of(const KitPart& part, std::size_t n, KitGoal goal) {
  return goal == KitGoal::most_ready ? unreadiness(part, n) : part.days[n];
}

double rate_between(const KitPart& part, KitGoal goal, std::size_t limit, std::size_t a,
                    std::size_t b) {
  const double gain = value_of(part, a, goal) - value_of(part, b, goal);
  const double use = part.use[limit][b] - part.use[limit][a];
  if (gain <= 0) return 0;
  return use > 0 ? gain / use : kFree;
}

/// Lower convex hull of (use, value) over first .. last pieces, both ends on it; rates fall along
/// it. Points on an edge are kept: they are kits one can stop at.
std::vector<Edge> hull(const KitPart& part, std::size_t j, KitGoal goal, std::size_t limit,
                       std::size_t first, std::size_t last) {
  std::vector<Edge> edges;
  for (std::size_t n = first + 1; n <= last; ++n) {
    Edge edge{j, n - 1, n, rate_between(part, goal, limit, n - 1, n)};
    while (!edges.empty() && edges.back().rate < edge.rate) {
      edge.from = edges.back().from;
      edges.pop_back();
      edge.rate = rate_between(part, goal, limit, edge.from, n);
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
  check_limit(problem, limit);
  check_use_never_falls(problem, limit);
}

/// Sums that follow a kit from step to step.
class Walk {
 public:
  Walk(const KitProblem& problem, std::size_t limit, const std::vector<long>& start)
      : problem_(problem), limit_(limit) {
    const KitTotals totals = kit_totals(problem, start);
    now_.use = totals.use[limit];
    now_.days = totals.days;
    now_.safety_days = totals.safety_days;
    now_.log_chance = totals.log_chance;
  }

  FrontierStep step(std::size_t j, std::size_t from, std::size_t to, double rate) {
    const KitPart& part = problem_.parts[j];
    now_.part = j;
    now_.from = static_cast<long>(from);
    now_.to = static_cast<long>(to);
    now_.per_unit.reset();
    if (rate < kFree) now_.per_unit = rate;
    now_.use += part.use[limit_][to] - part.use[limit_][from];
    now_.days += part.days[to] - part.days[from];
    now_.safety_days +=
        entry_of(part, to, KitSum::safety_days) - entry_of(part, from, KitSum::safety_days);
    now_.log_chance += unreadiness(part, from) - unreadiness(part, to);
    return now_;
  }

 private:
  const KitProblem& problem_;
  std::size_t limit_;
  FrontierStep now_;
};

std::vector<long> least_kit(const KitProblem& problem) {
  std::vector<long> pieces;
  for (const KitPart& part : problem.parts) pieces.push_back(static_cast<long>(part.least));
  return pieces;
}

}  // namespace

std::vector<FrontierStep> kit_frontier(const KitProblem& problem, KitGoal goal, std::size_t limit,
                                       std::span<const long> start) {
  check_frontier(problem, limit);
  std::vector<long> from(start.begin(), start.end());
  if (from.empty()) from = least_kit(problem);
  check_pieces(problem, from);
  std::vector<Edge> edges;
  for (std::size_t j = 0; j < problem.parts.size(); ++j) {
    const KitPart& part = problem.parts[j];
    for (const Edge& edge :
         hull(part, j, goal, limit, static_cast<std::size_t>(from[j]), part.days.size() - 1)) {
      if (edge.rate > 0) edges.push_back(edge);
    }
  }
  std::stable_sort(edges.begin(), edges.end(),
                   [](const Edge& a, const Edge& b) { return a.rate > b.rate; });
  Walk walk(problem, limit, from);
  std::vector<FrontierStep> steps;
  for (const Edge& edge : edges)
    steps.push_back(walk.step(edge.part, edge.from, edge.to, edge.rate));
  return steps;
}

std::vector<FrontierStep> leave_first(const KitProblem& problem, KitGoal goal, std::size_t limit,
                                      std::span<const long> kit) {
  check_frontier(problem, limit);
  check_pieces(problem, kit);
  std::vector<Edge> edges;
  for (std::size_t j = 0; j < problem.parts.size(); ++j) {
    const KitPart& part = problem.parts[j];
    const auto last = static_cast<std::size_t>(kit[j]);
    std::vector<Edge> of_part = hull(part, j, goal, limit, part.least, std::max(last, part.least));
    std::reverse(of_part.begin(), of_part.end());
    for (const Edge& edge : of_part) {
      if (part.use[limit][edge.to] > part.use[limit][edge.from]) edges.push_back(edge);
    }
  }
  std::stable_sort(edges.begin(), edges.end(),
                   [](const Edge& a, const Edge& b) { return a.rate < b.rate; });
  Walk walk(problem, limit, {kit.begin(), kit.end()});
  std::vector<FrontierStep> steps;
  for (const Edge& edge : edges)
    steps.push_back(walk.step(edge.part, edge.to, edge.from, edge.rate));
  return steps;
}

}  // namespace shearpin::stocking
