#include "stocking/kit_tables.hpp"

#include <algorithm>
#include <cmath>

namespace shearpin::stocking {
namespace {

/// -ln P(no shortage) that a cap sees in an entry; 0 for a part it does not look at.
double risk_of(const KitProblem& problem, const RiskCap& cap, std::size_t part, std::size_t n) {
  const auto at = std::find(cap.parts.begin(), cap.parts.end(), part);
  if (at == cap.parts.end()) return 0;
  const auto place = static_cast<std::size_t>(at - cap.parts.begin());
  if (cap.log_chance.empty() || cap.log_chance[place].empty()) {
    return unreadiness(problem.parts[part], n);
  }
  return -std::max(cap.log_chance[place][n], kLeastLogChance);
}

/// Preference among equal kits: fewer pieces, then less of the first limit; less than 1 for a kit.
class Ties {
 public:
  explicit Ties(const KitProblem& problem) {
    for (const KitPart& part : problem.parts) {
      pieces_ += static_cast<double>(most_pieces(part));
      if (!part.use.empty()) use_ += *std::max_element(part.use[0].begin(), part.use[0].end());
    }
  }

  double of(const KitPart& part, std::size_t n) const {
    const double share = use_ > 0 ? part.use[0][n] / use_ : 0;
    return (static_cast<double>(pieces_in(part, n)) + share) / (pieces_ + 2);
  }

 private:
  static long most_pieces(const KitPart& part) {
    long most = 0;
    for (std::size_t n = part.least; n < part.days.size(); ++n) {
      most = std::max(most, pieces_in(part, n));
    }
    return most;
  }

  double pieces_ = 0;
  double use_ = 0;
};

/// Everything but cost and rows.
Choice options_of(const KitProblem& problem) {
  Choice choice;
  choice.first.push_back(0);
  const Ties ties(problem);
  for (const KitPart& part : problem.parts) {
    for (std::size_t n = part.least; n < part.days.size(); ++n) {
      choice.entry.push_back(static_cast<long>(n));
      choice.tie.push_back(ties.of(part, n));
    }
    choice.first.push_back(choice.entry.size());
  }
  return choice;
}

/// Calls visit(part, n) in the order of the options.
template <class Visit>
void for_each_option(const KitProblem& problem, Visit visit) {
  for (std::size_t j = 0; j < problem.parts.size(); ++j) {
    for (std::size_t n = problem.parts[j].least; n < problem.parts[j].days.size(); ++n) visit(j, n);
  }
}

std::vector<double> row_column(const KitProblem& problem, std::size_t row) {
  std::vector<double> column;
  for_each_option(problem, [&](std::size_t j, std::size_t n) {
    column.push_back(row_use(problem, row, j, n));
  });
  return column;
}

// Columns to option-major order, with the allowance for sums.
void set_rows(Choice& choice, const std::vector<std::vector<double>>& columns,
              const std::vector<double>& limits) {
  choice.rows = limits.size();
  for (std::size_t r = 0; r < limits.size(); ++r) {
    choice.limit.push_back(limits[r] * (1 + kWithin));
    choice.row.push_back(r);
  }
  for (std::size_t o = 0; o < choice.options(); ++o) {
    for (const std::vector<double>& column : columns) choice.use.push_back(column[o]);
  }
}

}  // namespace

long pieces_in(const KitPart& part, std::size_t n) {
  return part.pieces_of_entry.empty() ? static_cast<long>(n) : part.pieces_of_entry[n];
}

double unreadiness(const KitPart& part, std::size_t n) {
  return -std::max(part.log_chance[n], kLeastLogChance);
}

double entry_of(const KitPart& part, std::size_t n, KitSum sum) {
  const double safety = part.safety_days.empty() ? 0 : part.safety_days[n];
  switch (sum) {
    case KitSum::safety_days:
      return safety;
    case KitSum::other_days:
      return std::max(0.0, part.days[n] - safety);
    case KitSum::unready:
      break;
  }
  return unreadiness(part, n);
}

std::size_t row_count(const KitProblem& problem) {
  return problem.limits.size() + problem.risk_caps.size();
}

double row_limit(const KitProblem& problem, std::size_t row) {
  if (row < problem.limits.size()) return problem.limits[row];
  return -std::log1p(-problem.risk_caps[row - problem.limits.size()].most);
}

double row_use(const KitProblem& problem, std::size_t row, std::size_t part, std::size_t n) {
  if (row < problem.limits.size()) return problem.parts[part].use[row][n];
  return risk_of(problem, problem.risk_caps[row - problem.limits.size()], part, n);
}

Choice goal_choice(const KitProblem& problem, KitSum sum, std::optional<double> safety_held) {
  Choice choice = options_of(problem);
  std::vector<std::vector<double>> columns;
  std::vector<double> limits;
  for (std::size_t row = 0; row < row_count(problem); ++row) {
    columns.push_back(row_column(problem, row));
    limits.push_back(row_limit(problem, row));
  }
  std::vector<double> safety;
  for_each_option(problem, [&](std::size_t j, std::size_t n) {
    choice.cost.push_back(entry_of(problem.parts[j], n, sum));
    safety.push_back(entry_of(problem.parts[j], n, KitSum::safety_days));
  });
  if (safety_held) {
    columns.push_back(std::move(safety));
    limits.push_back(*safety_held);
  }
  set_rows(choice, columns, limits);
  return choice;
}

Choice least_row_choice(const KitProblem& problem, std::size_t row) {
  Choice choice = options_of(problem);
  std::vector<std::vector<double>> columns;
  std::vector<double> limits;
  for (std::size_t other = 0; other < row_count(problem); ++other) {
    if (other == row) continue;
    columns.push_back(row_column(problem, other));
    limits.push_back(row_limit(problem, other));
  }
  choice.cost = row_column(problem, row);
  set_rows(choice, columns, limits);
  return choice;
}

}  // namespace shearpin::stocking
