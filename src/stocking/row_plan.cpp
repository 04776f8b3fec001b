#include "stocking/row_plan.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstring>
#include <map>
#include <tuple>

#include "stocking/falling_exp.hpp"
#include "stocking/quadrature.hpp"

namespace shearpin::stocking {
namespace {

// Points whose exponentials are worked out together: the compiler makes wide instructions of it.
constexpr std::size_t kWide = 8;
// Two numbers that are worked with at once; g++ and clang both know it.
using Pair = double __attribute__((vector_size(2 * sizeof(double))));
// What a tail may lack because its last powers are left out.
constexpr double kPowersError = 1e-10;

// Points of the unit interval for a density without a singular end. They depend on the shape by
// a small whole number alone, so they are kept from one row to the next.
const std::vector<SplitPoint>& smooth_split(double count_power, std::size_t n, int pieces) {
  using Key = std::tuple<double, std::size_t, int>;
  thread_local std::map<Key, std::vector<SplitPoint>> kept;
  std::vector<SplitPoint>& split = kept[Key(count_power, n, pieces)];
  if (split.empty()) {
    Grading grading(1);
    grading.density = 1;
    grading.count = count_power;
    append_split_points(split, {0, 1, 1}, grading, std::ldexp(1.0, -std::max(pieces, 1)), n);
  }
  return split;
}

}  // namespace

void PlanPoints::add(double share_of_u, double share_of_rest, double share_of_du) {
  share.push_back(share_of_u);
  rest.push_back(std::max(share_of_rest, 0.0));
  weight.push_back(share_of_du);
}

void PlanPoints::fill_powers(double shape) {
  powers.reserve(rest.size() * CountTable::kFirstNodes);
  for (const double r : rest) {
    const double ratio = std::pow(r, shape);
    double power = 1;
    for (std::size_t d = 0; d < CountTable::kFirstNodes; ++d, power *= ratio) {
      powers.push_back(power);
    }
  }
}

std::shared_ptr<const PlanPoints> PlanMaker::smooth_points(std::size_t n, int pieces) {
  for (const Made& made : made_) {
    if (made.n == n && made.pieces == pieces) return made.points;
  }
  auto points = std::make_shared<PlanPoints>();
  for (const SplitPoint& p : smooth_split(Grading(shape_).count, n, pieces)) {
    points->add(p.u, p.rest, p.weight);
  }
  if (pieces == 0) points->fill_powers(shape_);
  made_.push_back({n, pieces, points});
  return points;
}

RowPlan::RowPlan(const Position& position, PlanMaker& maker, double days, std::size_t n,
                 int pieces) {
  const UnitState& state = position.state;
  const double shape = maker.shape();
  exposure_ = position.exposure_by(days);
  const double length = maker.unit();
  exposure_power_ = std::pow(exposure_ / length, shape);
  certain_ = position.starts_with_demand();
  if (certain_) return;
  const double due = position.due_exposure(state.due_days, days);
  const double end = std::min(exposure_, due);
  falls_due_ = due <= exposure_ * (1 + 1e-12);
  const double age = state.age + state.untested;
  const double age_power = age > 0 ? std::pow(age / length, shape) : 0;
  const Life unit(length, shape);
  full_hazard_ = unit.hazard(age, end);
  if (state.untested > 0) untested_hazard_ = unit.hazard(state.age, state.untested);
  if (!(exposure_ > 0)) {
    falls_due_ = false;
    return;
  }
  if (falls_due_) {
    due_rest_ = std::max(0.0, exposure_ - due) / exposure_;
    due_ratio_ = std::pow(due_rest_, shape);
  }
  if (!falls_due_ && 2 * age >= exposure_) {
    points_ = maker.smooth_points(n, pieces);
  } else {
    std::vector<SplitPoint> split;
    const double piece = exposure_ * std::ldexp(1.0, -std::max(pieces, 1));
    append_split_points(split, {0, end, exposure_, 0, age}, Grading(shape), piece, n);
    auto own = std::make_shared<PlanPoints>();
    for (const SplitPoint& p : split) {
      own->add(p.u / exposure_, p.rest / exposure_, p.weight / exposure_);
    }
    if (pieces == 0) own->fill_powers(shape);
    points_ = std::move(own);
  }
  count_ = points_->share.size();
  const std::size_t padded = (count_ + kWide - 1) / kWide * kWide;
  hazard_.resize(padded);
  density_.resize(padded);
  for (std::size_t q = 0; q < count_; ++q) {
    const double u = points_->share[q] * exposure_;
    // No difference of powers, which cancels for u much smaller than age.
    hazard_[q] =
        age > 0 ? age_power * std::expm1(shape * std::log1p(u / age)) : std::pow(u / length, shape);
    density_[q] = shape * (age_power + hazard_[q]) / (age + u) * points_->weight[q] * exposure_;
  }
}

double RowPlan::first_tail(double v) const {
  if (certain_) return 1;
  const double through = v * (untested_hazard_ + full_hazard_);
  return falls_due_ ? 1 : -std::expm1(-through);
}

template <std::size_t kPowers>
void RowPlan::add_moments(double v, double alive_v, std::array<double, kTerms>& moments) const {
  std::array<Pair, kPowers / 2> sums{};
  const double* powers = points_ ? points_->powers.data() : nullptr;
  for (std::size_t first = 0; first < count_; first += kWide) {
    std::array<double, kWide> weights;
    for (std::size_t l = 0; l < kWide; ++l) {
      weights[l] = alive_v * density_[first + l] * falling_exp(v * hazard_[first + l]);
    }
    const std::size_t here = std::min(kWide, count_ - first);
    for (std::size_t l = 0; l < here; ++l, powers += kTerms) {
      const Pair weight{weights[l], weights[l]};
      for (std::size_t d = 0; d < kPowers / 2; ++d) {
        Pair power;
        std::memcpy(&power, powers + 2 * d, sizeof power);
        sums[d] += weight * power;
      }
    }
  }
  for (std::size_t d = 0; d < kPowers; ++d) moments[d] += sums[d / 2][d % 2];
}

std::size_t RowPlan::tails(double v, const CountTable& table, double tail_cutoff,
                           std::span<double> tails) const {
  tails[0] = first_tail(v);
  if (tails[0] < tail_cutoff) return 0;
  const double dead = certain_ ? 1 : untested_hazard_ > 0 ? -std::expm1(-v * untested_hazard_) : 0;
  const double alive_v = (1 - dead) * v;
  // Moments of (rest / exposure)^shape over where the first demand falls.
  std::array<double, kTerms> moments{};
  moments.fill(dead);
  const double x = v * exposure_power_ / table.first_w();
  const std::size_t terms = table.terms_for(x, kPowersError);
  if (terms == 4) {
    add_moments<4>(v, alive_v, moments);
  } else if (terms == 8) {
    add_moments<8>(v, alive_v, moments);
  } else {
    add_moments<kTerms>(v, alive_v, moments);
  }
  if (falls_due_) {
    double weight = (1 - dead) * std::exp(-v * full_hazard_);
    for (std::size_t d = 0; d < terms; ++d, weight *= due_ratio_) moments[d] += weight;
  }
  double power = 1;
  for (std::size_t d = 0; d < terms; ++d, power *= x) moments[d] *= power;
  const std::size_t most = std::min(table.order() + 1, tails.size());
  for (std::size_t k = 1; k < most; ++k) {
    const double* coefficients = table.coefficients(k);
    double even = 0;
    double odd = 0;
    for (std::size_t d = 0; d < terms; d += 2) {
      even += coefficients[d] * moments[d];
      odd += coefficients[d + 1] * moments[d + 1];
    }
    if (!(even + odd >= tail_cutoff)) return k;
    tails[k] = std::min(even + odd, tails[k - 1]);
  }
  return most;
}

std::size_t RowPlan::long_tails(double v, double scale, const CountTable& table, double tail_cutoff,
                                std::span<double> tails) const {
  tails[0] = first_tail(v);
  if (tails[0] < tail_cutoff) return 0;
  const double dead = certain_ ? 1 : untested_hazard_ > 0 ? -std::expm1(-v * untested_hazard_) : 0;
  const std::size_t most = std::min(table.order() + 1, tails.size());
  std::fill(tails.begin() + 1, tails.begin() + static_cast<std::ptrdiff_t>(most), 0.0);
  const std::span<double> later = tails.subspan(1, most - 1);
  const double z = exposure_ / scale;
  const double little = tail_cutoff * 1e-2;
  if (dead > 0) table.add_tails(z, dead, little, later);
  for (std::size_t q = 0; q < count_; ++q) {
    const double through = v * hazard_[q];
    if (through > kSpentHazard) continue;
    const double weight = (1 - dead) * v * density_[q] * std::exp(-through);
    if (weight > little) table.add_tails(z * points_->rest[q], weight, little, later);
  }
  if (falls_due_) {
    const double weight = (1 - dead) * std::exp(-v * full_hazard_);
    if (weight > little) table.add_tails(z * due_rest_, weight, little, later);
  }
  std::size_t count = 1;
  while (count < most && tails[count] >= tail_cutoff) {
    tails[count] = std::min(tails[count], tails[count - 1]);
    ++count;
  }
  return count;
}

std::size_t plan_points_for(double relative_error) {
  if (relative_error > 2e-2) return 3;
  if (relative_error > 2e-3) return 4;
  if (relative_error > 2e-4) return 5;
  if (relative_error > 3e-5) return 6;
  return relative_error > 1e-6 ? 8 : 10;
}

}  // namespace shearpin::stocking
