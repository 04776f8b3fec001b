#pragma once
/// The bare optimisation problem behind a kit: of every class take exactly one option, at least
/// cost, with the sums of its uses within every row's limit.

#include <cstddef>
#include <span>
#include <vector>

namespace shearpin::stocking {

/// Share of a limit by which a sum may stand above it: sums such as 3 x 0.1 against 0.3.
inline constexpr double kWithin = 1e-9;

/// Beyond that: how far the same sum taken in another order may stand apart.
inline constexpr double kSumRounding = 1e-12;

/// Options of class j stand at first[j] .. first[j + 1] - 1. Limits hold their allowance already.
struct Choice {
  std::size_t rows = 0;
  std::vector<double> limit;       ///< by row, >= 0
  std::vector<std::size_t> row;    ///< by row: its place among the rows first given
  std::vector<std::size_t> first;  ///< by class, and one past the last
  std::vector<double> cost;        ///< by option, >= 0
  std::vector<double> use;         ///< by option and row, >= 0
  std::vector<double> tie;  ///< by option: lower is preferred; sums over classes stay below 1
  std::vector<long> entry;  ///< by option: its place in the caller's table

  std::size_t classes() const { return first.size() - 1; }
  std::size_t options() const { return cost.size(); }
  const double* uses(std::size_t option) const { return use.data() + option * rows; }
  double* uses(std::size_t option) { return use.data() + option * rows; }
};

/// One option of every class, by its place in the problem.
using Picks = std::vector<std::size_t>;

/// Sum of costs, and of the uses by row.
double cost_of(const Choice& choice, const Picks& picks);
std::vector<double> uses_of(const Choice& choice, const Picks& picks);
bool within_limits(const Choice& choice, std::span<const double> uses);

/// By class, the least use of a row over its options; rows x classes, class-major.
std::vector<double> least_uses(const Choice& choice);

/// Adds the row "cost + price x uses of another problem with the same options", which holds for all
/// its kits of a cost up to `most`: the sum of rows that says most about them.
void add_surrogate_row(Choice& choice, const Choice& other, std::span<const double> price,
                       double most);

/// Keeps the options for which keep[option] holds.
Choice filtered(const Choice& choice, const std::vector<bool>& keep);

/// Drops options that no kit within the limits can hold, options that another of the class beats in
/// everything, and rows that can no longer bind. False: some row cannot be met at all (the problem
/// is left in no defined state).
bool reduce(Choice& choice);

/// What the search found.
struct ChoiceResult {
  bool found = false;
  std::vector<long> entry;  ///< by class
  double cost = 0;
  double bound = 0;      ///< no picks within the limits cost less
  bool settled = false;  ///< found: cost is the least (to 5e-10); not found: there are none
  double work = 0;       ///< spent
  /// Multipliers of the bound at the root, by row first given; empty where none were needed.
  std::vector<double> price;
};

/// Costs that differ by less than this share count as equal: ties decide there.
inline constexpr double kEqual = 5e-10;

/// Least cost within the limits; `work` looks at options allowed. Of costs equal to 5e-10 the least
/// sum of ties.
ChoiceResult cheapest(Choice choice, double work);

}  // namespace shearpin::stocking
