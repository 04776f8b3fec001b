#pragma once
/// Seeded kit problems of up to 5 parts x 5 pieces, and every kit of one: the oracle of the search.

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <random>
#include <vector>

#include "stocking/kit.hpp"

namespace kit_random {

using namespace shearpin::stocking;

/// Uniform numbers that are the same with every standard library.
class Dice {
 public:
  explicit Dice(std::uint64_t seed) : engine_(seed) {}
  double unit() { return static_cast<double>(engine_() >> 11) * 0x1p-53; }
  long up_to(long most) { return static_cast<long>(unit() * static_cast<double>(most + 1)); }
  bool one_in(long n) { return up_to(n - 1) == 0; }

 private:
  std::mt19937_64 engine_;
};

/// What n = 0 .. most pieces take of a limit when `free` of them take nothing.
inline std::vector<double> pieces_use(double per_piece, long most, long free = 0) {
  std::vector<double> use;
  for (long n = 0; n <= most; ++n) {
    use.push_back(per_piece * static_cast<double>(std::max(0L, n - free)));
  }
  return use;
}

/// A cap on the chance that any of some parts goes short, as one more limit. `log_chance`: by part
/// and entry; an empty table for a part that the cap does not look at.
inline void add_risk_cap(KitProblem& problem, double most,
                         const std::vector<std::vector<double>>& log_chance) {
  problem.limits.push_back(-std::log1p(-most));
  for (std::size_t j = 0; j < problem.parts.size(); ++j) {
    KitPart& part = problem.parts[j];
    std::vector<double>& use = part.use.emplace_back(part.days.size(), 0.0);
    for (std::size_t n = 0; n < log_chance[j].size(); ++n) use[n] = -log_chance[j][n];
  }
}

/// Never rising, down to 0 at times; `whole`: whole numbers, so that kits tie exactly.
inline std::vector<double> falling_table(Dice& dice, std::size_t entries, bool whole) {
  std::vector<double> table;
  double value = whole ? static_cast<double>(dice.up_to(12)) : 20 * dice.unit();
  for (std::size_t n = 0; n < entries; ++n) {
    table.push_back(value);
    const double fall = whole ? static_cast<double>(dice.up_to(4)) : value * dice.unit();
    value = dice.one_in(4) ? value : std::max(0.0, value - fall);
  }
  return table;
}

inline KitPart random_part(Dice& dice, std::size_t limits, bool whole) {
  KitPart part;
  const auto entries = static_cast<std::size_t>(dice.one_in(4) ? 1 + dice.up_to(4) : 6);
  part.days = falling_table(dice, entries, whole);
  if (dice.one_in(3)) {
    part.safety_days = part.days;
    if (dice.one_in(2)) {
      for (double& days : part.safety_days) days = whole ? std::floor(days / 2) : days / 3;
    }
  }
  for (std::size_t r = 0; r < limits; ++r) {
    const double per_piece =
        whole || dice.one_in(2) ? static_cast<double>(dice.up_to(4)) : 0.05 + 3 * dice.unit();
    const long free = dice.one_in(3) ? dice.up_to(2) : 0;
    part.use.push_back(pieces_use(per_piece, static_cast<long>(entries) - 1, free));
  }
  if (dice.one_in(6))
    part.least = static_cast<std::size_t>(dice.up_to(static_cast<long>(entries) - 1));
  return part;
}

inline double most_use(const KitProblem& problem, std::size_t limit) {
  double sum = 0;
  for (const KitPart& part : problem.parts) sum += part.use[limit].back();
  return sum;
}

/// Every kind turns up: tables convex or not, parts that are alike, limits of 0, tight, slack; risk
/// caps that fight them.
inline KitProblem random_problem(std::uint64_t seed, bool whole) {
  Dice dice(seed);
  KitProblem problem;
  const auto limits = static_cast<std::size_t>(1 + dice.up_to(2));
  problem.limits.assign(limits, 0.0);
  const long parts = dice.one_in(4) ? 1 + dice.up_to(3) : 5;
  for (long j = 0; j < parts; ++j) {
    const bool twin = j > 0 && dice.one_in(4);
    problem.parts.push_back(twin ? KitPart(problem.parts.back())
                                 : random_part(dice, limits, whole));
  }
  for (std::size_t r = 0; r < limits; ++r) {
    const double share = dice.one_in(8) ? 0 : 1.2 * dice.unit();
    problem.limits[r] = share * most_use(problem, r);
    if (whole) problem.limits[r] = std::floor(problem.limits[r]);
  }
  for (long caps = dice.up_to(2); caps > 0; --caps) {
    std::vector<std::vector<double>> log_chance(problem.parts.size());
    for (std::size_t j = 0; j < problem.parts.size(); ++j) {
      if (dice.one_in(2)) continue;
      log_chance[j] = falling_table(dice, problem.parts[j].days.size(), whole);
      for (double& value : log_chance[j]) value = whole ? -value : -value / 10;
    }
    const double most = dice.one_in(3) ? 0.3 + 0.3 * dice.unit() : 0.9 + 0.0999 * dice.unit();
    add_risk_cap(problem, most, log_chance);
  }
  return problem;
}

/// Sums of one kit.
struct Kit {
  std::vector<long> pieces;
  double days = 0;
  double safety = 0;
  long count = 0;
  std::vector<double> rows;  ///< by limit
};

inline Kit sums_of(const KitProblem& problem, const std::vector<long>& pieces) {
  Kit kit;
  kit.pieces = pieces;
  kit.rows.assign(problem.limits.size(), 0.0);
  for (std::size_t j = 0; j < pieces.size(); ++j) {
    const auto n = static_cast<std::size_t>(pieces[j]);
    const KitPart& part = problem.parts[j];
    kit.days += part.days[n];
    if (!part.safety_days.empty()) kit.safety += part.safety_days[n];
    kit.count += pieces[j];
    for (std::size_t r = 0; r < problem.limits.size(); ++r) kit.rows[r] += part.use[r][n];
  }
  return kit;
}

/// Every combination of pieces, within the limits or not.
inline std::vector<Kit> every_kit(const KitProblem& problem) {
  std::vector<Kit> kits;
  std::vector<long> pieces;
  for (const KitPart& part : problem.parts) pieces.push_back(static_cast<long>(part.least));
  for (;;) {
    kits.push_back(sums_of(problem, pieces));
    std::size_t j = 0;
    while (j < pieces.size() && pieces[j] + 1 == static_cast<long>(problem.parts[j].days.size())) {
      pieces[j] = static_cast<long>(problem.parts[j].least);
      ++j;
    }
    if (j == pieces.size()) return kits;
    ++pieces[j];
  }
}

/// Within every row, but for `without` (the number of rows: none left out).
inline bool is_within(const KitProblem& problem, const Kit& kit, std::size_t without) {
  for (std::size_t row = 0; row < kit.rows.size(); ++row) {
    if (row != without && kit.rows[row] > problem.limits[row] * (1 + 1e-9)) return false;
  }
  return true;
}

}  // namespace kit_random
