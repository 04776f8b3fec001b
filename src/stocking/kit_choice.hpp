#pragma once
/// The bare optimisation problem behind a kit: of every class (a part) take exactly one option (its
/// pieces), at least cost, with the shares taken of every limit adding up to at most 1.

#include <cstddef>
#include <functional>
#include <span>
#include <vector>

#include "stocking/kit.hpp"

namespace shearpin::stocking {

/// InputError that names the part, table and entry, for whatever kit.hpp does not allow.
void check_problem(const KitProblem& problem);
/// InputError unless there is one entry a part, within its table.
void check_pieces(const KitProblem& problem, std::span<const long> pieces);

/// Share of a limit by which a sum may stand above it: sums such as 3 x 0.1 against 0.3.
inline constexpr double kWithin = 1e-9;
/// Beyond that: how far the same sum taken in another order may stand apart.
inline constexpr double kSumRounding = 1e-12;
/// Costs that differ by less than this share count as equal: ties decide there.
inline constexpr double kEqual = 5e-10;

/// What an entry of a part adds to a sum; and a sum with the most that it may come to.
using Figure = std::function<double(const KitPart&, std::size_t entry)>;
struct Row {
  Figure use;
  double most = 0;
};

struct Choice {
  std::vector<std::size_t> row;    ///< those that may bind, by their place in the rows first given
  std::vector<std::size_t> first;  ///< of class j the options first[j] .. first[j + 1] - 1
  std::vector<double> cost;        ///< by option, >= 0
  std::vector<double> use;         ///< by option and row: share of what is allowed, >= 0
  std::vector<double> tie;  ///< by option: lower is preferred; sums over classes stay below 1
  std::vector<long> entry;  ///< by option: its place in the part's table

  std::size_t rows() const { return row.size(); }
  std::size_t classes() const { return first.size() - 1; }
  std::size_t options() const { return cost.size(); }
  const double* uses(std::size_t option) const { return use.data() + option * rows(); }
};

/// The options are the entries of the parts from `least` on.
Choice choice_of(const KitProblem& problem, const Figure& cost, const std::vector<Row>& rows);

/// What a use is of the most, with the allowance for sums; infinite for any use of a limit of 0.
double share_of(double use, double most);

/// Drops options that no kit within the limits can hold, options that another of the class beats in
/// everything, and rows that can no longer bind. False: some row cannot be met at all (the problem
/// is left in no defined state).
bool reduce(Choice& choice);

/// One option of every class, by its place in the problem.
using Picks = std::vector<std::size_t>;
double cost_of(const Choice& choice, const Picks& picks);
std::vector<double> uses_of(const Choice& choice, const Picks& picks);

/// One price a row, >= 0. Limits priced instead of held let every class choose by itself: the sum
/// over classes of the least priced option, less the prices, is a bound on the cost of every kit
/// within the limits, whose own priced cost less the prices is no more than its cost.
using Multipliers = std::vector<double>;

/// cost + sum over rows of multiplier x use.
inline double priced(const Choice& choice, std::size_t option, const Multipliers& price) {
  double sum = choice.cost[option];
  const double* use = choice.uses(option);
  for (std::size_t r = 0; r < price.size(); ++r) sum += price[r] * use[r];
  return sum;
}

/// The multipliers with the greatest bound that was reached.
struct Root {
  Multipliers price;
  double bound = 0;
  std::vector<Picks> met;  ///< the last least priced picks: starts for a search within the limits
};

/// Linear master of Dantzig and Wolfe over whole kits: rows + 1 equations, kits as columns, priced
/// out by the bound. Stops at a gap of 1e-10 of the value, after 400 columns, or once the bound
/// passes `hopeless` (the cost of any kit: then no kit is within the limits). Every bound met is
/// valid, whatever the master's rounding. Adds the looks at options to `work`.
Root root_multipliers(const Choice& choice, double hopeless, double& work);

/// What the search found.
struct ChoiceResult {
  bool found = false;
  std::vector<long> entry;  ///< by class
  double cost = 0;
  double bound = 0;      ///< no picks within the limits cost less
  bool settled = false;  ///< found: cost is the least (to 5e-10); not found: there are none
  double work = 0;       ///< spent
  Multipliers price;     ///< of the bound at the root, by row first given; 0: does not bind
};

/// Least cost within the limits; `work` looks at options allowed. Of costs equal to 5e-10 the least
/// sum of ties. `start`: entries by class to begin with, such as those of a kit that is known to be
/// within the limits.
ChoiceResult cheapest(Choice choice, double work, std::span<const long> start = {});

}  // namespace shearpin::stocking
