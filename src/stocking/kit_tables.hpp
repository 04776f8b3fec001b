#pragma once
/// From the tables of a kit problem to the bare optimisation problem, and the checks of the tables.

#include <optional>

#include "stocking/kit.hpp"
#include "stocking/kit_choice.hpp"

namespace shearpin::stocking {

/// InputError that names the part, table and entry, for whatever kit.hpp does not allow.
void check_problem(const KitProblem& problem);

/// InputError unless the problem has a limit of this number.
void check_limit(const KitProblem& problem, std::size_t limit);
/// InputError unless there is one entry a part, within its table.
void check_pieces(const KitProblem& problem, std::span<const long> pieces);

/// What one (part, n) adds to a sum.
enum class KitSum { safety_days, other_days, unready };
double entry_of(const KitPart& part, std::size_t n, KitSum sum);

/// Pieces carried with entry n.
long pieces_in(const KitPart& part, std::size_t n);

/// -ln of the chance of no shortage, at most -kLeastLogChance.
double unreadiness(const KitPart& part, std::size_t n);

/// Rows of the bare problem: the limits, then the risk caps.
std::size_t row_count(const KitProblem& problem);
double row_limit(const KitProblem& problem, std::size_t row);
/// What (part j, n) takes of a row.
double row_use(const KitProblem& problem, std::size_t row, std::size_t part, std::size_t n);

/// The problem of least `sum`; safety_held: at most this many safety days.
Choice goal_choice(const KitProblem& problem, KitSum sum, std::optional<double> safety_held);
/// The problem of least use of one row within all the others.
Choice least_row_choice(const KitProblem& problem, std::size_t row);

/// Why there is no kit; `work` for all the searches of it together.
std::vector<LimitConflict> conflicts(const KitProblem& problem, double work);

}  // namespace shearpin::stocking
