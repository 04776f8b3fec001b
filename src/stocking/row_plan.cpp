#include "stocking/row_plan.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "stocking/quadrature.hpp"

namespace shearpin::stocking {

RowPlan::RowPlan(const Position& position, double shape, double days, std::size_t points) {
  const UnitState& state = position.state;
  const double exposure = state.exposure_per_day * days;
  exposure_power_ = std::pow(exposure, shape);
  certain_ = position.starts_with_demand();
  if (certain_) return;
  const double due = state.exposure_per_day * std::max(0.0, state.due_days);
  const double end = std::min(exposure, due);
  falls_due_ = due <= exposure * (1 + 1e-12);
  const double age = state.age + state.untested;
  const Life unit(1, shape);
  full_hazard_ = unit.hazard(age, end);
  untested_hazard_ = unit.hazard(state.age, state.untested);
  if (!(exposure > 0)) {
    falls_due_ = false;
    return;
  }
  if (falls_due_) due_ratio_ = std::pow(std::max(0.0, exposure - due) / exposure, shape);
  std::vector<SplitPoint> split;
  append_split_points(split, {0, end, exposure, 0, age}, Grading(shape), end, points);
  hazard_.reserve(split.size());
  density_.reserve(split.size());
  powers_.reserve(split.size() * kTerms);
  for (const SplitPoint& p : split) {
    const double at = std::pow(age + p.u, shape);
    hazard_.push_back(p.u > age ? at - (age > 0 ? std::pow(age, shape) : 0)
                                : unit.hazard(age, p.u));
    density_.push_back(shape * at / (age + p.u) * p.weight);
    push_powers(std::pow(std::max(p.rest, 0.0) / exposure, shape));
  }
}

void RowPlan::push_powers(double ratio) {
  double power = 1;
  for (std::size_t d = 0; d < kTerms; ++d, power *= ratio) powers_.push_back(power);
}

std::size_t RowPlan::tails(double v, const CountTable& table, double nothing,
                           std::span<double> tails) const {
  const double dead = certain_ ? 1 : -std::expm1(-v * untested_hazard_);
  const double alive = 1 - dead;
  const double ends = falls_due_ ? 1 : -std::expm1(-v * full_hazard_);
  tails[0] = dead + alive * ends;
  if (tails[0] < nothing) return 0;
  // Moments of (rest / exposure)^shape over where the first demand falls.
  std::array<double, kTerms> moments{};
  moments.fill(dead);
  for (std::size_t q = 0; q < hazard_.size(); ++q) {
    const double weight = alive * v * density_[q] * std::exp(-v * hazard_[q]);
    const double* powers = powers_.data() + q * kTerms;
    for (std::size_t d = 0; d < kTerms; ++d) moments[d] += weight * powers[d];
  }
  if (falls_due_) {
    double weight = alive * std::exp(-v * full_hazard_);
    for (std::size_t d = 0; d < kTerms; ++d, weight *= due_ratio_) moments[d] += weight;
  }
  const double x = v * exposure_power_ / table.first_w();
  double power = 1;
  for (std::size_t d = 0; d < kTerms; ++d, power *= x) moments[d] *= power;
  const std::size_t most = std::min(table.order() + 1, tails.size());
  for (std::size_t k = 1; k < most; ++k) {
    const double* coefficients = table.coefficients(k);
    double sum = 0;
    for (std::size_t d = 0; d < kTerms; ++d) sum += coefficients[d] * moments[d];
    if (!(sum >= nothing)) return k;
    tails[k] = std::min(sum, tails[k - 1]);
  }
  return most;
}

}  // namespace shearpin::stocking
