#include <algorithm>
#include <cmath>
#include <limits>

#include "stocking/kit_tables.hpp"

namespace shearpin::stocking {
namespace {

double least_alone(const KitProblem& problem, std::size_t row) {
  double sum = 0;
  for (std::size_t j = 0; j < problem.parts.size(); ++j) {
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t n = problem.parts[j].least; n < problem.parts[j].days.size(); ++n) {
      least = std::min(least, row_use(problem, row, j, n));
    }
    sum += least;
  }
  return sum;
}

// Sums of a risk row are -ln of a chance; shown as the chance of going short.
double shown(const KitProblem& problem, std::size_t row, double sum) {
  return row < problem.limits.size() ? sum : -std::expm1(-sum);
}

LimitConflict conflict_of(const KitProblem& problem, std::size_t row, double work) {
  const std::size_t limits = problem.limits.size();
  LimitConflict conflict;
  conflict.is_risk_cap = row >= limits;
  conflict.index = conflict.is_risk_cap ? row - limits : row;
  conflict.most = conflict.is_risk_cap ? problem.risk_caps[row - limits].most : problem.limits[row];
  conflict.least_alone = shown(problem, row, least_alone(problem, row));
  const ChoiceResult least = cheapest(least_row_choice(problem, row), work);
  if (least.found && least.settled) {
    conflict.least_with_others = shown(problem, row, least.cost);
  }
  return conflict;
}

}  // namespace

std::vector<LimitConflict> conflicts(const KitProblem& problem, double work) {
  std::vector<LimitConflict> all;
  std::vector<LimitConflict> in_the_way;
  const double work_each = work / static_cast<double>(std::max<std::size_t>(1, row_count(problem)));
  for (std::size_t row = 0; row < row_count(problem); ++row) {
    all.push_back(conflict_of(problem, row, work_each));
    const bool alone = least_alone(problem, row) > row_limit(problem, row) * (1 + kWithin);
    if (alone || all.back().least_with_others) in_the_way.push_back(all.back());
  }
  // Two conflicts that share no limit: no single one that gives way would help.
  return in_the_way.empty() ? all : in_the_way;
}

}  // namespace shearpin::stocking
